package pitch

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// small is a line of few integer places, blocked between some of them, for which every set of places can
// be tried.
type small struct {
	n           int
	least, most int
	blocked     []bool // place i is in a keep-out
	free        []Span
}

func drawSmall(t *rapid.T, places int) small {
	s := small{n: rapid.IntRange(4, places).Draw(t, "places"), least: rapid.IntRange(1, 4).Draw(t, "least")}
	s.most = s.least + rapid.IntRange(0, 4).Draw(t, "more")
	s.blocked = make([]bool, s.n)
	for range rapid.IntRange(0, 4).Draw(t, "keep-outs") {
		from := rapid.IntRange(0, s.n-1).Draw(t, "from")
		for k := from; k < min(s.n, from+rapid.IntRange(1, 4).Draw(t, "width")); k++ {
			s.blocked[k] = true
		}
	}
	for i := 0; i < s.n; i++ {
		if s.blocked[i] {
			continue
		}
		if k := len(s.free) - 1; i > 0 && !s.blocked[i-1] {
			s.free[k].To = float64(i)
		} else {
			s.free = append(s.free, Span{float64(i), float64(i)})
		}
	}
	return s
}

// best tries every set of free places that holds both ends and returns the least excess over the greatest
// pitch, the least number of welds at that excess, and the least sum of squared pitches at that number.
func (s small) best() (excess, count int, squares float64) {
	from, to := int(s.free[0].From), int(s.free[len(s.free)-1].To)
	excess, count, squares = math.MaxInt, math.MaxInt, math.Inf(1)
	for set := 0; set < 1<<s.n; set++ {
		if set>>from&1 == 0 || set>>to&1 == 0 || set&(1<<from-1) != 0 || set>>(to+1) != 0 {
			continue
		}
		welds, over, sum, last, ok := 0, 0, 0.0, -1, true
		for i := 0; i < s.n && ok; i++ {
			if set>>i&1 == 0 {
				continue
			}
			if ok = !s.blocked[i]; ok && last >= 0 {
				p := i - last
				ok = p >= s.least
				over = max(over, p-s.most)
				sum += float64(p * p)
			}
			last = i
			welds++
		}
		if !ok {
			continue
		}
		if over < excess || over == excess && (welds < count || welds == count && sum < squares) {
			excess, count, squares = over, welds, sum
		}
	}
	return excess, count, squares
}

// With integer places, least and greatest pitch and keep-out edges, the best real placement needs no fewer
// welds than the best integer one; and it must be at least as even.
func TestStretchEqualsExhaustiveSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSmall(t, 15)
		if len(s.free) == 0 || s.free[len(s.free)-1].To-s.free[0].From < float64(s.least) {
			return
		}
		b := Bounds{float64(s.least), float64(s.most)}
		stretch := newStretch(s.free, b)
		excess, count, sum := s.best()
		if over := stretch.b.Most - b.Most; math.Abs(over-float64(excess)) > 1e-5 {
			if over > float64(excess) || excess == 0 { // real places can need less excess, never more
				t.Fatalf("%+v: excess %g, exhaustive %d", s, over, excess)
			}
			return
		}
		if stretch.count() != count {
			t.Fatalf("%+v: %d welds, exhaustive %d", s, stretch.count(), count)
		}
		x := stretch.places()
		if got := squares(x); got > sum+1e-5 {
			t.Fatalf("%+v: %v has sum of squares %g, exhaustive %g", s, x, got, sum)
		}
		checkPlaces(t, x, s.free, stretch.b)
	})
}

func checkPlaces(t *rapid.T, x []float64, free []Span, b Bounds) {
	if !b.hold(x) {
		t.Fatalf("%v breaks the pitch %g to %g", x, b.Least, b.Most)
	}
	if i, _, _ := firstHit(x, alike(free)); i >= 0 {
		t.Fatalf("weld %d of %v is in a keep-out; free %v", i, x, free)
	}
}

