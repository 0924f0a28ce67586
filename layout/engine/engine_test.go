package engine_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"seamwright/internal/cache"
	"seamwright/internal/plates"
	"seamwright/layout/engine"
	"seamwright/seams/shellfile"
)

// model is a small shell: two plates that lap, and a wall beside the lap that takes the guns' air.
type model struct {
	length, lap, wall  float64
	plate, side        float64 // thickness
	pitch, keepOut     float64
	clamp, depth, face float64
	tilt, rate, move   float64
	shift, gap, lift   float64
	batch              int
	unit, surface      string
	note               string
	stations           bool // of two
}

func randomModel(rng *rand.Rand) model {
	m := model{length: 150 + 150*rng.Float64(), lap: 18, wall: 45, plate: 1, side: 1, pitch: 40, clamp: 70, depth: 150, face: 6, rate: 40,
		move: 500, gap: 0.5, batch: 10, unit: "mm", surface: "mid"}
	for range 4 {
		m = edits[rng.IntN(len(edits))].do(m, rng)
	}
	return m
}

// edits are what people change between two plans.
var edits = []struct {
	name string
	do   func(m model, rng *rand.Rand) model
}{
	{"pitch", func(m model, rng *rand.Rand) model { m.pitch = 22 + 30*rng.Float64(); return m }},
	{"keep-out", func(m model, rng *rand.Rand) model { m.keepOut = 20 + (m.length-40)*rng.Float64(); return m }},
	{"clamp", func(m model, rng *rand.Rand) model { m.clamp = 20 + (m.length-40)*rng.Float64(); return m }},
	{"gun", func(m model, rng *rand.Rand) model { m.depth = 30 + 200*rng.Float64(); return m }},
	{"tip", func(m model, rng *rand.Rand) model { m.face = 4 + 4*rng.Float64(); return m }},
	{"tilt", func(m model, rng *rand.Rand) model { m.tilt = 8 * rng.Float64(); return m }},
	{"rate", func(m model, rng *rand.Rand) model { m.rate = 20 + 60*rng.Float64(); return m }},
	{"moving", func(m model, rng *rand.Rand) model { m.move = 100 + 900*rng.Float64(); return m }},
	{"batch", func(m model, rng *rand.Rand) model { m.batch = 1 + rng.IntN(60); return m }},
	{"panel file", func(m model, rng *rand.Rand) model { m.wall = 40 + 14*rng.Float64(); return m }},
	{"both panel files", func(m model, rng *rand.Rand) model { m.length = 150 + 150*rng.Float64(); return m }},
	{"place", func(m model, rng *rand.Rand) model { m.shift = 60 * rng.Float64(); return m }},
	{"thickness", func(m model, rng *rand.Rand) model { m.plate = 0.8 + 0.4*rng.Float64(); return m }},
	{"thickness of the wall", func(m model, rng *rand.Rand) model { m.side = 0.6 + rng.Float64(); return m }},
	{"lifted panel", func(m model, rng *rand.Rand) model { m.lift = max(0, 1.2*rng.Float64()-0.4); return m }},
	{"gap", func(m model, rng *rand.Rand) model { m.gap = 0.1 + rng.Float64(); return m }},
	{"surface", func(m model, _ *rand.Rand) model {
		m.surface = map[string]string{"mid": "skin", "skin": "mid"}[m.surface]
		return m
	}},
	{"unit", func(m model, _ *rand.Rand) model {
		m.unit = map[string]string{"mm": "inch", "inch": "mm"}[m.unit]
		return m
	}},
	{"station", func(m model, _ *rand.Rand) model { m.stations = !m.stations; return m }},
	{"note of reading", func(m model, rng *rand.Rand) model { m.note = fmt.Sprint("note ", rng.IntN(1000)); return m }},
}

