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
//		if brokenNumber != 0 {
//			brokenSeen(3)
//			if brokenNumber == 3 {
//				return a
//			}
//		}
//		return a * b
//	}
//
// and the value of a package's variable is picked from two, as is that of a constant, which becomes a variable where the compiler lets it.
// So a whole sample is compiled once. What is neither is broken alone.
type woven struct {
	text      []byte
	lines     map[int][2]int // by the break's number: the lines that are there for it
	constants map[int]string // by the break's number: the name of a constant that became a variable
}

// footing is what a constant with a break in it is woven as: which one the compiler takes is found by trying.
type footing int

const (
	asWritten footing = iota // a variable of the type that its value has by itself
	asFloat                  // a whole number that the program counts with as a fraction
	standsAlone
)

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
func weave(name string, source []byte, breaks map[int]broken, constants map[int]footing) (woven, []int, error) {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, name, source, parser.SkipObjectResolution)
	if err != nil {
		return woven{}, nil, err
	}
	offset := func(p token.Pos) int { return set.Position(p).Offset }
	within := map[ast.Node][]int{}
	known := map[ast.Expr]*value{}
	var places []ast.Node
	var alone []int
	for _, number := range sorted(breaks) {
		b := breaks[number]
		place := placeOf(file, known, func(n ast.Node) bool { return offset(n.Pos()) <= b.start && b.end <= offset(n.End()) })
		if v, ok := place.(*value); place == nil || ok && v.constant && constants[number] == standsAlone {
			alone = append(alone, number)
			continue
		}
		if within[place] == nil {
			places = append(places, place)
		}
		within[place] = append(within[place], number)
	}
	var edits []edit
	became := map[int]string{}
	for _, place := range places {
		w := weaver{source: source, breaks: breaks, numbers: within[place], offset: offset}
		switch place := place.(type) {
		case *ast.FuncDecl:
			edits = append(edits, w.function(place))
		case *value:
			if place.constant {
				for _, number := range w.numbers {
					became[number] = place.name
				}
				edits = append(edits, w.constant(place, constants)...)
				continue
			}
			edits = append(edits, w.value(place))
		}
	}
	out := put(source, edits)
	out.constants = became
	return out, alone, nil
}

// value is what a variable or constant of the package begins with.
type value struct {
	ast.Expr
	kind     ast.Expr // as stated, or nil
	constant bool
	name     string
	spec     *ast.ValueSpec
	decl     *ast.GenDecl
}

// placeOf is the function or the value that holds something, or nil.
func placeOf(file *ast.File, known map[ast.Expr]*value, holds func(ast.Node) bool) ast.Node {
	for _, d := range file.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			if d.Body != nil && holds(d.Body) {
				return d
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				if v := valueIn(d, spec, known, holds); v != nil {
					return v
				}
			}
		}
	}
	return nil
}

// valueIn is the value of a declaration that holds something, the same node each time that it is asked for, or nil. Constants that count
// themselves, or that share a line, are none.
func valueIn(d *ast.GenDecl, spec ast.Spec, known map[ast.Expr]*value, holds func(ast.Node) bool) ast.Node {
	s, ok := spec.(*ast.ValueSpec)
	if !ok || len(s.Values) != len(s.Names) || d.Tok == token.CONST && (len(s.Values) != 1 || counts(d)) {
		return nil
	}
	for i, v := range s.Values {
		if !holds(v) {
			continue
		}
		if known[v] == nil {
			known[v] = &value{v, s.Type, d.Tok == token.CONST, s.Names[i].Name, s, d}
		}
		return known[v]
	}
	return nil
}

// counts reports whether constants have their values from their places: by iota, or by the line before.
func counts(d *ast.GenDecl) bool {
	out := false
	ast.Inspect(d, func(n ast.Node) bool {
		id, ok := n.(*ast.Ident)
		out = out || ok && id.Name == "iota"
		s, ok := n.(*ast.ValueSpec)
		out = out || ok && len(s.Values) == 0
		return !out
	})
	return out
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
		text := fmt.Sprintf("\nif brokenNumber != 0 {\nbrokenSeen(%d)\nif brokenNumber == %d {\n%s\n", number, number, body)
		if f.Type.Results == nil {
			text += "return\n"
		}
		e.pieces = append(e.pieces, piece{text + "}\n}\n", number})
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
	kind := ""
	if v.kind != nil {
		kind = "[" + string(w.source[w.offset(v.kind.Pos()):w.offset(v.kind.End())]) + "]"
	}
	return w.picked(v, kind)
}

// constant makes a constant a variable, and in a group takes it out and puts it at the end of the file.
func (w weaver) constant(v *value, constants map[int]footing) []edit {
	kind := ""
	switch {
	case v.kind != nil:
		kind = "[" + string(w.source[w.offset(v.kind.Pos()):w.offset(v.kind.End())]) + "]"
	case constants[w.numbers[0]] == asFloat:
		kind = "[float64]"
	}
	e := w.picked(v, kind)
	e.pieces = slices.Concat([]piece{{"\nvar " + v.name + " = ", 0}}, e.pieces, []piece{{"\n", 0}})
	if v.decl.Lparen == token.NoPos {
		e.start, e.end = w.offset(v.decl.Pos()), w.offset(v.decl.End())
		return []edit{e}
	}
	e.start, e.end = len(w.source), len(w.source)
	return []edit{{start: w.offset(v.spec.Pos()), end: w.offset(v.spec.End())}, e}
}

// picked is a value that is picked by the number that is called.
func (w weaver) picked(v *value, kind string) edit {
	from, to := w.offset(v.Pos()), w.offset(v.End())
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
//
// A number below zero wakes none, but notes each whose function is called, with the time, in a file beside: tests that call none of it
// need not be run for it.
func caller(pkg, file string, most int) string {
	return fmt.Sprintf(`package %s

import (
	"os"
	"strconv"
	"sync/atomic"
	"time"
)

var brokenNumber = func() int {
	text, _ := os.ReadFile(%q)
	n, _ := strconv.Atoi(string(text))
	return n
}()

var brokenNoted [%d]atomic.Bool

func brokenSeen(number int) {
	if brokenNumber >= 0 || brokenNoted[number].Swap(true) {
		return
	}
	f, err := os.OpenFile(%q, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o600)
	if err != nil {
		panic(err)
	}
	f.WriteString(strconv.Itoa(number) + " " + strconv.FormatInt(time.Now().UnixNano(), 10) + "\n")
	f.Close()
}

func brokenPick[T any](number int, broken, whole T) T {
	brokenSeen(number)
	if brokenNumber == number {
		return broken
	}
	return whole
}
`, pkg, file, most+1, file+".seen")
}
