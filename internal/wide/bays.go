package wide

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/surface"
	"seamwright/internal/hardpanels"
)

// way is the path of a bay: straight, an arc in the plane or out of it, an S, or twisted.
func (m *maker) way(length float64) path {
	n := max(2, int(length/m.between(7, 45)))
	r := pick(m, -1, 1.) * m.between(130, 900)
	phase := m.between(0, 6)
	switch m.rng.IntN(7) {
	case 0:
		return course(length, max(n, 9), func(float64) (float64, float64, float64) { return 1 / r, 0, 0 })
	case 1:
		return course(length, max(n, 9), func(float64) (float64, float64, float64) { return 0, 1 / r, 0 })
	case 2:
		return course(length, max(n, 14), func(s float64) (float64, float64, float64) {
			return math.Sin(2*math.Pi*s/length+phase) / 150, 0, 0
		})
	case 3:
		return course(length, max(n, 12), func(s float64) (float64, float64, float64) { return 1 / r, s / length / 700, .4 / length })
	}
	return course(length, n, func(float64) (float64, float64, float64) { return 0, 0, 0 })
}

// air is what lies between two sheets beside what touches.
func (m *maker) air() float64 { return pick(m, 0, 0, 0, .1, .2, m.tenths(.3, .6)) }

// rest is how two sheets of a bay lie on each other: their thicknesses, and how far their middles are apart.
func (m *maker) rest() (t, u, apart float64) {
	t, u = m.thickness(), m.thickness()
	return t, u, (t+u)/2 + m.air()
}

func lap(m *maker) (b bay) {
	t, u, h := m.rest()
	w := m.tenths(9, 46)
	p := m.way(m.tenths(70, 430))
	under, over := line(-m.tenths(25, 80), 0, w/2, 0), line(-w/2, h, m.tenths(20, 70)+w/2, h)
	if m.chance(.4) {
		over = over[:1].onto(over[1]).bent(m.tenths(2, 6), pick(m, 90., 75, 40), m.tenths(10, 45))
	}
	if m.chance(.3) {
		under = line(w/2, 0, -m.tenths(6, 30)-w/2, 0).bent(m.tenths(2, 5), pick(m, -90., 85, 60), m.tenths(15, 40))
	}
	solid := pick(m, "", "", "", "solid")
	from, to := plain(p, under), plain(p, over)
	from.surface, from.thick, to.surface, to.thick = solid, t, solid, u
	if m.chance(.2) && solid == "" {
		n := len(p)
		to.path = p[n/5 : n-n/5]
	}
	x, y := m.panel(&b, "under", t, from), m.panel(&b, "over", u, to)
	m.joint(&b, []string{x, y}, p.place(.5, 0, h/2), p.place(.3, 0, h/2), p.place(.72, 0, h/2), p.place(.12, 0, h/2))
	b.gauged(m, p.place(0, -20, 0), p.place(1, -20, 0))
	b.late = 1
	return b
}

func (s section) onto(p r2.Point) section { return append(append(section{}, s...), p) }

// gauged adds places on panels.
func (b *bay) gauged(m *maker, places ...r3.Vector) {
	for _, p := range places {
		b.ends = append(b.ends, m.placed(p))
	}
}

// angles are two flanges that stand up from their walls, or lie on a floor.
func angles(m *maker) (b bay) {
	t, u, h := m.rest()
	w := m.tenths(10, 26)
	p := m.way(m.tenths(90, 380))
	one := line(0, 0, w, 0).bent(m.tenths(1.5, 7), -pick(m, 90., 80, 100, 45), m.tenths(25, 60))
	two := line(m.tenths(0, 2), h, w+m.tenths(-1, 3), h).bent(m.tenths(1.5, 7), pick(m, 90., 85, 60, -88), m.tenths(25, 60))
	if two[len(two)-1].Y < 0 { // both walls go the same way: one in the other
		two = line(w+m.tenths(8, 40), h, 0, h)
	}
	notch := func(s skin) skin {
		if m.chance(.5) {
			return s
		}
		n := len(s.path)
		s.without = func(i, j int) bool { return j == 0 && i == n/2 }
		base := s.section
		s.section = func(i int) section { // the free edge is cut back about the middle
			q := append(section{}, base(i)...)
			at := q[0].Add(q[1].Sub(q[0]).Mul(.4))
			return append(section{q[0], at}, q[1:]...)
		}
		return s
	}
	x, y := m.panel(&b, "one", t, notch(plain(p, one))), m.panel(&b, "two", u, notch(plain(p, two)))
	m.joint(&b, []string{x, y}, p.place(.4, w/2, h/2), p.place(.15, w/2, h/2), p.place(.8, w/2, h/2))
	b.gauged(m, p.place(0, w/2, 0), p.place(1, w/2, 0))
	return b
}

