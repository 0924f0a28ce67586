package planfile_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"seamwright/internal/record"
	"seamwright/layout"
	"seamwright/layout/planfile"
)

var _ = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	record.Hold(t, filepath.Join("testdata", name), string(got))
}

func written(t testing.TB, p *layout.Plan) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := planfile.Write(&out, p); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestWriteGolden(t *testing.T) {
	golden(t, "sample.plan.json", written(t, samplePlan()))
	golden(t, "plan.schema.json", planfile.Schema())
}

func TestWriteLeavesThePlanAlone(t *testing.T) {
	p := samplePlan()
	written(t, p)
	if diff := cmp.Diff(samplePlan(), p); diff != "" {
		t.Error(diff)
	}
}

func TestRoundsEachNumberToItsUnit(t *testing.T) {
	p := samplePlan()
	if err := planfile.Round(p); err != nil {
		t.Fatal(err)
	}
	tests := []struct {
		name      string
		got, want float64
	}{
		{"length to 1e-4 mm", p.Welds[0].Position[0], 10},
		{"length to 1e-4 mm", p.Flanges[0].Line[1].At[2], 0.3333},
		{"direction to 1e-6", p.Flanges[0].Line[1].Normal[1], 0.666667},
		{"area to 0.01 mm²", p.Panels[0].Area, 40000},
		{"mass to 0.1 g", p.Panels[0].Mass, 0.3768},
		{"time to 1e-4 s", p.Seams[0].Time, 3.3333},
		{"finding's value to 1e-6", p.Findings[0].Value, 5.123457},
	}
	for _, test := range tests {
		if test.got != test.want {
			t.Errorf("%s: got %v, want %v", test.name, test.got, test.want)
		}
	}
	if z := p.Flanges[0].Line[1].Normal[2]; z != 0 || math.Signbit(z) {
		t.Errorf("a tiny negative number became %v, want plain zero", z)
	}
}

// What a writer writes of one plan after another, in which some things are other, moved, gone or new, is what a new one writes.
func TestWriterWritesWhatWriteWrites(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		var w planfile.Writer
		for range rapid.IntRange(1, 4).Draw(rt, "plans") {
			p := samplePlan()
			for range rapid.IntRange(0, 3).Draw(rt, "welds more") {
				p.Welds = append(p.Welds, p.Welds[0])
			}
			for i := range p.Welds {
				p.Welds[i].Number = i + 1
				p.Welds[i].Waits = rapid.SampledFrom([]string{"", `a "b" [c], {d}`, "<&>"}).Draw(rt, "waits")
				p.Welds[i].Before = rapid.SliceOfN(rapid.SampledFrom([]string{"roof", "rail"}), 0, 2).Draw(rt, "before")
			}
			f := &p.Flanges[0]
			f.Line[0].At[rapid.IntRange(0, 2).Draw(rt, "axis")] += float64(rapid.IntRange(0, 1).Draw(rt, "move"))
			f.Outline = [][]layout.Vec{{{float64(rapid.IntRange(0, 1).Draw(rt, "outline"))}}}
			f.Area = float64(rapid.IntRange(0, 1).Draw(rt, "area"))
			if rapid.Bool().Draw(rt, "no flange, no weld") {
				p.Flanges, p.Welds = nil, nil
			}
			p.Flanges = append(p.Flanges, make([]layout.Flange, rapid.IntRange(0, 2).Draw(rt, "empty flanges"))...)
			want := written(t, p)
			if err := planfile.Round(p); err != nil {
				rt.Fatal(err)
			}
			got, err := w.Bytes(p)
			if err != nil || !bytes.Equal(got, want) {
				rt.Fatalf("%v\n%s\nwant\n%s", err, got, want)
			}
			back, err := planfile.Read(bytes.NewReader(got))
			if err != nil || !reflect.DeepEqual(back, p) {
				rt.Fatalf("read back: %v", err)
			}
		}
	})
}

func TestRoundTwiceChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := samplePlan()
		p.Welds[0].Position = layout.Vec{rapid.Float64().Draw(t, "x"), rapid.Float64Range(-1e5, 1e5).Draw(t, "y"), 0}
		p.Welds[0].Axis[0] = rapid.Float64Range(-1, 1).Draw(t, "axis")
		if err := planfile.Round(p); err != nil {
			t.Fatal(err)
		}
		again := *p
		again.Welds = append([]layout.Weld(nil), p.Welds...)
		if err := planfile.Round(&again); err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(p, &again) {
			t.Fatalf("%v became %v", p.Welds[0], again.Welds[0])
		}
	})
}

func TestReadGivesBackTheRoundedPlan(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		p := samplePlan()
		p.Shell.Name = rapid.String().Draw(rt, "name")
		p.Notes = rapid.SliceOf(rapid.StringMatching(`[a-z"\\{}\[\]:,<>& ]*`)).Draw(rt, "notes")
		p.Flanges[0].Outline = [][]layout.Vec{{{rapid.Float64Range(-1e4, 1e4).Draw(rt, "x"), 0, 0}}, nil}
		text := written(t, p)
		got, err := planfile.Read(bytes.NewReader(text))
		if err != nil {
			rt.Fatal(err)
		}
		if err := planfile.Round(p); err != nil {
			rt.Fatal(err)
		}
		if !reflect.DeepEqual(p, got) {
			rt.Fatal(cmp.Diff(p, got))
		}
		if again := written(t, got); !bytes.Equal(text, again) {
			rt.Fatal("the plan read back is written differently")
		}
	})
}

func TestEmptyListsAreWrittenAsLists(t *testing.T) {
	text := written(t, &layout.Plan{Format: layout.Format})
	if bytes.Contains(text, []byte("null")) {
		t.Errorf("null in:\n%s", text)
	}
}

