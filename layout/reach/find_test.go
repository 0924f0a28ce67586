package reach

import (
	"context"
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/geometry/axial"
	"seamwright/geometry/space"
	"seamwright/internal/record"
	"seamwright/seams/shell"
)

func TestFlange(t *testing.T) {
	r := find(t, scene(plates(8)...), []Weld{weld()}, Options{}, Tool{gun(200, 200), round()})[0]
	if !r.Reached() || len(r.Reasons) != 0 {
		t.Fatalf("not reached: %v", r.Reasons)
	}
	p := r.Poses[0]
	if p.Turn != 90 || p.Clearance != 10 {
		t.Errorf("turn %g with %g mm of air, want 90 and 10", p.Turn, p.Clearance)
	}
	// The back's middle is 215 from the weld; the plate ends 8 mm along y and 300 mm to either side. The bar
	// of radius 15 and half the sheet touch as long as 215 sin(turn) <= 8 + about 15.5.
	if p.Air[0] > 0 || p.Air[54] > 0 || p.Air[2] <= 0 && math.Sin(10*math.Pi/180)*215 > 23.5 || p.Air[1] > 0 {
		t.Errorf("air %v", p.Air)
	}
}

func TestReasons(t *testing.T) {
	ledge := new(sheet) // a plate 110 mm above the weld, 30 mm clear of the electrode all round, 150 mm out
	for _, q := range []float64{-150, 30} {
		ledge.quad(vec(q, -150, 110), vec(120, 0, 0), vec(0, 300, 0), 20)
		ledge.quad(vec(-30, q, 110), vec(60, 0, 0), vec(0, 120, 0), 20)
	}
	shaft := new(sheet) // walls all round, 80 mm away and 1.2 m high
	for _, q := range []float64{-80, 80} {
		shaft.quad(vec(q, -80, -600), vec(0, 160, 0), vec(0, 0, 1200), 20)
		shaft.quad(vec(-80, q, -600), vec(160, 0, 0), vec(0, 0, 1200), 20)
	}
	post := new(sheet).quad(vec(-300, 5, 0.5), vec(600, 0, 0), vec(0, 0, 20), 10) // one wall, 5 mm beside the line
	for _, test := range []struct {
		name  string
		scene *axial.Scene
		tool  Tool
		kind  Kind
		value float64
		limit float64
		by    float64
		panel string
	}{
		{"throat too shallow", scene(plates(260)...), Tool{gun(200, 200), round()}, Throat, 200, 260.5, 1.5, "AB"},
		{"channel too narrow", scene(append(plates(8), gutter(6.5, 20))...), Tool{gun(200, 200), round()}, Channel, 12, 16, 1e-9, "C"},
		{"channel too deep", scene(append(plates(12), gutter(11, 75))...), Tool{gun(200, 200), round()}, TipShort, 60, 74.5, 1e-9, "C"},
		{"wall beside the weld", scene(append(plates(8), post)...), Tool{gun(200, 200), round()}, Wall, 4.5, 8, 1e-9, "C"},
		{"throat gap too small", scene(append(plates(8), ledge)...), Tool{gun(200, 200), round()}, Gap, 200, 230, 1e-9, "C"},
		{"nothing helps", scene(append(plates(8), shaft)...), Tool{gun(200, 200), round()}, Blocked, 0, 0, 0, "ABC"},
	} {
		t.Run(test.name, func(t *testing.T) {
			r := find(t, test.scene, []Weld{weld()}, Options{}, test.tool)[0]
			if r.Reached() || len(r.Reasons) != 1 {
				t.Fatalf("poses %v, reasons %v", r.Poses, r.Reasons)
			}
			q := r.Reasons[0]
			if q.Kind != test.kind || q.Value != test.value && !(math.Abs(q.Value-test.value) <= 1e-9) ||
				!(math.Abs(q.Limit-test.limit) <= test.by) ||
				!strings.Contains(test.panel, q.Panel) {
				t.Errorf("%v: %+v, want %s %g of %g by %s", q, q, test.kind, test.value, test.limit, test.panel)
			}
		})
	}
}

func TestGutterTakesTheNarrowTip(t *testing.T) {
	s := scene(append(plates(8), gutter(6.5, 20))...)
	r := find(t, s, []Weld{weld()}, Options{WhyNot: true}, Tool{gun(200, 200), round()}, Tool{gun(200, 200), narrow()})[0]
	if len(r.Poses) != 1 || r.Poses[0].Tool != 1 || len(r.Reasons) != 1 || r.Reasons[0].Tool != 0 {
		t.Fatalf("poses %+v, reasons %v", r.Poses, r.Reasons)
	}
	// 13 mm between the walls' middles, 12 clear, 8 wide: 2 on either side
	if p := r.Poses[0]; p.Turn != 90 || !(math.Abs(p.Clearance-2) <= 1e-9) {
		t.Errorf("turn %g, %g mm of air", p.Turn, p.Clearance)
	}
	if text := r.Reasons[0].String(); text != "channel 12.0 mm wide, shank 16.0 mm (C)" {
		t.Errorf("reason %q", text)
	}
}

