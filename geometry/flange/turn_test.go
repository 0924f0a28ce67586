package flange

import (
	"reflect"
	"testing"

	"github.com/golang/geo/r3"
)

// A strip seen from its other side has the same borders in the same places, with what lies there, and is the same again when it is
// turned back.
func TestAStripTurnedOver(t *testing.T) {
	made := func() Flange {
		return Flange{
			Sheets: []int{0, 2, 1}, Notches: []Notch{{Left: true, From: 3}, {Left: false, From: 8}},
			Line: []LinePoint{{
				Point: r3.Vector{X: 5}, Along: r3.Vector{X: 1}, Across: r3.Vector{Y: 1}, Axis: r3.Vector{Z: 1},
				Left: 7, Right: 11, Offset: 0.4, LeftEdge: FreeEdge, RightEdge: Bend, LeftSheet: 2, RightSheet: 1,
			}},
		}
	}
	fl := made()
	fl.turnOver()
	was, is := made().Line[0], fl.Line[0]
	left, right := was.Point.Add(was.Across.Mul(was.Left)), was.Point.Sub(was.Across.Mul(was.Right))
	if l, r := is.Point.Add(is.Across.Mul(is.Left)), is.Point.Sub(is.Across.Mul(is.Right)); l != right || r != left {
		t.Errorf("borders at %v and %v, were at %v and %v", l, r, left, right)
	}
	if is.LeftEdge != Bend || is.RightEdge != FreeEdge || is.LeftSheet != 1 || is.RightSheet != 2 {
		t.Errorf("what lies at the borders has not gone with them: %+v", is)
	}
	if is.Along.Cross(is.Across) == was.Along.Cross(was.Across) || is.Axis.Cross(is.Along) != is.Across {
		t.Errorf("not seen from the other side: %+v", is)
	}
	if at := is.Axis.Mul(is.Offset); at != was.Axis.Mul(was.Offset) {
		t.Errorf("the middle of the stack lies at %v, was at %v", at, was.Axis.Mul(was.Offset))
	}
	if !reflect.DeepEqual(fl.Sheets, []int{1, 2, 0}) {
		t.Errorf("sheets %v", fl.Sheets)
	}
	if n := fl.Notches; !n[0].Left || n[0].From != 8 || n[1].Left || n[1].From != 3 {
		t.Errorf("notches %+v, want those now on the left first", n)
	}
	fl.turnOver()
	if !reflect.DeepEqual(fl, made()) {
		t.Errorf("turned back: %+v, want %+v", fl, made())
	}
}