func TestLinesStayWithinTheWidthWhereTheyCan(t *testing.T) {
	p := samplePlan()
	for i := range 40 {
		p.Flanges[0].Line = append(p.Flanges[0].Line, layout.LinePoint{At: layout.Vec{float64(i), 1e3 / 7, -1e4 / 3}})
	}
	points := 0
	for line := range strings.Lines(string(written(t, p))) {
		if strings.HasPrefix(strings.TrimSpace(line), `{"along"`) && strings.Count(line, ",") >= 2 {
			points++
		}
		if len(line) > 201 && strings.ContainsAny(line, "{[") {
			t.Errorf("%d columns: %s", len(line), line)
		}
	}
	if points < 40 {
		t.Errorf("%d points stand on a line of their own, want at least 40", points)
	}
}

func TestNotFiniteNamesTheField(t *testing.T) {
	said := record.Errors(t)
	tests := []struct {
		spoil func(*layout.Plan)
		want  string
	}{
		{func(p *layout.Plan) { p.Welds[0].Position[1] = math.NaN() }, "plan: welds[0].position[1] is NaN"},
		{func(p *layout.Plan) { p.Flanges[0].Line[1].At[2] = math.Inf(-1) }, "plan: flanges[0].line[1].at[2] is -Inf"},
		{func(p *layout.Plan) { p.Cost.CostPerShell = math.Inf(1) }, "plan: cost.cost_per_shell is +Inf"},
		{func(p *layout.Plan) { p.Labour.Lines[0].Each = math.NaN() }, "plan: labour.lines[0].each is NaN"},
		{func(p *layout.Plan) { p.Panels[0].Box[1][0] = math.NaN() }, "plan: panels[0].box[1][0] is NaN"},
	}
	for _, test := range tests {
		p := samplePlan()
		test.spoil(p)
		var out bytes.Buffer
		err := planfile.Write(&out, p)
		if err == nil || !said.Has(err, test.want) || out.Len() > 0 {
			t.Errorf("got %v with %d bytes written, want an error with %q and nothing written", err, out.Len(), test.want)
		}
	}
}

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("disk full") }

func TestWriteReportsTheWriter(t *testing.T) {
	if err := planfile.Write(fullDisk{}, samplePlan()); err == nil || !strings.Contains(err.Error(), "disk full") {
		t.Errorf("got %v", err)
	}
}

func TestReadRefuses(t *testing.T) {
	said := record.Errors(t)
	good := string(written(t, samplePlan()))
	tests := []struct{ name, text, want string }{
		{"nothing", "", "line 1"},
		{"null", "null", "format is 0"},
		{"cut off", good[:len(good)/2], "unexpected EOF"},
		{"other format", strings.Replace(good, `"format": 2`, `"format": 3`, 1), "newer seamwright"},
		{"unknown member", strings.Replace(good, `"batch": 4`, `"bach": 4`, 1), `"bach"`},
		{"text for a number", strings.Replace(good, `"thickness": 1.2`, `"thickness": "thick"`, 1), "line 10"},
		{"part of a number", strings.Replace(good, `"format": 2`, `"format": 2.5`, 1), "line 2"},
		{"short point", strings.Replace(good, `[180, 0, 0]`, `[180, 0]`, 1), "2 numbers"},
		{"long point", strings.Replace(good, `[180, 0, 0]`, `[180, 0, 0, 0]`, 1), "4 numbers"},
		{"point in words", strings.Replace(good, `[180, 0, 0]`, `["far", 0, 0]`, 1), "string"},
		{"something after", good + "{}", "follows the plan"},
		{"broken bracket", strings.Replace(good, "[", "]", 1), "line"},
	}
	for _, test := range tests {
		p, err := planfile.Read(strings.NewReader(test.text))
		if err == nil || !said.Has(err, test.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: got %v, %v, want an error in one line with %q", test.name, p, err, test.want)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add(written(f, samplePlan()))
	f.Add([]byte(`{"format": 2, "welds": [{"position": [1, 2]}], "shell": {"name": "\u0000"}}`))
	f.Add([]byte(`{"format": 2} {`))
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := planfile.Read(bytes.NewReader(text))
		if err != nil {
			return
		}
		first := written(t, p)
		if !json.Valid(first) {
			t.Fatalf("not JSON: %s", first)
		}
		again, err := planfile.Read(bytes.NewReader(first))
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, written(t, again)) {
			t.Fatal("written differently the second time")
		}
	})
}

func ExampleWrite() {
	p := &layout.Plan{Flanges: []layout.Flange{{ID: "F1", Outline: [][]layout.Vec{{{0, 0, 0}, {100, 0, 1.0 / 3}}}}}}
	var out bytes.Buffer
	if err := planfile.Write(&out, p); err != nil {
		fmt.Println(err)
	}
	for line := range strings.Lines(out.String()) {
		if strings.Contains(line, "outline") {
			fmt.Print(strings.TrimSpace(line))
		}
	}
	// Output: "outline": [[[0, 0, 0], [100, 0, 0.3333]]],
}

func ExampleRound() {
	p := &layout.Plan{Welds: []layout.Weld{{Position: layout.Vec{1.23456789, math.NaN(), 0}}}}
	fmt.Println(planfile.Round(p))
	// Output: plan: welds[0].position[1] is NaN: only finite numbers can be written
}

func BenchmarkWrite(b *testing.B) {
	p := samplePlan()
	for i := range 1000 {
		w := p.Welds[0]
		w.Number = i + 2
		p.Welds = append(p.Welds, w)
	}
	b.ReportAllocs()
	for b.Loop() {
		written(b, p)
	}
}
