package everykey_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"seamwright/internal/cache"
	"seamwright/internal/everykey"
	"seamwright/layout/engine"
	"seamwright/layout/price"
	"seamwright/render/offer"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// effect is a value for a key, as JSON: stated in the works below it changes the plan or the quote, or is refused in words that
// name the key or the value.
type effect struct {
	at    string   // the key with its numbers, such as joints[1].rows
	value string   // as JSON
	with  []string // what is stated beside it, before and after, as key = JSON
}

// effectOf reads "key = value | key beside it = value | ...".
func effectOf(line string) effect {
	parts := strings.Split(strings.TrimSpace(line), " | ")
	at, value, _ := strings.Cut(parts[0], " = ")
	return effect{at, value, parts[1:]}
}

func TestEveryKeyHasAnEffect(t *testing.T) {
	dir := worksFolder(t)
	e := &engine.Engine{Cache: cache.New(), Workers: 1}
	bare := map[string]result{} // by what is stated beside the row's value
	rec := recordOf(t, "keys", dir)
	text, err := os.ReadFile("testdata/keys.txt")
	if err != nil {
		t.Fatal(err)
	}
	shown := map[string]bool{}
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "#") {
			continue
		}
		row := effectOf(line)
		key := numbers.ReplaceAllString(row.at, "[]")
		shown[key] = true
		changes(t, e, dir, key, row, bare, rec)
	}
	for _, k := range shell.Keys() {
		if !shown[k.Name] {
			t.Errorf("%s: no row shows what it does", k.Name)
		}
		delete(shown, k.Name)
	}
	for key := range shown {
		t.Errorf("%s: a row without a key", key)
	}
	rec.end(t)
}

// Keys of a joint do something for every kind of joint, or are refused, or said to do nothing.
func TestJointKeysByKind(t *testing.T) {
	dir := worksFolder(t)
	e := &engine.Engine{Cache: cache.New(), Workers: 1}
	bare := map[string]result{}
	rec := recordOf(t, "joints", dir)
	for joint, at := range []string{1: "60, 152, 0.5", 2: "60, 292, 0.5", 3: "60, 230, 0.5", 4: "60, 22, 0"} {
		if joint == 0 {
			continue // as the other test has it
		}
		in := strings.NewReplacer("#", fmt.Sprintf("joints[%d]", joint), "@", at, "%", []string{"b", "c", "c", "a"}[joint-1])
		rows := ofJoints
		if joint != 1 {
			rows += ofSpottedJoints
		}
		if joint == 4 {
			rows += ofDrawnJoints
		}
		for line := range strings.Lines(rows) {
			row := effectOf(in.Replace(line))
			changes(t, e, dir, row.at, row, bare, rec)
		}
	}
	rec.end(t)
}

// A joint that is welded at a survey's points has its welds there: what would lay them elsewhere is refused, and all else does
// what it does for others.
func TestJointKeysAtASurveysPoints(t *testing.T) {
	dir := worksFolder(t)
	e := &engine.Engine{Cache: cache.New(), Workers: 1}
	bare := map[string]result{}
	rec := recordOf(t, "points", dir)
	in := strings.NewReplacer("#", "joints[0]", "@", "60, 71, 0.5", "%", "a")
	rows := strings.Replace(ofJoints, `station = "one"`, `station = "two"`, 1) // it is welded at one already
	for line := range strings.Lines(rows + ofSpottedJoints + atPoints) {
		row := effectOf(in.Replace(line))
		row.with = append(row.with, `survey.file = "adopted.csv"`)
		changes(t, e, dir, row.at, row, bare, rec)
	}
	rec.end(t)
}

// ofJoints are values for joint #, which passes the place @ and holds panel %. How far clamps close depends on the sheets alone, but
// where the line is drawn.
const (
	ofJoints = `#.name = "other"
#.station = "one"
#.pitch_mm = 22
#.count = 3
#.load.shear_n = 90000
#.load.flow_n_per_mm = 300
#.load.tension_n = 90000
#.keep_outs = [{"at_mm": [@], "radius_mm": 30}]
#.weld_line = {"file": "other.csv", "width_mm": 14}
#.near_mm = [900, 0, 0, 5]
#.tack_every_mm = 40
#.fill = "skips" | #.tack_every_mm = 300
#.forces = [{"at_mm": [@], "force_n": [0, 9000, 0]}]
#.compression_mpa = 190
#.rows = 2
#.edge_mm = 7 | #.edge_of = "%" | #.edge_mm = 9
#.row_pitch_mm = 18
#.row_distance_mm = 9
#.welds = [{"id": "hinge", "along_mm": 50, "do": "pin"}]
#.sealed = true
`
	ofSpottedJoints = `#.load.direction = "across" | #.load = {"shear_n": 20000, "direction": "along"}
#.forces[0].on = "%" | #.forces = [{"at_mm": [@], "force_n": [0, 0, 5000]}]
` // a rolled joint's load is broken whatever way it acts
	atPoints = `#.count = 12
#.rows = 2 | panels[1].mesh = "wide.stl"
#.rows = 1 | panels[1].mesh = "wide.stl"
#.row_distance_mm = 12 | panels[1].mesh = "wide.stl" | #.rows = 2
#.pitch_mm = 100
`
	ofDrawnJoints = `#.clamp_gap_mm = 0.2
#.clamp_angle_deg = 20
`
)

