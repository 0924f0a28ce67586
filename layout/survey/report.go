package survey

import (
	"math"
	"slices"

	"seamwright/layout"
)

// report words what was found, in the plan's order of welds and the file's order of points.
func (c *comparison) report() *Report {
	r := &Report{
		Shell: c.plan.Shell.Name, Welds: len(c.plan.Welds), Points: len(c.points), Tolerance: c.opt.Tolerance,
		Matched: []Pair{}, Displaced: []Pair{}, Missing: []Weld{}, Extra: []Extra{}, Flanges: []FlangeCount{},
		Notes: append([]string{}, c.notes...),
	}
	r.Fit = c.fit
	r.Fit.Angle = round(c.pose.Angle(), 1e4)
	r.Fit.Move = rounded(layout.VecOf(c.pose.Move))
	for i, row := range c.pose.Turn {
		for j, v := range row {
			r.Fit.Turn[i][j] = round(v, 1e8)
		}
	}
	pointOf := map[int]int{}
	for i, k := range c.weld {
		if k >= 0 {
			pointOf[k] = i
		}
	}
	sum := 0.0
	for k := range c.plan.Welds {
		i, ok := pointOf[k]
		if !ok {
			r.Missing = append(r.Missing, c.planned(k))
			continue
		}
		p := c.paired(k, i)
		if p.Distance <= c.opt.Tolerance {
			r.Matched = append(r.Matched, p)
			sum += p.Distance * p.Distance
		} else {
			r.Displaced = append(r.Displaced, p)
		}
	}
	if n := len(r.Matched); n > 0 {
		r.RMS = round(math.Sqrt(sum/float64(n)), 1e4)
	}
	for i, k := range c.weld {
		if k < 0 {
			r.Extra = append(r.Extra, c.extra(i))
		}
	}
	c.countFlanges(r)
	r.leaveOutBare()
	return r
}

// leaveOutBare names the flanges without any point once: nobody measured there, and their welds would drown those that are
// truly missing.
func (r *Report) leaveOutBare() {
	r.NotMeasured = []string{}
	for i := range r.Flanges {
		if f := &r.Flanges[i]; f.Planned > 0 && f.Measured == 0 {
			f.Missing = 0
			r.NotMeasured = append(r.NotMeasured, f.Flange)
		}
	}
	r.Missing = slices.DeleteFunc(r.Missing, func(w Weld) bool { return slices.Contains(r.NotMeasured, w.Flange) })
}

func (c *comparison) planned(k int) Weld {
	w := c.plan.Welds[k]
	return Weld{Station: w.Station, Number: w.Number, Joint: w.Joint, Flange: w.Flange, At: rounded(w.Position)}
}

func (c *comparison) paired(k, i int) Pair {
	p := Pair{Weld: c.planned(k), Point: c.points[i].ID, Line: c.points[i].Line, Measured: rounded(layout.VecOf(c.moved[i])),
		Distance: round(c.distance(k, i), 1e4)}
	for _, l := range c.lines {
		if l.flange.ID == p.Flange {
			s, _ := l.curve.Nearest(c.moved[i])
			p.Along = round(l.ahead(s-c.plan.Welds[k].Along), 1e4)
		}
	}
	return p
}

// ahead takes the shorter way round a closed line.
func (l *line) ahead(d float64) float64 {
	if !l.flange.Closed {
		return d
	}
	return math.Remainder(d, l.flange.Length)
}

func (c *comparison) extra(i int) Extra {
	e := Extra{Point: c.points[i].ID, Line: c.points[i].Line, Measured: rounded(layout.VecOf(c.moved[i]))}
	if k := c.home[i]; k >= 0 {
		f := c.lines[k].flange
		e.Joint, e.Flange, e.Along, e.Off = f.Joint, f.ID, round(c.along[i], 1e4), round(c.off[i], 1e4)
	}
	return e
}

// countFlanges sums up by flange; a point counts where its weld is, or else on the line that it is nearest to.
func (c *comparison) countFlanges(r *Report) {
	for k, l := range c.lines {
		out := FlangeCount{Flange: l.flange.ID, Joint: l.flange.Joint, Planned: len(l.welds), Pitch: round(l.meanPitch(c.plan), 1e4)}
		var along []float64
		for i, home := range c.home {
			mine := home == k
			if w := c.weld[i]; w >= 0 {
				mine = c.plan.Welds[w].Flange == l.flange.ID
			}
			if mine {
				s, _ := l.curve.Nearest(c.moved[i])
				along = append(along, s)
			}
		}
		slices.Sort(along)
		out.Measured, out.Found = len(along), round(meanPitch(along, l.flange), 1e4)
		for _, p := range r.Matched {
			out.Matched += one(p.Flange == out.Flange)
		}
		for _, p := range r.Displaced {
			out.Displaced += one(p.Flange == out.Flange)
		}
		out.Missing = out.Planned - out.Matched - out.Displaced
		out.Extra = out.Measured - out.Matched - out.Displaced
		if out.Planned > 0 || out.Measured > 0 {
			r.Flanges = append(r.Flanges, out)
		}
	}
}

func one(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// round keeps 1/steps; minus zero becomes zero.
func round(v, steps float64) float64 { return math.Round(v*steps)/steps + 0 }

func rounded(v layout.Vec) layout.Vec {
	for i := range v {
		v[i] = round(v[i], 1e4)
	}
	return v
}