// gutter is a channel with a sheet in it.
func gutter(m *maker) (b bay) {
	t, u, h := m.rest()
	w, deep := m.tenths(13, 30), m.tenths(14, 40)
	p := m.way(m.tenths(120, 400))
	out := line(-w/2-3, deep, -w/2-3, 3).bent(3, 90, w).bent(3, 90, deep)
	in := line(w/2, h, -w/2+3, h).bent(2.5, -pick(m, 90., 75, 60), deep+m.tenths(-6, 30))
	if m.chance(.3) {
		in = line(-w/2+.5, h, w/2-.5, h)
	}
	x, y := m.panel(&b, "channel", t, plain(p, out)), m.panel(&b, "inner", u, plain(p, in))
	m.joint(&b, []string{x, y}, p.place(.5, 0, h/2), p.place(.2, 0, h/2), p.place(.9, 0, h/2))
	b.gauged(m, p.place(.1, 0, 0), p.place(.9, 0, 0))
	return b
}

// hat is a closed section: two flanges on a plate.
func hat(m *maker) (b bay) {
	t, u, h := m.rest()
	p := m.way(m.tenths(120, 400))
	f, lean := m.tenths(12, 22), pick(m, 60., 75, 90)
	s := line(0, 0, f, 0).bent(3, lean, m.tenths(18, 40)).bent(3, -lean, m.tenths(25, 60))
	s = s.bent(3, -lean, s[len(s)-1].Y-3*(1-math.Cos(lean*math.Pi/180))*2).bent(3, lean, f)
	last := s[len(s)-1]
	s[len(s)-1].Y, s[len(s)-2].Y = 0, 0
	x := m.panel(&b, "hat", t, plain(p, s))
	y := m.panel(&b, "plate", u, plain(p, line(-m.tenths(0, 12), -h, last.X/2, -h, last.X+m.tenths(0, 12), -h)))
	left, right := p.place(.5, f/2, -h/2), p.place(.5, last.X-f/2, -h/2)
	if m.chance(.5) {
		m.joint(&b, []string{x, y}, left, right, p.place(.2, f/2, -h/2))
	} else {
		j := m.joint(&b, []string{y, x}, left, p.place(.85, f/2, -h/2))
		j["near_mm"] = append(xyz(m.placed(left)), 8)
		m.joint(&b, []string{x, y}, right, p.place(.3, last.X-f/2, -h/2))
	}
	b.gauged(m, p.place(0, last.X/2, -h), p.place(1, last.X/2, -h))
	b.late = 1
	return b
}

// three are three sheets, the third along part of the others.
func three(m *maker) (b bay) {
	t, u, h := m.rest()
	v := m.thickness()
	k := h + (u+v)/2 + m.air()
	w := m.tenths(14, 30)
	p := m.way(m.tenths(160, 420))
	n := len(p)
	x := m.panel(&b, "low", t, plain(p, line(-60, 0, w, 0).bent(4, -90, 30)))
	y := m.panel(&b, "mid", u, plain(p, line(m.tenths(0, 3), h, w+40, h)))
	third := plain(p, line(m.tenths(-2, 2), k, w, k).bent(3, 80, 25))
	part := m.chance(.6)
	if part {
		third.path = p[:max(2, n*2/3)]
	}
	z := m.panel(&b, "top", v, third)
	m.joint(&b, []string{x, y, z}, p.place(.3, w/2, h), p.place(.1, w/2, h))
	if part {
		m.joint(&b, []string{x, y}, p.place(.85, w/2, h/2))
	}
	b.gauged(m, p.place(0, -50, 0), p.place(1, -50, 0))
	b.late = 1
	return b
}

