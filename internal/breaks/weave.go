package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
)

// A woven is a file with several breaks in it at once, each asleep until its number is called. A function stands once more at its
// own beginning for each break within it,
//
//	func area(a, b float64) float64 {
//		if brokenNumber == 3 {
//			return a
//		}
//		return a * b
//	}
//
// and the value of a package's variable is picked from two. So a whole sample is compiled once. What is neither, a constant of the package
// above all, is broken alone, and so is a function so small that the compiler copies it to where it is called: with a break asleep in it
// it would be called, which may make the tests of all others slower (how much was not measured).
type woven struct {
	text  []byte
	lines map[int][2]int // by the break's number: the lines that are there for it
}

// edit puts text in the place of the bytes from start to end.
type edit struct {
	start, end int
	pieces     []piece
}

// piece is text that is there for a break, by its number; 0 for none.
type piece struct {
	text   string
	number int
}

// weave puts numbered breaks of one file into its source, and returns the numbers of those that it cannot.
func weave(name string, source []byte, breaks map[int]broken) (woven, []int, error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, source, parser.SkipObjectResolution)
	if err != nil {
		return woven{}, nil, err
	}
	offset := func(p token.Pos) int { return set.Position(p).Offset }
	within := map[ast.Node][]int{}
	var places []ast.Node
	var alone []int
	for _, number := range sorted(breaks) {
		b := breaks[number]
		place := placeOf(file, func(n ast.Node) bool { return offset(n.Pos()) <= b.start && b.end <= offset(n.End()) })
		if place == nil {
			alone = append(alone, number)
			continue
		}
		if within[place] == nil {
			places = append(places, place)
		}
		within[place] = append(within[place], number)
	}
	var edits []edit
	for _, place := range places {
		w := weaver{source: source, breaks: breaks, numbers: within[place], offset: offset}
		switch place := place.(type) {
		case *ast.FuncDecl:
			edits = append(edits, w.function(place))
		case *value:
			edits = append(edits, w.value(place))
		}
	}
	return put(source, edits), alone, nil
}

// value is what a variable of the package begins with.
type value struct {
	ast.Expr
	kind ast.Expr // as stated, or nil
}

// placeOf is the function, unless it is small, or the value that holds something, or nil.
func placeOf(file *ast.File, holds func(ast.Node) bool) ast.Node {
	for _, d := range file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Body != nil && holds(d.Body) && !small(d.Body) {
				return d
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				s, ok := spec.(*ast.ValueSpec)
				if !ok || d.Tok != token.VAR || len(s.Values) != len(s.Names) {
					continue
				}
				for i, v := range s.Values {
					if holds(v) {
						s.Values[i] = valueOf(v, s.Type)
						return s.Values[i]
					}
				}
			}
		}
	}
	return nil
}

// small reports whether a function may be copied to where it is called: by its size, without a loop. The compiler's own budget is 80
// nodes of its tree, which has fewer than the syntax.
func small(body *ast.BlockStmt) bool {
	nodes, loops := 0, false
	ast.Inspect(body, func(n ast.Node) bool {
		switch n.(type) {
		case nil:
		case *ast.ForStmt, *ast.RangeStmt:
			loops = true
		default:
			nodes++
		}
		return true
	})
	return !loops && nodes <= 80
}

// valueOf is the same node each time that it is asked for.
func valueOf(v, kind ast.Expr) ast.Expr {
	if v, ok := v.(*value); ok {
		return v
	}
	return &value{v, kind}
}

type weaver struct {
	source  []byte
	breaks  map[int]broken
	numbers []int
	offset  func(token.Pos) int
}

func (w weaver) function(f *ast.FuncDecl) edit {
	from, to := w.offset(f.Body.Lbrace)+1, w.offset(f.Body.Rbrace)
	e := edit{start: from, end: from}
	labels := w.labels(f.Body)
	for _, number := range w.numbers {
		b := w.breaks[number]
		body := slices.Clone(w.source[from:to])
		for i := len(labels) - 1; i >= -1; i-- { // from the end, so that what stands before keeps its place
			if b.start >= from && (i < 0 || labels[i] < b.start) {
				body = replaced(body, b.start-from, b.end-from, b.Now)
				b.start = -1
			}
			if i >= 0 {
				body = replaced(body, labels[i]-from, labels[i]-from, fmt.Sprintf("broken%d", number))
			}
		}
		text := fmt.Sprintf("\nif brokenNumber == %d {\n%s\n", number, body)
		if f.Type.Results == nil {
			text += "return\n"
		}
		e.pieces = append(e.pieces, piece{text + "}\n", number})
	}
	return e
}

// labels are the places of a function's labels in order: two copies may not share one.
func (w weaver) labels(body *ast.BlockStmt) []int {
	var out []int
	ast.Inspect(body, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.LabeledStmt:
			out = append(out, w.offset(n.Label.Pos()))
		case *ast.BranchStmt:
			if n.Label != nil {
				out = append(out, w.offset(n.Label.Pos()))
			}
		}
		return true
	})
	slices.Sort(out)
	return out
}

func (w weaver) value(v *value) edit {
	from, to := w.offset(v.Pos()), w.offset(v.End())
	kind := ""
	if v.kind != nil {
		kind = "[" + string(w.source[w.offset(v.kind.Pos()):w.offset(v.kind.End())]) + "]"
	}
	e := edit{start: from, end: to}
	for _, number := range w.numbers {
		b := w.breaks[number]
		text := replaced(slices.Clone(w.source[from:to]), b.start-from, b.end-from, b.Now)
		e.pieces = append(e.pieces, piece{fmt.Sprintf("brokenPick%s(%d,\n%s,\n", kind, number, text), number})
	}
	e.pieces = append(e.pieces, piece{string(w.source[from:to]), 0})
	for range w.numbers {
		e.pieces = append(e.pieces, piece{")", 0})
	}
	return e
}

func replaced(text []byte, start, end int, now string) []byte {
	return slices.Replace(text, start, end, []byte(now)...)
}

// put makes the edits, and notes on which lines each break's pieces came to stand.
func put(source []byte, edits []edit) woven {
	slices.SortFunc(edits, func(a, b edit) int { return a.start - b.start })
	out := woven{lines: map[int][2]int{}}
	var b bytes.Buffer
	line := func() int { return bytes.Count(b.Bytes(), []byte("\n")) + 1 }
	at := 0
	for _, e := range edits {
		b.Write(source[at:e.start])
		for _, p := range e.pieces {
			first := line()
			b.WriteString(p.text)
			if p.number != 0 {
				out.lines[p.number] = [2]int{first + 1, line() - 1}
			}
		}
		at = e.end
	}
	b.Write(source[at:])
	out.text = b.Bytes()
	return out
}

// caller is a further file of each package with breaks: it reads which of them is awake. A file, not the environment, names it, because
// tests start programs with an environment of their own.
func caller(pkg, file string) string {
	return fmt.Sprintf(`package %s

import (
	"os"
	"strconv"
)

var brokenNumber = func() int {
	text, _ := os.ReadFile(%q)
	n, _ := strconv.Atoi(string(text))
	return n
}()

func brokenPick[T any](number int, broken, whole T) T {
	if brokenNumber == number {
		return broken
	}
	return whole
}
`, pkg, file)
}