// Whatever depth or gap is said to reach does reach; so does the longer tip.
func TestWhatReasonsAskForReaches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		edge := rapid.Float64Range(5, 290).Draw(t, "edge")
		sheets := plates(edge)
		if h := rapid.Float64Range(0, 90).Draw(t, "walls"); h > 10 {
			sheets = append(sheets, gutter(rapid.Float64Range(9, 30).Draw(t, "half"), h))
		}
		if z := rapid.Float64Range(0, 200).Draw(t, "ledge"); z > 60 {
			sheets = append(sheets, new(sheet).quad(vec(-300, 20, z), vec(600, 0, 0), vec(0, 150, 0), 20))
		}
		s := scene(sheets...)
		tool := Tool{gun(rapid.Float64Range(50, 250).Draw(t, "depth"), rapid.Float64Range(130, 250).Draw(t, "gap")), round()}
		r := find(t, s, []Weld{weld()}, Options{}, tool)[0]
		if r.Reached() {
			return
		}
		q := r.Reasons[0]
		switch q.Kind {
		case Throat:
			tool.Gun.ThroatDepth = q.Limit + 0.01
		case Gap:
			tool.Gun.ThroatGap = q.Limit
		case TipShort:
			tool.Tip.Length = q.Limit + 0.01
			if r = find(t, s, []Weld{weld()}, Options{}, tool)[0]; !r.Reached() && r.Reasons[0].Kind == TipShort {
				t.Fatalf("%v, but with that length: %v", q, r.Reasons[0])
			}
			return
		default:
			return
		}
		if r = find(t, s, []Weld{weld()}, Options{}, tool)[0]; !r.Reached() {
			t.Fatalf("%v, but with that: %v", q, r.Reasons[0])
		}
	})
}

// A weld in a lamp opening: the flange closes round a hole, and the back member must fit into it.
func TestOpening(t *testing.T) {
	ringOf := func(z float64) *sheet {
		m := new(sheet)
		const n = 120
		for i := range n {
			for _, r := range []float64{80, 400} {
				sin, cos := math.Sincos(2 * math.Pi * float64(i) / n)
				m.Vertices = append(m.Vertices, vec(r*cos, r*sin, z))
			}
		}
		for i := range int32(n) {
			a, b := 2*i, 2*((i+1)%n)
			m.Triangles = append(m.Triangles, [3]int32{a, a + 1, b + 1}, [3]int32{a, b + 1, b})
		}
		return m
	}
	w := weld()
	w.Position, w.Along = vec(88, 0, 0), vec(0, 1, 0) // the opening lies at -x: a quarter turn on from the line
	small, large := Tool{gun(60, 200), round()}, Tool{gun(200, 200), round()}
	r := find(t, scene(ringOf(-0.5), ringOf(0.5)), []Weld{w}, Options{}, small, large)[0]
	if len(r.Poses) != 1 || r.Poses[0].Tool != 0 || r.Poses[0].Turn != 90 {
		t.Errorf("poses %+v, reasons %v", r.Poses, r.Reasons)
	}
}

// The frame of the weld does not matter: a shell moved and turned as a whole is reached alike.
func TestPlacedElsewhere(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		place := space.Place{Turn: vec(rapid.Float64Range(0, 360).Draw(t, "x"), rapid.Float64Range(0, 360).Draw(t, "y"),
			rapid.Float64Range(0, 360).Draw(t, "z")), Move: vec(900, -4000, 77)}
		sheets := append(plates(20), gutter(15, 40))
		here := find(t, scene(sheets...), []Weld{weld()}, Options{}, Tool{gun(120, 180), round()}, Tool{gun(120, 180), narrow()})
		for _, s := range sheets {
			for i, v := range s.Vertices {
				s.Vertices[i] = place.Apply(v)
			}
		}
		w := weld()
		w.Position, w.Along, w.Axis = place.Apply(w.Position), place.Rotate(w.Along), place.Rotate(w.Axis)
		there := find(t, scene(sheets...), []Weld{w}, Options{}, Tool{gun(120, 180), round()}, Tool{gun(120, 180), narrow()})
		for i, p := range here[0].Poses {
			q := there[0].Poses[i]
			if p.Tool != q.Tool || !(math.Abs(p.Clearance-q.Clearance) <= 1e-6) {
				t.Fatalf("%+v became %+v", p, q)
			}
			for k := range p.Air {
				if !(math.Abs(float64(p.Air[k]-q.Air[k])) <= 1e-4) {
					t.Fatalf("air at angle %d: %g became %g", k, p.Air[k], q.Air[k])
				}
			}
		}
	})
}

func TestWorkersDoNotMatter(t *testing.T) {
	s, welds, tools := cab(20000, 60)
	opt := Options{Workers: 1, WayOff: true, WhyNot: true, Tilt: 8}
	one := find(t, s, welds, opt, tools...)
	opt.Workers = 7
	if many := find(t, s, welds, opt, tools...); !reflect.DeepEqual(one, many) {
		t.Error("the result depends on the number of workers")
	}
}

