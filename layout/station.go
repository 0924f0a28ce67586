package layout

import (
	"fmt"
	"slices"
)

// GunCount is how many of a gun are at hand at the station; a plan that does not say has one.
func (s Station) GunCount(gun string) int {
	if i := slices.Index(s.Guns, gun); i >= 0 && i < len(s.GunCounts) {
		return s.GunCounts[i]
	}
	return 1
}

// Stretch is a time that one person works on one step, or waits.
type Stretch struct {
	Step     int      // place in the station's steps, from 1; 0: waits
	Do       StepKind // of the step; empty: waits
	Runs     []int    // welded in it, in order
	Joints   []string // marked out or fitted in it
	From, To float64  // min from the station's first start
}

// leastWait is the time in min below which a pause is none: what rounding leaves.
const leastWait = 0.05

// Persons is a line of work for each person of the crew, by number from 1 at index 0: what follows each other on one step is one
// stretch, and waiting stands between. A station without a schedule has none.
func (s Station) Persons() [][]Stretch {
	if len(s.Crewing.Shares) == 0 {
		return nil
	}
	out := make([][]Stretch, max(1, s.Crew))
	for _, share := range s.Crewing.Shares {
		if share.Person < 1 || share.Person > len(out) || share.Step < 1 || share.Step > len(s.Steps) || share.To-share.From <= 0 {
			continue
		}
		own := &out[share.Person-1]
		*own = waited(*own, share.From)
		n := len(*own) - 1
		if n < 0 || (*own)[n].Step != share.Step {
			*own = append(*own, Stretch{Step: share.Step, Do: s.Steps[share.Step-1].Do, From: share.From})
			n++
		}
		last := &(*own)[n]
		last.To = share.To
		if share.Run > 0 {
			last.Runs = append(last.Runs, share.Run)
		}
		if share.Joint != "" {
			last.Joints = append(last.Joints, share.Joint)
		}
	}
	for k := range out {
		out[k] = waited(out[k], s.Crewing.Minutes)
	}
	return out
}

// waited adds the pause until a person goes on.
func waited(own []Stretch, until float64) []Stretch {
	from := 0.0
	if n := len(own); n > 0 {
		from = own[n-1].To
	}
	if until-from < leastWait {
		return own
	}
	return append(own, Stretch{From: from, To: until})
}

// Sure says how good a schedule is.
func (c Crewing) Sure() string {
	switch {
	case c.Proven:
		return "proven the least"
	case c.Minutes-c.Bound < 0.1:
		return "found by search, less than 0.1 min above what is proven to be needed"
	}
	return fmt.Sprintf("found by search; at least %.1f min are needed", c.Bound)
}
