package figure

import (
	"fmt"
	"math"

	"seamwright/layout"
)

// far is a bound in mm for places of a shell.
const far = 1e6

// finite refuses a plan with places that cannot be drawn, and names the first one.
func (set *Set) finite() error {
	check := func(what, id string, places ...layout.Vec) error {
		for _, p := range places {
			for _, c := range p {
				if !(math.Abs(c) < far) {
					return fmt.Errorf("station %s: %s %s: place %v is not a number or far away: plan the shell again", set.Here.Station.ID, what, id, p)
				}
			}
		}
		return nil
	}
	for _, w := range set.Here.Welds {
		if err := check("weld", fmt.Sprint(w.Number), w.Position, w.Axis); err != nil {
			return err
		}
	}
	for _, r := range set.Here.Seams {
		if err := check("roller seam", r.ID, append(append([]layout.Vec(nil), r.Path...), r.Normals...)...); err != nil {
			return err
		}
	}
	for _, f := range set.Here.Flanges {
		if err := check("flange", f.ID, f.Places()...); err != nil {
			return err
		}
	}
	for _, x := range set.Fixtures() {
		if err := check("fixture", x.Text, x.At, x.To); err != nil {
			return err
		}
	}
	return nil
}
