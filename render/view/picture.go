package view

import (
	"context"
	"fmt"
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"
)

// Options steer a picture. All lengths are mm of the shell.
type Options struct {
	Pixel  float64  // side of a pixel of the depth buffer: 0.2 mm on paper times the scale's denominator
	Window *r2.Rect // only this part of the view; nil: everything
	Blind  bool     // Sees and Shows are not asked of the picture, which then takes little memory
	Stamps *Stamps  // what is known of panels by themselves; the picture is the same with or without
}

// Picture is one view of the panels.
type Picture struct {
	Direction Direction
	Window    r2.Rect // what is shown
	Lines     []Line  // strongest first
	Regions   []Region
	buffer    *buffer
}

// Draw makes the picture of panels seen from a direction. Lines are simplified to a quarter of a pixel.
// The result depends only on the panels, their order and the options. Cancelled, it stops soon.
func Draw(ctx context.Context, panels []Panel, dir Direction, opt Options) (*Picture, error) {
	if opt.Window == nil {
		all := dir.Extent(panels)
		opt.Window = &all
	}
	b, err := newBuffer(ctx, panels, dir, *opt.Window, opt.Pixel, opt.Stamps)
	if err != nil {
		return nil, err
	}
	if len(panels) > math.MaxInt16 {
		return nil, fmt.Errorf("view %s: %d panels are more than %d", dir.Name, len(panels), math.MaxInt16)
	}
	pieces, err := b.pieces(ctx)
	if err != nil {
		return nil, err
	}
	b.forget()
	chains := chain(pieces, opt.Pixel/8)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	lines := thin(b.outlines(chains), opt.Pixel)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	for i := range lines {
		lines[i].Points = Simplify(lines[i].Points, opt.Pixel/4)
	}
	out := &Picture{dir, *opt.Window, lines, b.regions(), b}
	if opt.Blind {
		out.buffer = nil
	}
	return out, nil
}

// Sees reports whether nothing hides the target in this picture. The target's own sheets may lie over it by
// the thickness of their stack; another panel may not. A weld seen through its own stack from behind counts
// as seen: the mark of the electrode is on both sides.
func (p *Picture) Sees(t Target) bool { return p.buffer.sees(t) }

// Shows reports whether nothing hides a place of the panels, or up to slack mm in front of them.
func (p *Picture) Shows(at r3.Vector, slack float64) bool {
	return p.buffer.sees(Target{At: at, Stack: 2 * slack})
}