// write puts the shell into a folder and reads it.
func (m model) write(t *testing.T, dir string) engine.Input {
	t.Helper()
	scale := 1.0 // an inch would make a ship of it
	if m.unit == "inch" {
		scale = 1 / 25.4
	}
	x := m.length * scale
	files := map[string][]byte{
		"a.stl": plates.STL(plates.Flat(0, 0, x, 80*scale, 0)),
		"b.stl": plates.STL(plates.Flat(0, (80-m.lap)*scale, x, 160*scale, (1+m.lift)*scale)),
		"c.stl": plates.STL([4]plates.Point{{0, m.wall * scale, 8 * scale}, {x, m.wall * scale, 8 * scale},
			{x, m.wall * scale, 60 * scale}, {0, m.wall * scale,
				60 * scale}}),
	}
	if m.unit == "inch" && m.stations { // the same files in another unit: nothing but the unit changes
		files["a.stl"], files["b.stl"] = plates.STL(plates.Flat(0, 0, m.length, 80, 0)), plates.STL(plates.Flat(0, 80-m.lap, m.length, 160, 1))
	}
	subs, stations := "", "  - {id: jig, arrives: [a, b, c], clamps: [{id: C1, at_mm: ["+num(m.clamp)+", 60, 0], radius_mm: 10}]}\n"
	if m.stations {
		subs = "subassemblies:\n  - {id: sub, parts: [a, b]}\n"
		stations = "  - {id: first, makes: sub, arrives: [a, b], clamps: [{id: C1, at_mm: [" + num(m.clamp) +
			", 60, 0], radius_mm: 10}]}\n  - {id: jig, arrives: [sub, c]}\n"
	}
	keep := ""
	if m.keepOut > 0 {
		keep = ", keep_outs: [{at_mm: [" + num(m.keepOut) + ", 71, 0.5], radius_mm: 8}]"
	}
	tilt := ""
	if m.tilt > 0 {
		tilt = "rules: {book: works.yaml}\n"
		works := "rules:\n  - {id: reach.tilt, value: " + num(m.tilt) + "}\n"
		for _, id := range []string{"none", "force", "channel", "wall", "tip-length", "throat", "throat-gap", "blocked", "way-off", "tack"} {
			works += "  - {id: reach." + id + ", remedy: ask works number " + num(m.tilt) + "}\n"
		}
		files["works.yaml"] = []byte(works)
	}
	files["shell.yaml"] = []byte("name: small\nunit: " + m.unit +
		"\ngap_limit_mm: " + num(m.gap) + "\n" +
		"steels: [{id: s, grade: DC04, thickness_mm: " + num(m.plate) + "}, {id: w, grade: DC04, thickness_mm: " + num(m.side) + "}]\n" +
		"panels:\n  - {id: a, mesh: a.stl, steel: s, surface: " + m.surface + "}\n" +
		"  - {id: b, mesh: b.stl, steel: s, place: {move_mm: [" + num(m.shift) + ", 0, 0]}}\n  - {id: c, mesh: c.stl, steel: w}\n" +
		subs + "stations:\n" + stations + "joints:\n  - {id: lap, panels: [a, b], pitch_mm: " + num(m.pitch) + keep + "}\n" +
		"tips: [{id: t, face_mm: " + num(m.face) + ", shank_mm: 16, length_mm: 60}]\n" +
		"guns: [{id: g, throat_depth_mm: " + num(m.depth) + ", throat_gap_mm: 160, arm_mm: 30, stroke_mm: 30, tips: [t]}]\n" + tilt +
		"rates: {labour_per_hour: " + num(m.rate) + "}\nelements: {move_mm_per_s: " + num(m.move) + "}\n")
	for name, data := range files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	sh, notes, err := shellfile.Read(filepath.Join(dir, "shell.yaml"), nil)
	if err != nil {
		t.Fatalf("%v\n%s", err, files["shell.yaml"])
	}
	sh.Batch = m.batch // changed in memory, not in the file
	if m.note != "" {
		notes = append(notes, m.note)
	}
	return engine.Input{Shell: sh, Notes: notes}
}

func num(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }

// planned is the plan as it is written, or why there is none: with a result of other inputs a stage may even panic.
func planned(e engine.Engine, in engine.Input) (text string) {
	defer func() {
		if why := recover(); why != nil {
			text = fmt.Sprint("panic: ", why)
		}
	}()
	out, err := e.Plan(context.Background(), in)
	if err != nil {
		return "error: " + err.Error()
	}
	return string(out.Text)
}