// Every number of welds that any set of integer places allows is among the counts offered.
func TestCountsEqualExhaustiveSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSmall(t, 13)
		if len(s.free) == 0 {
			return
		}
		from, to := int(s.free[0].From), int(s.free[len(s.free)-1].To)
		got := map[int]bool{}
		for _, n := range forward(s.free, Bounds{float64(s.least), float64(s.most)}).counts(float64(to)) {
			got[n] = true
		}
		// ways[i]: numbers of welds with which place i can be reached
		ways := make([]map[int]bool, s.n)
		for i := range ways {
			ways[i] = map[int]bool{}
		}
		ways[from][1] = true
		for i := from; i <= to; i++ {
			for p := s.least; p <= s.most && i+p <= to; p++ {
				for n := range ways[i] {
					if !s.blocked[i+p] {
						ways[i+p][n+1] = true
					}
				}
			}
		}
		if len(ways[to]) != len(got) {
			t.Fatalf("%+v: counts %v, exhaustive %v", s, got, ways[to])
		}
		for n := range ways[to] {
			if !got[n] {
				t.Fatalf("%+v: count %d is missing from %v", s, n, got)
			}
		}
	})
}

// bestRing tries every set of free places on a ring.
func (s small) bestRing() (count int, sum float64) {
	count, sum = math.MaxInt, math.Inf(1)
	for set := 1; set < 1<<s.n; set++ {
		var x []int
		ok := true
		for i := 0; i < s.n; i++ {
			if set>>i&1 == 1 {
				ok = ok && !s.blocked[i]
				x = append(x, i)
			}
		}
		if !ok || len(x) < min(LeastClosed, s.n/s.least) {
			continue
		}
		q := 0.0
		for k := range x {
			p := x[(k+1)%len(x)] - x[k]
			if p <= 0 {
				p += s.n
			}
			ok = ok && p >= s.least && p <= s.most
			q += float64(p * p)
		}
		if ok && (len(x) < count || len(x) == count && q < sum) {
			count, sum = len(x), q
		}
	}
	return count, sum
}

func TestRingEqualsExhaustiveSearch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSmall(t, 13)
		count, sum := s.bestRing()
		if count == math.MaxInt {
			return // see TestRingSaysWhatItCannotKeep
		}
		r := Ring{Length: float64(s.n), Pitch: Bounds{float64(s.least), float64(s.most)}}
		for i := range s.n { // a blocked place keeps welds off nearly up to its neighbours
			if s.blocked[i] {
				r.Blocked = append(r.Blocked, Span{math.Max(0, float64(i)-0.9), float64(i) + 0.9})
				if i == 0 {
					r.Blocked = append(r.Blocked, Span{r.Length - 0.9, r.Length})
				}
			}
		}
		r.Blocked = Merge(r.Blocked)
		p := r.Place(0)
		if p.ByPitch > count || len(p.At) != p.ByPitch {
			t.Fatalf("%+v: %d welds (%d places), exhaustive %d", s, p.ByPitch, len(p.At), count)
		}
		if p.ByPitch < count {
			return // real places may do with fewer than integer ones
		}
		if got := ringSquares(p.At, r.Length); got > sum+1e-5 {
			t.Fatalf("%+v: %v has sum of squares %g, exhaustive %g", s, p.At, got, sum)
		}
	})
}

func ringSquares(u []float64, length float64) float64 {
	sum := 0.0
	for i := range u {
		p := u[(i+1)%len(u)] - u[i]
		if p <= 0 {
			p += length
		}
		sum += p * p
	}
	return sum
}