// What is remembered at a weld from one tool to the next does not change what is found: each tool on its own has the same
// air at every angle.
func TestToolsDoNotDependOnEachOther(t *testing.T) {
	s, welds, tools := cab(20000, 40)
	opt := Options{WayOff: true, Quiet: true}
	together := find(t, s, welds, opt, tools...)
	shut := 0
	for k, tool := range tools {
		for i, r := range find(t, s, welds, opt, tool) {
			q := together[i].Pose(k)
			if !r.Reached() {
				if q.Air != nil {
					t.Errorf("weld %d: tool %d reaches with others but not alone", i, k)
				}
				shut++
				continue
			}
			p := r.Poses[0]
			if p.Turn != q.Turn || p.Clearance != q.Clearance || !reflect.DeepEqual(p.Air, q.Air) {
				t.Errorf("weld %d, tool %d: alone %+v, with others %+v", i, k, p, q)
			}
		}
	}
	if shut == 0 || shut == len(tools)*len(welds) {
		t.Errorf("%d of %d poses are shut: the scene proves little", shut, len(tools)*len(welds))
	}
}

func TestStops(t *testing.T) {
	s, welds, tools := cab(20000, 60)
	ctx, cancel := context.WithCancelCause(context.Background())
	why := errors.New("the user had enough")
	opt := Options{Progress: func(done, total int) {
		if done == 3 {
			cancel(why)
		}
	}}
	if _, err := Find(ctx, s, welds, tools, opt); !errors.Is(err, why) {
		t.Errorf("error %v", err)
	}
}

func TestErrors(t *testing.T) {
	said := record.Errors(t)
	good := Tool{gun(200, 200), round()}
	flat := weld()
	flat.Along = flat.Axis
	lost := weld()
	lost.Position.X = math.NaN()
	none := weld()
	none.Sheets = []int{5}
	wild := weld()
	wild.Tools = []int{1}
	for _, test := range []struct {
		want string
		weld Weld
		tool Tool
		opt  Options
	}{
		{"make no frame", flat, good, Options{}},
		{"make no frame", lost, good, Options{}},
		{"no panel 5", none, good, Options{}},
		{"no tool 1", wild, good, Options{}},
		{"above zero", weld(), Tool{shell.Gun{ID: "G"}, round()}, Options{}},
		{"no lengths", weld(), Tool{gun(200, 200), shell.Tip{Shank: 16, Length: 60, Face: -1}}, Options{}},
		{"angles", weld(), good, Options{Angles: 2}},
	} {
		if _, err := Find(context.Background(), scene(plates(8)...), []Weld{test.weld}, []Tool{test.tool}, test.opt); err == nil ||
			!said.Has(err, test.want) {
			t.Errorf("error %v, want one about %q", err, test.want)
		}
	}
	if r := find(t, scene(plates(8)...), nil, Options{}, good); len(r) != 0 {
		t.Errorf("no welds: %v", r)
	}
	idle := weld()
	idle.Tools = []int{}
	if r := find(t, scene(plates(8)...), []Weld{idle}, Options{}, good); r[0].Reached() || len(r[0].Reasons) != 0 {
		t.Errorf("no tools allowed: %v", r)
	}
}

func TestMostTouched(t *testing.T) {
	for _, c := range []struct {
		panel []int32
		tips  []float64
		want  int32
	}{
		{[]int32{3, 1, 1, 2}, []float64{1, 1, 1, 1}, 1},
		{[]int32{1, 1, 3, 2}, []float64{1, 1, 1, 1}, 1},
		{[]int32{2, 1}, []float64{1, 1}, 1}, // as often: the first
		{[]int32{1, 2}, []float64{1, 1}, 1},
		{[]int32{0, 2, 2}, []float64{1, 1, 1}, 2},
		{[]int32{2, 2, 0, 2}, []float64{0, 1, 1, 0}, 0}, // where the tips are not free it does not count
		{[]int32{-1, -1}, []float64{1, 1}, -1},
	} {
		if got := mostTouched(c.panel, c.tips); got != c.want {
			t.Errorf("%v at %v: %d, want %d", c.panel, c.tips, got, c.want)
		}
	}
}

func TestMissing(t *testing.T) {
	for _, c := range []struct {
		reason Reason
		want   float64
	}{
		{Reason{Kind: Throat, Value: 200, Limit: 230}, 30},
		{Reason{Kind: Retreat, Value: 60, Limit: 80}, 20},
		{Reason{Kind: Retreat, Value: 60}, 1e6}, // no stroke looked at does
		{Reason{Kind: Blocked, Value: 1, Limit: 2}, 1e6},
		{Reason{Kind: Gap, Value: 60}, -60},
	} {
		if got := c.reason.Missing(); got != c.want {
			t.Errorf("%+v: %g, want %g", c.reason, got, c.want)
		}
	}
}