// ring is a closed flange round a hole or a rim.
func ring(m *maker) (b bay) {
	t, u, h := m.rest()
	r := m.tenths(45, 150)
	n := 24 + m.rng.IntN(40)
	w := m.tenths(11, 20)
	p := course(2*math.Pi*r, n, func(float64) (float64, float64, float64) { return 1 / r, 0, 0 })
	p[n] = p[0]
	plate := plain(p, line(-m.tenths(10, 40), 0, w/2, 0))
	rim := line(-w/2, h, w/2, h).bent(3, pick(m, 90., 70), m.tenths(12, 30))
	if m.chance(.4) {
		rim = line(-w/2, h, w/2+m.tenths(3, 20), h)
	}
	cup := plain(p, rim)
	plate.closed, cup.closed = true, true
	x, y := m.panel(&b, "plate", t, plate), m.panel(&b, "cup", u, cup)
	m.joint(&b, []string{x, y}, p.place(.05, 0, h/2), p.place(.4, 0, h/2), p.place(.7, 0, h/2))
	b.gauged(m, p.place(0, 0, 0), p.place(.5, 0, 0))
	return b
}

// hem is a sheet folded round another's edge.
func hem(m *maker) (b bay) {
	t, u := pick(m, .7, .8, 1), pick(m, .7, .9, 1.2)
	r := (t + u) / 2
	p := m.way(m.tenths(120, 380))
	x := m.panel(&b, "skin", t, plain(p, line(60, 0, 3, 0).bent(r, 180, m.tenths(8, 14))))
	y := m.panel(&b, "frame", u, plain(p, line(4, -r, 30, -r).bent(4, pick(m, -90., -45), 20)))
	m.joint(&b, []string{x, y}, p.place(.5, 8, -r), p.place(.2, 8, -r))
	b.gauged(m, p.place(0, 50, 0), p.place(1, 50, 0))
	return b
}

// patch is a small plate on a big one, with no edge near.
func patch(m *maker) (b bay) {
	t, u, h := m.rest()
	p := m.way(m.tenths(180, 320))
	n := len(p)
	x := m.panel(&b, "base", t, plain(p, line(-90, 0, -30, 0, 30, 0, 95, 0)))
	w := m.tenths(9, 34)
	small := plain(p, line(-w, h, w, h))
	small.path = p[max(1, n/4) : n-max(1, n/4)]
	y := m.panel(&b, "patch", u, small)
	m.joint(&b, []string{x, y}, p.place(.5, 0, h/2), p.place(.5, w*.6, h/2))
	b.gauged(m, p.place(0, -80, 0), p.place(0, 80, 0))
	return b
}

// broad are two plates that lie on each other all over, welded in rows, with windows in one.
func broad(m *maker) (b bay) {
	t, u, h := m.rest()
	p := m.way(m.tenths(90, 260))
	a := m.tenths(28, 70)
	across := line(-a, 0, -a/2, 0, 0, 0, a/3, 0, a, 0)
	base, top := plain(p, across), plain(p, across.raised(h))
	if m.chance(.5) {
		n := len(p)
		top.without = func(i, j int) bool { return j == 2 && i > n/3 && i < n/3+3 }
	}
	x, y := m.panel(&b, "base", t, base), m.panel(&b, "cover", u, top)
	j := m.joint(&b, []string{x, y}, p.place(.5, -a/4, h/2), p.place(.2, a/2, h/2))
	if m.chance(.75) {
		j["row_pitch_mm"] = m.tenths(18, 40)
	}
	b.gauged(m, p.place(0, -a, 0), p.place(1, a, 0))
	return b
}

