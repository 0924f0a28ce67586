package recorded_test

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
	"seamwright/internal/everykey"
	"seamwright/internal/record"
	"seamwright/layout"
	"seamwright/layout/planfile"
)

// demoCalls are calls on the demo's folder. Each is a name for its record, and the words.
var demoCalls = []string{
	"plan: plan shell.yaml -o again",
	"check: check shell.yaml",
	"order: order shell.yaml",
	"reach: reach shell.yaml",
	"cost: cost shell.yaml --lines --steel steel.csv --pictures pictures --xlsx cost.xlsx --variant batch=12 --variant people=5",
	"actuals: cost shell.yaml --actuals times.csv",
	"stations: stations shell.yaml --spread 25 --places 1 --runs 200",
	"takt: stations shell.yaml --takt 45 --keep-jigs=false",
	"shared: stations shell.yaml --stations 5 --crew 2 --runs 50",
	"quote: quote shell.yaml -o quote.pdf --workings --margin 12 --discount 3 --vat 19 --quantities 1,6,12,48 --number Q-7 --date 2026-03-02",
	"quote-json: quote shell.yaml --json --margin 12 --quantities 1,6,48 --steel customer",
	"book: quote shell.yaml -o quote.xlsx --quantities 2,24",
	"cards: cards shell.yaml -o cards.pdf --shell 7",
	"pack: pack shell.yaml --station roof-jig -o pack.pdf",
	"csv: export shell.yaml -o out.csv",
	"xlsx: export shell.yaml -o out.xlsx",
	"dxf: export shell.yaml -o out.dxf",
	"glb: export shell.yaml -o out.glb",
	"xmcf: export shell.yaml -o out.xmcf",
	"survey: survey shell.yaml points.csv",
	"survey-fixed: survey shell.yaml fixed.csv --fixed --tolerance 2",
	"adopt: survey shell.yaml points.csv --adopt adopted.yaml",
	"other: plan shell.yaml -o other --set batch=12 --set joints.cross-front.pitch_mm=38 --set stations.main-jig.crew=3",
	"compare: compare plan/plan.json other/plan.json",
	"candidates: flanges panels/roof.stl",
}

// worksCalls are calls on the small works'.
var worksCalls = []string{
	"check: check shell.json",
	"order: order shell.json",
	"reach: reach shell.json",
	"cost: cost shell.json --lines --steel steel.csv --pictures pictures --xlsx cost.xlsx --variant batch=12 --variant people=5",
	"actuals: cost shell.json --actuals times.csv",
	"stations: stations shell.json --spread 25 --places 1 --runs 200",
	"takt: stations shell.json --takt 30 --keep-jigs=false",
	"shared: stations shell.json --stations 3 --crew 2 --runs 50",
	"quote: quote shell.json -o quote.pdf --workings --margin 12 --discount 3 --vat 19 --quantities 1,6,12,48 --number Q-7 --date 2026-03-02",
	"book: quote shell.json -o quote.xlsx --quantities 2,24",
	"cards: cards shell.json -o cards.pdf --shell 3",
	"pack: pack shell.json -o pack.pdf",
	"csv: export shell.json -o out.csv",
	"xlsx: export shell.json -o out.xlsx",
	"dxf: export shell.json -o out.dxf",
	"glb: export shell.json -o out.glb",
	"xmcf: export shell.json -o out.xmcf",
	"survey: survey shell.json points.csv",
	"survey-fixed: survey shell.json fixed.csv --fixed --tolerance 2",
	"rows: plan shell.json -o rows --set joints.broad.rows=2 --set joints.lap.count=40 --set joints.lap.load.shear_n=90000",
	"compare: compare plan/plan.json rows/plan.json",
	"flanges: flanges a.stl sprung.stl --thickness 1,1 --from-edge 6 --from-bend 5",
	"bend: flanges a.stl near-wall.stl --thickness 1,1 --from-edge 7 --from-bend 9",
	"drawing: flanges e.dxf",
	"rules-joint: rules shell.json --joint lap --set joints.lap.count=9 --set joints.lap.rows=2",
	"rules-stack: rules --stack 0.7,1,2.5 --tensile 340",
}

// TestDemo's folder of files, and all that commands say of it, are as they were. What is read is kept as text, what is drawn as a sum of
// its bytes: a picture whose sum has changed is for looking at. -update writes all of it anew.
func demoAsRecorded(t *testing.T, dir string) {
	recordOf(t, dir, "demo", "shell.yaml", demoCalls, 11)
}

