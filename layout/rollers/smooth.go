package rollers

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/mat"

	"seamwright/geometry/flange"
)

// smoothed returns the offsets that keep the bounds and make the smoothest path near the line: the least
// sum of squared offsets plus weighted squares of how fast the path's curvature across the strip changes
// (its third difference). Straights and arcs change nothing there, so they are not drawn in.
func smoothed(line even, low, high []float64, length float64) []float64 {
	stations := line.stations
	pad := 0
	if line.closed { // gone round far enough beyond both ends that these do not show
		pad = min(len(stations), int(4*length/line.pitch))
		stations = around(stations, pad)
		low, high = around(low, pad), around(high, pad)
	}
	s := smoother{stations: stations, weight: weightOf(length, line.pitch), pull: make([]float64, len(stations)),
		target: make([]float64, len(stations))}
	for i := range s.pull {
		s.pull[i] = 1
	}
	offset := s.solve()
	for range 40 {
		if !s.hold(offset, low, high) {
			break
		}
		offset = s.solve()
	}
	for i := range offset {
		offset[i] = math.Min(high[i], math.Max(low[i], offset[i]))
	}
	return offset[pad : len(offset)-pad]
}

// around repeats a closed line's values before its start and behind its end.
func around[T any](v []T, pad int) []T {
	return slices.Concat(v[len(v)-pad:], v, v[:pad])
}

// weightOf is the weight at which a ripple of the given length is halved: its third difference at the
// pitch, squared, is (2 sin(pi pitch/length))^6 of its square.
func weightOf(length, pitch float64) float64 {
	d := 2 * math.Sin(math.Pi*math.Min(0.5, pitch/length))
	return 1 / math.Pow(d, 6)
}

// smoother is the least-squares problem: pull to target at each station, and the weighted third differences.
type smoother struct {
	stations []flange.LinePoint
	weight   float64
	pull     []float64
	target   []float64
}

// firm is the pull of a station that is held at a bound, against the 1 of the others.
const firm = 1e6

// hold pins the stations that break a bound to it, and reports whether there were any.
func (s *smoother) hold(offset, low, high []float64) bool {
	found := false
	for i, o := range offset {
		to := math.Min(high[i], math.Max(low[i], o))
		if math.Abs(to-o) > 0.01 && (s.pull[i] != firm || s.target[i] != to) {
			s.pull[i], s.target[i], found = firm, to, true
		}
	}
	return found
}

// solve returns the offsets of the least sum.
func (s *smoother) solve() []float64 {
	n := len(s.stations)
	a := mat.NewSymBandDense(n, 3, nil)
	b := mat.NewVecDense(n, nil)
	for i := range n {
		a.SetSymBand(i, i, s.pull[i])
		b.SetVec(i, s.pull[i]*s.target[i])
	}
	third := [4]float64{-1, 3, -3, 1}
	for i := 0; i+3 < n; i++ {
		across := unit(s.stations[i+1].Across.Add(s.stations[i+2].Across), s.stations[i+1].Across)
		var row [4]float64
		var line r3.Vector
		for k, c := range third {
			line = line.Add(s.stations[i+k].Point.Mul(c))
			row[k] = c * s.stations[i+k].Across.Dot(across)
		}
		off := line.Dot(across)
		for k := range row {
			b.SetVec(i+k, b.AtVec(i+k)-float64(s.weight*row[k]*off))
			for m := k; m < 4; m++ {
				a.SetSymBand(i+k, i+m, a.At(i+k, i+m)+float64(s.weight*row[k]*row[m]))
			}
		}
	}
	var c mat.BandCholesky
	out := mat.NewVecDense(n, nil)
	if !c.Factorize(a) || c.SolveVecTo(out, b) != nil {
		return make([]float64, n) // cannot be: the pulls make the matrix positive definite
	}
	return out.RawVector().Data
}