// blank is a drawn flat blank with holes, and a member on it.
func blank(m *maker) (b bay) {
	m.turned = [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	t, u, h := m.rest()
	long, wide := m.tenths(160, 420), m.tenths(90, 200)
	id := m.prefix + "-blank"
	var d bytes.Buffer
	d.WriteString("0\nSECTION\n2\nENTITIES\n")
	cut := m.tenths(5, 25)
	loop := []r2.Point{{X: 0, Y: 0}, {X: long - cut, Y: 0}, {X: long, Y: cut}, {X: long, Y: wide}, {X: 0, Y: wide}}
	for i, from := range loop {
		to := loop[(i+1)%len(loop)]
		if i == 3 && m.chance(.7) { // the far side is bowed
			fmt.Fprintf(&d, "0\nLWPOLYLINE\n8\nEDGE\n90\n2\n70\n0\n10\n%g\n20\n%g\n42\n%g\n10\n%g\n20\n%g\n", from.X, from.Y, m.between(-.05, .05),
				to.X, to.Y)
			continue
		}
		fmt.Fprintf(&d, "0\nLINE\n8\nEDGE\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", from.X, from.Y, to.X, to.Y)
	}
	y := m.tenths(30, 55)
	circle := func(layer string, x, y, r float64) {
		fmt.Fprintf(&d, "0\nCIRCLE\n8\n%s\n10\n%g\n20\n%g\n40\n%g\n", layer, x, y, r)
	}
	circle("HOLES", long*.3, y+m.tenths(-8, 8), m.tenths(3, 8))
	circle("HOLES", long*.8, wide-20, m.tenths(6, 15))
	m.slots(&d, long, wide)
	layers := []table{{"layer": "EDGE", "role": "outline"}, {"layer": "HOLES", "role": "hole"}}
	if m.chance(.6) {
		circle("KEEP", long*.6, y, m.tenths(6, 20))
		layers = append(layers, table{"layer": "KEEP", "role": "keep-out"})
	}
	d.WriteString("0\nENDSEC\n0\nEOF\n")
	m.files[id+".dxf"] = d.Bytes()
	b.panels = append(b.panels, table{"id": id, "outline": id + ".dxf", "steel": m.steel(t), "layers": layers,
		"place": table{"move_mm": xyz(m.moved)}})
	m.moved = r3.Vector{X: xyz(m.moved)[0], Y: xyz(m.moved)[1], Z: xyz(m.moved)[2]}
	p := course(long-30, 6+m.rng.IntN(12), func(float64) (float64, float64, float64) { return 0, 0, 0 })
	w := m.tenths(12, 24)
	over := plain(p, line(y-w/2, h, y+w/2, h).bent(4, 90, m.tenths(12, 40)))
	for i := range over.path {
		over.path[i].at.X += 15
	}
	member := m.panel(&b, "member", u, over)
	m.joint(&b, []string{id, member}, p.place(.5, y, h/2), p.place(.1, y, h/2), p.place(.8, y, h/2))
	b.gauged(m, r3.Vector{}, r3.Vector{X: long, Y: wide})
	return b
}

// slots draws further openings by other kinds of entities: arcs and lines, an ellipse, a spline.
func (m *maker) slots(d *bytes.Buffer, long, wide float64) {
	y := wide - 25
	if m.chance(.6) {
		x, r, l := long*.15, m.tenths(4, 8), m.tenths(8, 20)
		fmt.Fprintf(d, "0\nARC\n8\nHOLES\n10\n%g\n20\n%g\n40\n%g\n50\n90\n51\n270\n", x, y, r)
		fmt.Fprintf(d, "0\nARC\n8\nHOLES\n10\n%g\n20\n%g\n40\n%g\n50\n270\n51\n90\n", x+l, y, r)
		for _, side := range []float64{-r, r} {
			fmt.Fprintf(d, "0\nLINE\n8\nHOLES\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", x, y+side, x+l, y+side)
		}
	}
	if m.chance(.5) {
		fmt.Fprintf(d, "0\nELLIPSE\n8\nHOLES\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n40\n%g\n41\n0\n42\n6.283185307179586\n", long*.45, y,
			m.tenths(8, 14), m.tenths(-4, 4), m.between(.4, .9))
	}
	if m.chance(.6) {
		x, r := long*.62, m.tenths(6, 12)
		d.WriteString("0\nSPLINE\n8\nHOLES\n70\n9\n71\n3\n72\n11\n73\n7\n")
		for _, k := range []float64{0, 0, 0, 0, 1, 2, 3, 4, 4, 4, 4} {
			fmt.Fprintf(d, "40\n%g\n", k)
		}
		for i := range 7 {
			sin, cos := math.Sincos(float64(i) / 6 * 2 * math.Pi)
			fmt.Fprintf(d, "10\n%g\n20\n%g\n", math.Round(1000*(x+r*cos))/1000, math.Round(1000*(y+.8*r*sin))/1000)
		}
	}
}

// drawn are sheets whose weld line stands in a file, open with a width, or an outline.
func drawn(m *maker) (b bay) {
	t, u, h := m.rest()
	p := m.way(m.tenths(150, 350))
	w := m.tenths(12, 26)
	x := m.panel(&b, "under", t, plain(p, line(-60, 0, w/2, 0)))
	y := m.panel(&b, "over", u, plain(p, line(-w/2, h, 60, h)))
	j := m.joint(&b, []string{x, y}, p.place(.5, 0, h/2), p.place(.25, 0, h/2))
	delete(j, "near_mm")
	name := m.prefix + "-line.csv"
	text := "x,y,z\n"
	row := func(share, x float64) {
		q := m.placed(p.place(share, x, h/2))
		text += fmt.Sprintf("%.3f,%.3f,%.3f\n", q.X, q.Y, q.Z)
	}
	of := table{"file": name}
	if m.chance(.7) {
		for i := range 21 {
			row(.03+.94*float64(i)/20, m.tenths(-.1, .1))
		}
		of["width_mm"] = w - 1
	} else {
		for i := range 21 {
			row(.03+.94*float64(i)/20, -w/2+1)
		}
		for i := range 21 {
			row(.97-.94*float64(i)/20, w/2-1)
		}
		row(.03, -w/2+1)
	}
	m.files[name] = []byte(text)
	j["weld_line"] = of
	b.gauged(m, p.place(0, -50, 0), p.place(1, 50, 0))
	return b
}

// twins are a joint on each side, the one the other's mirror image, or left to itself.
func twins(m *maker) (b bay) {
	m.turned = [3]r3.Vector{{X: 1}, {Y: 1}, {Z: 1}}
	m.moved.Y += 150
	t, u, h := m.rest()
	p := m.way(m.tenths(120, 350))
	w := m.tenths(14, 40)
	x := m.panel(&b, "inner", t, plain(p, line(-50, 0, w/2, 0)))
	y := m.panel(&b, "outer", u, plain(p, line(-w/2, h, 40, h).bent(4, 90, 20)))
	places := []r3.Vector{p.place(.5, 0, h/2), p.place(.2, 0, h/2)}
	first := m.joint(&b, []string{x, y}, places...)
	if w > 26 {
		first["rows"] = 2
	}
	delete(first, "near_mm")
	for _, id := range []string{x, y} {
		b.panels = append(b.panels, table{"id": id + "-r", "mesh": id + ".stl", "steel": b.panels[len(b.panels)-2]["steel"],
			"place": table{"mirror_y": true}})
	}
	other := table{"id": m.prefix + "2", "panels": []string{x + "-r", y + "-r"}, "mirror_of": first["id"]}
	b.joints = append(b.joints, other)
	for _, q := range places {
		at := m.placed(q)
		at.Y = -at.Y
		b.spots = append(b.spots, at)
	}
	b.gauged(m, p.place(0, -40, 0))
	at := m.placed(p.place(0, -40, 0))
	at.Y = -at.Y
	b.ends = append(b.ends, at)
	return b
}

// tee are strips on a plate whose weld lines meet, cross over, or run beside each other.
func tee(m *maker) (b bay) {
	t, u, h := m.rest()
	p := course(m.tenths(160, 300), 8, func(float64) (float64, float64, float64) { return 0, 0, 0 })
	w := m.tenths(12, 24)
	side := m.tenths(60, 160)
	x := m.panel(&b, "plate", t, plain(p, line(-w/2, 0, side, 0)))
	y := m.panel(&b, "long", u, plain(p, line(w/2, h, -w/2, h).bent(3, -90, 25)))
	q := course(side-w/2, 5, func(float64) (float64, float64, float64) { return 0, 0, 0 })
	at := p.place(m.between(.2, .8), w/2+m.tenths(0, 4), 0)
	for i := range q {
		f := q[i]
		q[i] = frame{at: at.Add(r3.Vector{Y: f.at.X}), along: r3.Vector{Y: 1}, across: r3.Vector{X: -1}, up: r3.Vector{Z: 1}}
	}
	z := m.panel(&b, "short", u, plain(q, line(-w/2, h, w/2, h).bent(3, 90, 25)))
	m.joint(&b, []string{x, y}, p.place(.15, 0, h/2), p.place(.9, 0, h/2))
	m.joint(&b, []string{z, x}, q.place(.5, 0, h/2), q.place(.1, 0, h/2))
	b.gauged(m, p.place(0, side-5, 0), p.place(1, side-5, 0))
	b.late = 1
	return b
}

// doubler is a third sheet under a lap, wider than the lap or narrower.
func doubler(m *maker) (b bay) {
	t, u, h := m.rest()
	v := m.thickness()
	p := m.way(m.tenths(150, 360))
	w, e := m.tenths(14, 30), m.tenths(-4, 8)
	n := len(p)
	x := m.panel(&b, "under", t, plain(p, line(-60, 0, w/2, 0)))
	y := m.panel(&b, "over", u, plain(p, line(-w/2, h, 60, h)))
	below := -(t + v) / 2
	third := plain(p, line(-w/2-e, below, w/2+e, below))
	third.path = p[n/4 : n-n/4]
	if len(third.path) < 2 {
		third.path = p
	}
	z := m.panel(&b, "doubler", v, third)
	m.joint(&b, []string{z, x, y}, p.place(.5, 0, 0))
	m.joint(&b, []string{x, y}, p.place(.1, 0, h/2), p.place(.9, 0, h/2))
	b.joints[1]["near_mm"] = append(xyz(b.spots[1]), 8)
	if m.chance(.5) { // the other end is left to the finder's remark
		b.joints[1]["near_mm"] = append(xyz(b.spots[2]), 8)
	}
	b.gauged(m, p.place(0, -50, 0), p.place(1, 50, 0))
	return b
}

// sprung is a lap that stands open at an end, or in the middle, or across.
func sprung(m *maker) (b bay) {
	t, u, h := m.rest()
	p := course(m.tenths(200, 420), 24, func(float64) (float64, float64, float64) { return 0, 0, 0 })
	w, open := m.tenths(14, 26), m.tenths(.5, 2.4)
	kind := m.rng.IntN(3)
	over := skin{path: p, section: func(i int) section {
		s := float64(i) / float64(len(p)-1)
		by := 0.
		switch kind {
		case 0:
			by = open * max(0, s-.6) / .4
		case 1:
			by = open * math.Exp(-40*(s-.5)*(s-.5))
		case 2:
			return line(-w/2, h, w/2, h+open/4, 50, h+open)
		}
		return line(-w/2, h+by, 50, h+by)
	}}
	x, y := m.panel(&b, "under", t, plain(p, line(-60, 0, w/2, 0))), m.panel(&b, "over", u, over)
	m.joint(&b, []string{x, y}, p.place(.25, 0, h/2), p.place(.5, 0, h/2), p.place(.92, 0, h/2))
	b.gauged(m, p.place(0, -50, 0), p.place(1, 50, 0))
	return b
}

// scanned is a short lap of noisy facets, or of skins.
func scanned(m *maker) (b bay) {
	t, u, h := m.rest()
	p := course(m.tenths(70, 110), 40+m.rng.IntN(20), func(float64) (float64, float64, float64) { return 0, 0, 0 })
	fine := func(from, to, z float64) section {
		var s section
		n := int(math.Abs(to-from) / 2)
		for i := range n + 1 {
			s = append(s, r2.Point{X: from + (to-from)*float64(i)/float64(n), Y: z})
		}
		return s
	}
	w := m.tenths(14, 20)
	noise, kind := m.tenths(.1, .2)/2, ""
	if m.chance(.5) {
		noise, kind = 0, "skin"
		h = pick(m, 0, h, (t+u)/2, t+u)
	}
	under, over := plain(p, fine(-20, w/2, 0)), plain(p, fine(-w/2, 20, h))
	under.noise, over.noise, under.surface, over.surface = noise, noise, kind, kind
	x, y := m.panel(&b, "under", t, under), m.panel(&b, "over", u, over)
	if kind != "" && m.chance(.5) {
		b.panels[0]["skin"], b.panels[1]["skin"] = pick(m, "outer", "faying"), pick(m, "outer", "faying")
	}
	m.joint(&b, []string{x, y}, p.place(.5, 0, h/2), p.place(.2, 0, h/2))
	b.gauged(m, p.place(0, -20, 0), p.place(1, -20, 0))
	return b
}

// boxed is a channel with a bracket in it that a lid closes: the bracket can only be welded before the lid is there.
func boxed(m *maker) (b bay) {
	t, u, h := m.rest()
	length, deep := m.tenths(140, 240), m.tenths(40, 70)
	p := course(length, 8, func(float64) (float64, float64, float64) { return 0, 0, 0 })
	wide := m.tenths(60, 110)
	out := line(-wide/2-18, deep, -wide/2-3, deep).bent(3, -90, deep-6).bent(3, 90, wide-6).bent(3, 90, deep-6).bent(3, -90, 15)
	x := m.panel(&b, "channel", t, plain(p, out))
	bracket := plain(p[2:6], line(-14, h, 8, h).bent(3, 90, deep*.6))
	y := m.panel(&b, "bracket", u, bracket)
	z := m.panel(&b, "lid", u, plain(p, line(-wide/2-18, deep+h, wide/2+18, deep+h)))
	m.joint(&b, []string{x, y}, p.place(.5, -3, h/2))
	m.joint(&b, []string{x, z}, p.place(.5, -wide/2-10, deep+h/2), p.place(.2, -wide/2-10, deep+h/2))
	b.gauged(m, p.place(0, 0, 0), p.place(1, 0, 0))
	return b
}

// sharp are flanges round a corner, welded from end to end.
func sharp(m *maker) (b bay) {
	t, u, h := m.rest()
	length, r := m.tenths(180, 340), m.tenths(14, 45)
	at := length * m.between(.35, .65)
	turn := pick(m, 1, -1.) * pick(m, 90., 90, 60, 120) * math.Pi / 180
	p := course(length, 30+m.rng.IntN(30), func(s float64) (float64, float64, float64) {
		if s > at && s < at+math.Abs(turn)*r {
			return math.Copysign(1/r, turn), 0, 0
		}
		return 0, 0, 0
	})
	w := m.tenths(9, 18)
	x := m.panel(&b, "lower", t, plain(p, line(-w/2, 0, w/2, 0).bent(2, -90, 25)))
	y := m.panel(&b, "upper", u, plain(p, line(-w/2+m.tenths(-1, 1), h, w/2, h).bent(2, 90, 25)))
	m.joint(&b, []string{x, y}, p.place(.2, 0, h/2), p.place(.8, 0, h/2), p.place(.5, 0, h/2))
	b.gauged(m, p.place(0, 0, 0), p.place(1, 0, 0))
	return b
}

// hard is one of the finder's hard pairs of panels.
func hard(m *maker) (b bay) {
	classes := hardpanels.Classes()
	for {
		class := classes[m.rng.IntN(len(classes))]
		c := class.Make(rand.New(rand.NewPCG(uint64(m.number), m.rng.Uint64())))
		facets := 0
		for _, s := range c.Sheets {
			facets += len(s.Mesh.Triangles)
		}
		if facets > 6000 {
			continue
		}
		var ids []string
		for i, s := range c.Sheets {
			id := fmt.Sprintf("%s-p%d", m.prefix, i+1)
			ids = append(ids, id)
			own := &mesh.Mesh{Triangles: s.Mesh.Triangles}
			for _, v := range s.Mesh.Vertices {
				own.Vertices = append(own.Vertices, m.placed(v.Mul(.8)))
			}
			var text bytes.Buffer
			if err := mesh.WriteSTL(&text, own); err != nil {
				panic(err) // into memory
			}
			m.files[id+".stl"] = text.Bytes()
			t := s.Thickness * .8
			p := table{"id": id, "mesh": id + ".stl", "steel": m.steel(max(.1, math.Round(t*1000)/1000))}
			if s.Surface != "" && s.Surface != surface.Mid {
				p["surface"] = string(s.Surface)
				if s.Surface == surface.Skin && s.Face != "" {
					p["skin"] = string(s.Face)
				}
			}
			b.panels = append(b.panels, p)
		}
		b.joints = append(b.joints, table{"id": m.prefix + "1", "panels": ids})
		return b
	}
}