// TestScriptsOnWorks: all that is said and drawn of the small works, which has one of everything, is as it was.
func TestScriptsOnWorks(t *testing.T) {
	dir := t.TempDir()
	if err := everykey.Write(dir); err != nil {
		t.Fatal(err)
	}
	calls.Put(t, dir, "shell.json", everykey.Works)
	whole.Must(t, program.ExitDone, "plan", filepath.Join(dir, "shell.json"), "--quiet", "-o", filepath.Join(dir, "plan"))
	recordOf(t, dir, "works", "shell.json", worksCalls, 1)
}

// recordOf holds what calls say of a shell in a folder, and what they write, to its record, and so the strip of every so manieth flange.
func recordOf(t *testing.T, dir, name, file string, list []string, strips int) {
	plan, err := planfile.Read(bytes.NewReader(calls.Read(t, filepath.Join(dir, "plan", "plan.json"))))
	if err != nil {
		t.Fatal(err)
	}
	here, err := filepath.Abs(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	if *calls.Update {
		if err := errors.Join(os.RemoveAll(here), os.MkdirAll(here, 0o755)); err != nil {
			t.Fatal(err)
		}
	}
	record.Hold(t, filepath.Join(here, "report.txt"), string(calls.Read(t, filepath.Join(dir, "plan", "report.txt"))))
	record.Hold(t, filepath.Join(here, "plan-sums.txt"), sums(t, filepath.Join(dir, "plan")))
	calls.Put(t, dir, "points.csv", measuredPoints(plan, 0.2, r3.Vector{X: 1200, Y: -40, Z: 310}))
	calls.Put(t, dir, "fixed.csv", measuredPoints(plan, 0, r3.Vector{}))
	calls.Put(t, dir, "times.csv", measuredTimes(plan))
	t.Chdir(dir)
	for _, c := range list {
		name, words, _ := strings.Cut(c, ": ")
		code, out, errOut := whole.Call(t, strings.Fields(words)...)
		record.Hold(t, filepath.Join(here, name+".txt"), fmt.Sprintf("$ seamwright %s\nexit code %d\n%s%s", words, code, errOut, out))
	}
	for i, f := range plan.Flanges {
		if i%strips != 0 { // they take their time
			continue
		}
		name := "strip-" + strings.ReplaceAll(f.ID, "/", "-") + ".svg"
		code, _, errOut := whole.Call(t, "strip", file, "--flange", f.ID, "-o", name)
		if code != program.ExitDone && code != program.ExitBroken {
			t.Errorf("strip of %s: %s", f.ID, errOut)
		}
	}
	record.Hold(t, filepath.Join(here, "sums.txt"), sums(t, dir))
}

// sums are the names of all files in a folder, each with the sum of its bytes but for the plan's own sum.
func sums(t *testing.T, dir string) string {
	var b strings.Builder
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		sum := sha256.Sum256([]byte(withoutHashes(calls.Read(t, path))))
		fmt.Fprintf(&b, "%x %s\n", sum[:6], filepath.ToSlash(name))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// measuredPoints are the plan's welds as somebody might measure them on an original: turned about z and moved, each a little off and
// some by much, with some missing and some more.
func measuredPoints(plan *layout.Plan, turn float64, move r3.Vector) string {
	var b strings.Builder
	b.WriteString("id,x_mm,y_mm,z_mm\n")
	for i, w := range plan.Welds {
		p := w.Position
		off := float64(i%5-2) * 0.7
		switch {
		case i%23 == 3:
			continue
		case i%41 == 7:
			off = 9
		}
		x, y := p[0]+off, p[1]-off/2
		fmt.Fprintf(&b, "p%d,%.3f,%.3f,%.3f\n", i, x*math.Cos(turn)-y*math.Sin(turn)+move.X, x*math.Sin(turn)+y*math.Cos(turn)+move.Y,
			p[2]+off/3+move.Z)
		if i%67 == 11 {
			fmt.Fprintf(&b, "more%d,%.3f,%.3f,%.3f\n", i, x+move.X, y+300+move.Y, p[2]+move.Z)
		}
	}
	return b.String()
}

// measuredTimes are minutes that shells might have taken at the plan's stations.
func measuredTimes(plan *layout.Plan) string {
	var b strings.Builder
	b.WriteString("station,shell,minutes\n")
	for i, s := range plan.Labour.Stations {
		for shell := 1; shell <= 4; shell *= 2 {
			fmt.Fprintf(&b, "%s,%d,%.1f\n", s.Station, shell, s.Minutes*(1.3-0.03*float64(shell)+0.05*float64(i%3)))
		}
	}
	return b.String()
}
