package flange

import (
	"context"
	"errors"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/contact"
	"seamwright/geometry/outline"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// ErrNoStrip is returned for an outline that is no strip: too small, or as broad as it is long.
var ErrNoStrip = errors.New("the outline is not a strip that a weld line can run along")

// FromOutline finds the weld line of a flat strip drawn as closed loops: its border first, then its holes.
// Points are in millimetres; the result has no sheets.
func FromOutline(ctx context.Context, loops [][]r3.Vector, opt Options) ([]Flange, error) {
	opt = opt.withDefaults()
	m, err := outline.Fill(loops)
	if err != nil {
		return nil, fmt.Errorf("flange from outline: %w", err)
	}
	h := new(contact.Workspace).Host(stackup.Alone(Sheet{Mesh: m}, surface.Whole{}, opt.limits()), 0)
	lap, err := contact.Drawn(ctx, h)
	if err != nil {
		return nil, fmt.Errorf("flange from outline: %w", err)
	}
	on := onHost{Host: h, opt: opt}
	out := on.strips(lap)
	if len(out) == 0 {
		return nil, ErrNoStrip
	}
	for i := range out {
		out[i].Sheets = nil
		out[i].ID = fmt.Sprintf("f%d", i+1)
	}
	return out, nil
}