// Whatever is drawn, a ring's welds are free, apart, and the number is no less than the length demands; and
// when the greatest pitch is broken, some keep-out is wider or the finer grid finds no placement either.
func TestRingSaysWhatItCannotKeep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 7))
		r := Ring{Length: 20 + 200*rng.Float64(), Pitch: Bounds{4, 8 + 10*rng.Float64()}}
		for range rng.IntN(6) {
			from := r.Length * rng.Float64()
			to := from + 12*rng.Float64()
			r.Blocked = append(r.Blocked, Span{from, math.Min(to, r.Length)})
			if to > r.Length {
				r.Blocked = append(r.Blocked, Span{0, to - r.Length})
			}
		}
		r.Blocked = Merge(r.Blocked)
		p := r.Place(rng.IntN(20))
		worst := 0.0
		for i, u := range p.At {
			for _, b := range r.Blocked {
				if u > b.From+1e-5 && u < b.To-1e-5 {
					t.Fatalf("%+v: weld at %g is in keep-out %v", r, u, b)
				}
			}
			gap := p.At[(i+1)%len(p.At)] - u
			if i == len(p.At)-1 {
				gap += r.Length
			}
			if gap < r.Pitch.Least-1e-5 {
				t.Fatalf("%+v: pitch %g in %v", r, gap, p.At)
			}
			worst = math.Max(worst, gap)
		}
		if covered := len(r.Blocked) == 1 && r.Blocked[0].Length() >= r.Length; (len(p.At) == 0) != covered {
			t.Fatalf("%+v: welds %v", r, p.At)
		}
		if worst > r.Pitch.Most+1e-5 && !r.needsExcess() {
			t.Fatalf("%+v: pitch %g in %v, but a placement without excess exists", r, worst, p.At)
		}
		if len(p.At) > 0 && worst <= r.Pitch.Most+1e-5 && float64(p.ByPitch)*r.Pitch.Most < r.Length-1e-5 {
			t.Fatalf("%+v: %d welds cannot close the ring", r, p.ByPitch)
		}
	})
}

// needsExcess looks on a grid of 0.05 mm for a placement that keeps both pitches, on an independent way:
// reachable places from every start on the grid.
func (r Ring) needsExcess() bool {
	const step = 0.05
	n := int(r.Length / step)
	free := make([]bool, n)
	for i := range free {
		free[i] = true
		for _, b := range r.Blocked {
			if x := float64(i) * step; x > b.From-1e-9 && x < b.To+1e-9 {
				free[i] = false
			}
		}
	}
	low, high := int(math.Ceil(r.Pitch.Least/step))+1, int(r.Pitch.Most/step)-1
	for start := 0; start <= int(r.Pitch.Most/step)+1 && start < n; start++ {
		if !free[start] {
			continue
		}
		// places reached, with a running count of reached places for quick windows
		sum := make([]int, n+2)
		for i := 0; i <= n; i++ {
			ok := i == 0
			if at := (start + i) % n; i > 0 && (free[at] || i == n) {
				a, b := i-high, i-low
				if b >= 0 {
					ok = sum[b+1]-sum[max(0, a)] > 0
				}
			}
			sum[i+1] = sum[i]
			if ok {
				sum[i+1]++
				if i == n {
					return false
				}
			}
		}
	}
	return true
}

func TestTautStringIsEvenest(t *testing.T) {
	// A gate that forces the middle weld off its even place: the pitches on either side are equal again.
	x := taut([]float64{0, 0, 14, 0, 40}, []float64{0, 40, 16, 40, 40})
	want := []float64{0, 8, 16, 28, 40}
	for i := range want {
		if math.Abs(x[i]-want[i]) > 1e-12 {
			t.Fatalf("taut string %v, want %v", x, want)
		}
	}
}

func TestTautStringBeatsRandomPlacements(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		n := 3 + rng.IntN(8)
		low, high := make([]float64, n), make([]float64, n)
		for i := range low {
			a := float64(i)*10 + 8*rng.Float64() - 4
			low[i], high[i] = a, a+6*rng.Float64()
		}
		high[0], low[n-1] = low[0], high[n-1]
		best := squares(taut(low, high))
		for range 300 {
			x := make([]float64, n)
			for i := range x {
				x[i] = low[i] + (high[i]-low[i])*rng.Float64()
			}
			if squares(x) < best-1e-9 {
				t.Fatalf("%v is evener than the taut string through %v %v", x, low, high)
			}
		}
	})
}
