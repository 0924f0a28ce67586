package sheet

import (
	"fmt"
	"math"

	"seamwright/layout"
)

// far is a bound in mm for places of a shell.
const far = 1e6

// finite refuses a plan with places that cannot be drawn, and names the first one.
func (j *job) finite() error {
	check := func(what, id string, places ...layout.Vec) error {
		for _, p := range places {
			for _, c := range p {
				if !(math.Abs(c) < far) {
					return fmt.Errorf("station %s: %s %s: place %v is not a number or far away: plan the shell again", j.station.ID, what, id, p)
				}
			}
		}
		return nil
	}
	for _, w := range j.welds {
		if err := check("weld", fmt.Sprint(w.Number), w.Position, w.Axis); err != nil {
			return err
		}
	}
	for _, r := range j.seams {
		if err := check("roller seam", r.ID, append(append([]layout.Vec(nil), r.Path...), r.Normals...)...); err != nil {
			return err
		}
	}
	for _, f := range j.flanges {
		if err := check("flange", f.ID, f.Places()...); err != nil {
			return err
		}
	}
	for _, x := range j.fixtures() {
		if err := check("fixture", x.text, x.at, x.to); err != nil {
			return err
		}
	}
	return nil
}