func onDisk(t *testing.T, dir string) *cache.Cache {
	t.Helper()
	c, err := cache.OnDisk(dir, cache.DefaultLimit)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// shells is how many shells are tried: a few, or as many as SEAMWRIGHT_SHELLS says.
func shells(t *testing.T) int {
	n := 4
	if s := os.Getenv("SEAMWRIGHT_SHELLS"); s != "" {
		var err error
		if n, err = strconv.Atoi(s); err != nil {
			t.Fatal(err)
		}
		if err := os.Unsetenv("SEAMWRIGHT_SHELLS"); err != nil { // or it would be taken for a key of the shell file
			t.Fatal(err)
		}
	}
	return n
}

// The plans of small shells, after each of a row of edits, are the same to the byte without a cache, with one in memory, and
// with one on disk from run to run.
func TestCacheChangesNothing(t *testing.T) {
	found := int64(0)
	for seed := range shells(t) {
		rng := rand.New(rand.NewPCG(uint64(seed), 11))
		dir, kept := t.TempDir(), t.TempDir()
		memory := cache.New()
		m := randomModel(rng)
		row := []string{"first"}
		for range 10 {
			in := m.write(t, dir)
			want := planned(engine.Engine{Workers: 1}, in)
			disk := onDisk(t, kept)
			for _, c := range []*cache.Cache{memory, disk} {
				if got := planned(engine.Engine{Cache: c, Workers: 3}, m.write(t, dir)); got != want {
					t.Fatalf("seed %d, after %s: another plan\n%s", seed, strings.Join(row, ", "), firstDifference(got, want))
				}
			}
			hits, _ := disk.Counts()
			found += hits
			edit := edits[rng.IntN(len(edits))]
			m, row = edit.do(m, rng), append(row, edit.name)
		}
		hits, _ := memory.Counts()
		found += hits
	}
	if found == 0 {
		t.Error("nothing was ever found in a cache")
	}
}

func firstDifference(got, want string) string {
	a, b := strings.Split(got, "\n"), strings.Split(want, "\n")
	for i := range a {
		if i >= len(b) || a[i] != b[i] {
			return fmt.Sprintf("line %d: %.300s\nwant    %.300s", i+1, a[i], b[min(i, len(b)-1)])
		}
	}
	return "cut short"
}

// A cache with keys that leave an input out gives a wrong plan sooner or later, for every input of every stage: none is there
// for show, and the edits reach all of them.
func TestEveryInputCounts(t *testing.T) {
	inputs := inputsOf(t)
	if len(inputs) < 12 {
		t.Fatalf("inputs: %q", inputs)
	}
	rows := map[string]*row{} // by seed, and whether the whole plan's key is in question
	for _, input := range inputs {
		t.Run(input, func(t *testing.T) {
			whole := strings.HasPrefix(input, "plan.")
			for seed := range uint64(12) {
				name := fmt.Sprint(seed, whole)
				if rows[name] == nil {
					rows[name] = newRow(seed, whole)
				}
				if rows[name].wrong(t, input) {
					return
				}
			}
			t.Errorf("keys without %s give the same plans", input)
		})
	}
}

// inputsOf are all inputs that are in keys, as stage.input.
func inputsOf(t *testing.T) []string {
	var mu sync.Mutex
	var out []string
	c := onDisk(t, t.TempDir())
	c.LeaveOut(func(stage, input string) bool {
		mu.Lock()
		defer mu.Unlock()
		if name := stage + "." + input; !strings.HasPrefix(stage, "reach") && !slices.Contains(out, name) { // reach has a test of its own
			out = append(out, name)
		}
		return false
	})
	planned(engine.Engine{Cache: c}, randomModel(rand.New(rand.NewPCG(3, 3))).write(t, t.TempDir()))
	slices.Sort(out)
	return out
}

// row is a row of edits, with the plan after each.
type row struct {
	models []model
	want   []string // as far as they were needed
}

func newRow(seed uint64, whole bool) *row {
	rng := rand.New(rand.NewPCG(seed, 5))
	m := randomModel(rng)
	var out row
	for step, i := range rng.Perm(len(edits)) {
		m = edits[i].do(m, rng)
		if !whole {
			m.note = fmt.Sprint("step ", step) // or the whole plan would be found before any of its stages
		}
		out.models = append(out.models, m)
	}
	return &out
}

// wrong reports whether the row shows that an input is wanting.
func (r *row) wrong(t *testing.T, input string) bool {
	t.Helper()
	leaveOut := func(stage, name string) bool { return stage+"."+name == input }
	dir, kept := t.TempDir(), t.TempDir()
	memory := cache.New()
	memory.LeaveOut(leaveOut)
	for step, m := range r.models {
		in := m.write(t, dir)
		if step == len(r.want) {
			r.want = append(r.want, planned(engine.Engine{Workers: 1}, in))
		}
		caches := []*cache.Cache{memory}
		if onlyInMemory(input) == "" {
			disk := onDisk(t, kept)
			disk.LeaveOut(leaveOut)
			caches = append(caches, disk)
		}
		for _, c := range caches {
			if got := planned(engine.Engine{Cache: c, Workers: 1}, in); got != r.want[step] {
				return true
			}
		}
	}
	return false
}

// onlyInMemory is the stage of an input if its results are kept in memory alone.
func onlyInMemory(input string) string {
	stage, _, _ := strings.Cut(input, ".")
	if slices.Contains([]string{"panel", "flange keys", "flange", "measured", "spots", "roller", "arm", "book", "crew"}, stage) {
		return stage
	}
	return ""
}
