package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"math"
	"os"
	"strconv"
	"strings"
)

// A broken is one small break of one line: the bytes from start to end of the file give way to now.
type broken struct {
	File       string
	Line       int
	Kind       string
	Was, Now   string
	Text       string // of the line that it begins in
	start, end int
}

// applied is the source with the break in it.
func (b broken) applied(source []byte) []byte {
	out := append([]byte(nil), source[:b.start]...)
	out = append(out, b.Now...)
	return append(out, source[b.end:]...)
}

var flipped = map[token.Token]token.Token{
	token.LSS: token.GTR, token.GTR: token.LSS, token.LEQ: token.GEQ, token.GEQ: token.LEQ, token.EQL: token.NEQ, token.NEQ: token.EQL,
}

// symmetric are calls that give the same whichever way round their arguments stand.
var symmetric = map[string]bool{"min": true, "max": true, "math.Min": true, "math.Max": true, "math.Hypot": true}

// find lists the breaks that a file offers, in the order of its syntax tree. Types are not looked at: what does not compile
// is found out by compiling it.
func find(name string) ([]broken, error) {
	source, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	f := finder{name: name, source: source, set: token.NewFileSet()}
	file, err := parser.ParseFile(f.set, name, source, parser.SkipObjectResolution)
	if err != nil {
		return nil, err
	}
	ast.Inspect(file, f.visit)
	return f.out, nil
}

type finder struct {
	name   string
	source []byte
	set    *token.FileSet
	out    []broken
}

func (f *finder) visit(n ast.Node) bool {
	switch n := n.(type) {
	case *ast.ImportSpec:
		return false
	case *ast.BinaryExpr:
		f.binary(n)
	case *ast.BasicLit:
		if now, ok := scaled(n); ok {
			f.add("scale", n.Pos(), n.End(), now)
		}
	case *ast.CallExpr:
		if f.text(n.Fun) == "math.Inf" { // any number of the same sign is the same
			return false
		}
		if f.text(n.Fun) == "make" && len(n.Args) == 3 { // what there is room for changes nothing
			ast.Inspect(n.Args[1], f.visit)
			return false
		}
		for i := 1; i < len(n.Args) && !symmetric[f.text(n.Fun)]; i++ {
			f.swap("swap arguments", n.Args[i-1], n.Args[i])
		}
	case *ast.IndexExpr:
		if inner, ok := n.X.(*ast.IndexExpr); ok {
			f.swap("swap indices", inner.Index, n.Index)
		}
	}
	return true
}

func (f *finder) binary(n *ast.BinaryExpr) {
	if to, ok := flipped[n.Op]; ok {
		f.add("flip", n.OpPos, n.OpPos+token.Pos(len(n.Op.String())), to.String())
	}
	if (n.Op == token.ADD || n.Op == token.SUB) && !isText(n.X) && !isText(n.Y) {
		f.add("drop a term", n.Pos(), n.End(), f.text(n.X))
	}
}

func (f *finder) swap(kind string, a, b ast.Expr) {
	first, second := f.text(a), f.text(b)
	if first == second || isText(a) && isText(b) {
		return
	}
	between := string(f.source[f.offset(a.End()):f.offset(b.Pos())])
	f.add(kind, a.Pos(), b.End(), second+between+first)
}

func (f *finder) add(kind string, from, to token.Pos, now string) {
	start, end := f.offset(from), f.offset(to)
	text := f.source[:start]
	head := text[bytes.LastIndexByte(text, '\n')+1:]
	tail, _, _ := bytes.Cut(f.source[start:], []byte("\n"))
	f.out = append(f.out, broken{File: f.name, Line: f.set.Position(from).Line, Kind: kind, Was: string(f.source[start:end]), Now: now,
		Text: strings.TrimSpace(string(head) + string(tail)), start: start, end: end})
}

func (f *finder) text(n ast.Node) string {
	return string(f.source[f.offset(n.Pos()):f.offset(n.End())])
}
func (f *finder) offset(p token.Pos) int { return f.set.Position(p).Offset }
func isText(e ast.Expr) bool             { l, ok := e.(*ast.BasicLit); return ok && l.Kind == token.STRING }

// scaled is a constant made a tenth larger; a whole number goes up to the next whole one at least, so that it stays whole.
func scaled(n *ast.BasicLit) (string, bool) {
	v, err := strconv.ParseFloat(n.Value, 64)
	if err != nil || v == 0 {
		return "", false
	}
	switch n.Kind {
	case token.INT:
		return fmt.Sprint(int64(math.Ceil(v * 1.1))), true
	case token.FLOAT:
		return "(" + n.Value + " * 1.1)", true
	}
	return "", false
}