var numbers = regexp.MustCompile(`\[\d+\]`)

// changes fails unless the row's value changes the plan, or is refused in words that name its key.
func changes(t *testing.T, e *engine.Engine, dir, key string, row effect, bare map[string]result, rec *record) {
	t.Helper()
	sh := decoded(t, everykey.Works)
	for _, line := range row.with {
		at, value, _ := strings.Cut(line, " = ")
		sh = put(sh, at, decoded(t, value))
	}
	beside := strings.Join(row.with, " ")
	before, ok := bare[beside]
	if !ok {
		var err error
		if before, err = resultOf(e, dir, sh); err != nil {
			t.Errorf("%s: without it: %v", key, err)
			return
		}
		bare[beside] = before
	}
	after, err := resultOf(e, dir, put(sh, row.at, decoded(t, row.value)))
	switch last := key[strings.LastIndex(key, ".")+1:]; {
	case err != nil && !strings.Contains(err.Error(), last) && !strings.Contains(err.Error(), strings.Trim(row.value, `"`)):
		t.Errorf("%s: %s = %s is refused in other words: %v", key, row.at, row.value, err)
	case err == nil && before.sum == after.sum:
		t.Errorf("%s: %s = %s changes nothing and is not refused", key, row.at, row.value)
	}
	rec.add(t, row, before, after, err)
}

// resultOf is the plan of a shell, but for the hash of its input, and the quote where one is asked for.
func resultOf(e *engine.Engine, dir string, sh any) (out result, err error) {
	text, err := json.Marshal(sh)
	if err != nil {
		return out, err
	}
	if err := os.WriteFile(filepath.Join(dir, "shell.json"), text, 0o600); err != nil {
		return out, err
	}
	read, _, err := shellfile.Read(filepath.Join(dir, "shell.json"), nil)
	if err != nil {
		return out, err
	}
	done, err := e.Plan(context.Background(), engine.Input{Shell: read})
	if err != nil {
		return out, err
	}
	plan := bytes.Replace(done.Text, []byte(done.Plan.Shell.Input), nil, 1)
	if !bytes.Contains(text, []byte(`"offer"`)) {
		return resultIn(plan, nil)
	}
	priced, err := price.Of(context.Background(), done.Plan, read)
	if err != nil {
		return out, err
	}
	quoted, err := json.Marshal(priced)
	if err != nil {
		return out, err
	}
	for _, page := range append(offer.Letter(done.Plan, priced, ""), offer.Workings(done.Plan, priced, "")...) {
		var svg bytes.Buffer
		if err := page.SVG(&svg); err != nil {
			return out, err
		}
		quoted = append(quoted, svg.Bytes()...)
	}
	return resultIn(plan, quoted)
}

func decoded(t *testing.T, text string) (out any) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), &out); err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return out
}

// put is a tree with a value at a place such as joints[0].load.shear_n; the tree itself stays as it is.
func put(in any, at string, value any) any {
	if at == "" {
		return value
	}
	if at[0] == '[' {
		number, rest, _ := strings.Cut(at[1:], "]")
		list, _ := in.([]any)
		list = slices.Clone(list)
		n, _ := strconv.Atoi(number)
		if n == len(list) {
			list = append(list, nil)
		}
		list[n] = put(list[n], strings.TrimPrefix(rest, "."), value)
		return list
	}
	end := strings.IndexAny(at, ".[")
	if end < 0 {
		end = len(at)
	}
	out := map[string]any{}
	if m, ok := in.(map[string]any); ok {
		for k, v := range m {
			out[k] = v
		}
	}
	out[at[:end]] = put(out[at[:end]], strings.TrimPrefix(at[end:], "."), value)
	return out
}

func worksFolder(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	if err := everykey.Write(dir); err != nil {
		t.Fatal(err)
	}
	return dir
}
