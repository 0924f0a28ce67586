package engine_test

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"seamwright/internal/cache"
	"seamwright/layout/buy"
	"seamwright/layout/engine"
	"seamwright/seams/shell"
)

// effect is a value for a key, as JSON: stated in the works below it changes the plan or the steel to buy, or is refused in words that
// name the key or the value.
type effect struct {
	at    string   // the key with its numbers, such as joints[1].rows
	value string   // as JSON
	with  []string // what is stated beside it, before and after, as key=JSON
}

// works is a shell with one of everything: a lap of spots under a load, a rolled one, one of both, a broad contact in rows and a drawn weld
// line; a sub-assembly and two stations.
const works = `{
 "name": "works", "unit": "mm", "batch": 4,
 "steels": [{"id": "s", "grade": "DC04", "thickness_mm": 1, "tensile_mpa": 300, "yield_mpa": 200},
            {"id": "t", "grade": "DX54D+Z", "thickness_mm": 0.8, "coating": "Z100"}],
 "panels": [{"id": "a", "mesh": "a.stl", "steel": "s"}, {"id": "b", "mesh": "b.stl", "steel": "s"},
            {"id": "c", "mesh": "c.stl", "steel": "s"}, {"id": "d", "mesh": "d.stl", "steel": "s"},
            {"id": "e", "outline": "e.dxf", "steel": "s", "place": {"move_mm": [0, 200, 1]},
             "layers": [{"layer": "OUT", "role": "outline"}, {"layer": "HOLE", "role": "hole"}]}],
 "subassemblies": [{"id": "ab", "parts": ["a", "b"]}],
 "stations": [{"id": "one", "makes": "ab", "arrives": ["a", "b"], "guns": ["g", "h"], "crew": 2,
               "clamps": [{"at_mm": [100, 71, 0.5]}], "dowels": [{"at_mm": [200, 71, 0.5]}],
               "hold_points": [{"text": "width", "value_mm": 160, "at_mm": [0, 0, 0], "to_mm": [0, 160, 0]}]},
              {"id": "two", "arrives": ["ab", "c", "d", "e"], "guns": ["g", "h"], "rollers": ["r"],
               "hold_points": [{"text": "length", "before": "both", "at_mm": [0, 0, 0]}]}],
 "joints": [{"id": "lap", "panels": ["a", "b"]},
            {"id": "seam", "panels": ["b", "c"], "kind": "roller"},
            {"id": "both", "panels": ["c", "d"], "kind": "spot+roller"},
            {"id": "broad", "panels": ["c", "e"], "row_pitch_mm": 30},
            {"id": "drawn", "panels": ["a", "d"], "weld_line": {"file": "line.csv", "width_mm": 16, "place": {"move_mm": [0, 20, 0]}}}],
 "guns": [{"id": "g", "throat_depth_mm": 400, "throat_gap_mm": 250, "force_n": 4000, "current_a": 16000, "voltage_v": 8, "mass_kg": 20},
          {"id": "h", "throat_depth_mm": 300, "throat_gap_mm": 200, "force_n": 4000, "current_a": 16000, "voltage_v": 8, "mass_kg": 25}],
 "tips": [{"id": "dome", "face_mm": 6}, {"id": "slim", "face_mm": 5, "shape": "narrow-flat"}],
 "rollers": [{"id": "r", "current_a": 30000, "voltage_v": 8}],
 "rates": {"currency": "EUR"}
}`

func TestEveryKeyHasAnEffect(t *testing.T) {
	dir := worksFolder(t)
	e := &engine.Engine{Cache: cache.New(), Workers: 1}
	bare := map[string][]byte{} // by what is stated beside the row's value
	rows := effects()
	for _, k := range shell.Keys() {
		row, ok := rows[k.Name]
		if !ok {
			t.Errorf("%s: no row shows what it does", k.Name)
			continue
		}
		delete(rows, k.Name)
		if numbers.ReplaceAllString(row.at, "[]") != k.Name {
			t.Errorf("%s: its row states %s", k.Name, row.at)
		}
		changes(t, e, dir, k.Name, row, bare)
	}
	for name := range rows {
		t.Errorf("%s: a row without a key", name)
	}
}

// Keys of a joint do something for every kind of joint, or are refused, or said to do nothing.
func TestJointKeysByKind(t *testing.T) {
	dir := worksFolder(t)
	e := &engine.Engine{Cache: cache.New(), Workers: 1}
	bare := map[string][]byte{}
	for joint, at := range []string{1: "60, 152, 0.5", 2: "60, 292, 0.5", 3: "60, 230, 0.5", 4: "60, 22, 0"} {
		if joint == 0 {
			continue // as the other test has it
		}
		in := strings.NewReplacer("#", fmt.Sprintf("joints[%d]", joint), "@", at, "%", []string{"b", "c", "c", "a"}[joint-1])
		rows := ofJoints
		if joint != 1 { // a rolled joint's load is broken whatever way it acts
			rows = slices.Concat(rows, waysOfLoads)
		}
		if joint == 4 {
			rows = slices.Concat(rows, []effect{{"#.clamp_gap_mm", `0.2`, nil}, {"#.clamp_angle_deg", `20`, nil}})
		}
		for _, row := range rows {
			row.at, row.value = in.Replace(row.at), in.Replace(row.value)
			var with []string
			for _, w := range row.with {
				with = append(with, in.Replace(w))
			}
			row.with = with
			changes(t, e, dir, row.at, row, bare)
		}
	}
}

// ofJoints are values for joint #, which passes the place @ and holds panel %. How far clamps close depends on the sheets alone, but where
// the line is drawn.
var ofJoints = []effect{
	{"#.name", `"other"`, nil},
	{"#.station", `"one"`, nil},
	{"#.pitch_mm", `22`, nil},
	{"#.count", `3`, nil},
	{"#.load.shear_n", `90000`, nil},
	{"#.load.flow_n_per_mm", `300`, nil},
	{"#.load.tension_n", `90000`, nil},
	{"#.keep_outs", `[{"at_mm": [@], "radius_mm": 30}]`, nil},
	{"#.weld_line", `{"file": "other.csv", "width_mm": 14}`, nil},
	{"#.near_mm", `[900, 0, 0, 5]`, nil},
	{"#.tack_every_mm", `40`, nil},
	{"#.fill", `"skips"`, []string{`#.tack_every_mm=300`}},
	{"#.forces", `[{"at_mm": [@], "force_n": [0, 9000, 0]}]`, nil},
	{"#.compression_mpa", `190`, nil},
	{"#.rows", `2`, nil},
	{"#.edge_mm", `7`, []string{`#.edge_of="%"`, "#.edge_mm=9"}},
	{"#.row_pitch_mm", `18`, nil},
	{"#.row_distance_mm", `9`, nil},
	{"#.welds", `[{"id": "hinge", "along_mm": 50, "do": "pin"}]`, nil},
	{"#.sealed", `true`, nil},
}

var waysOfLoads = []effect{
	{"#.load.direction", `"across"`, []string{`#.load={"shear_n": 20000, "direction": "along"}`}},
	{"#.forces[0].on", `"%"`, []string{`#.forces=[{"at_mm": [@], "force_n": [0, 0, 5000]}]`}},
}

var numbers = regexp.MustCompile(`\[\d+\]`)

// changes fails unless the row's value changes the plan, or is refused in words that name its key.
func changes(t *testing.T, e *engine.Engine, dir, key string, row effect, bare map[string][]byte) {
	t.Helper()
	sh := decoded(t, works)
	for _, line := range row.with {
		at, value, _ := strings.Cut(line, "=")
		sh = put(sh, at, decoded(t, value))
	}
	beside := strings.Join(row.with, " ")
	if bare[beside] == nil {
		var err error
		if bare[beside], err = resultOf(e, dir, sh); err != nil {
			t.Errorf("%s: without it: %v", key, err)
			return
		}
	}
	after, err := resultOf(e, dir, put(sh, row.at, decoded(t, row.value)))
	switch last := key[strings.LastIndex(key, ".")+1:]; {
	case err != nil && !strings.Contains(err.Error(), last) && !strings.Contains(err.Error(), strings.Trim(row.value, `"`)):
		t.Errorf("%s: %s = %s is refused in other words: %v", key, row.at, row.value, err)
	case err == nil && bytes.Equal(bare[beside], after):
		t.Errorf("%s: %s = %s changes nothing and is not refused", key, row.at, row.value)
	}
}

// resultOf is the plan of a shell, but for the hash of its input, and the steel to buy for it.
func resultOf(e *engine.Engine, dir string, sh any) ([]byte, error) {
	text, err := json.Marshal(sh)
	if err != nil {
		return nil, err
	}
	if err := os.WriteFile(filepath.Join(dir, "shell.json"), text, 0o600); err != nil {
		return nil, err
	}
	read, _, err := shell.Read(filepath.Join(dir, "shell.json"), nil)
	if err != nil {
		return nil, err
	}
	done, err := e.Plan(context.Background(), engine.Input{Shell: read})
	if err != nil {
		return nil, err
	}
	out := bytes.Replace(done.Text, []byte(done.Plan.Shell.Input), nil, 1)
	if !bytes.Contains(text, []byte(`"price_per_kg"`)) && !bytes.Contains(text, []byte(`"allowances"`)) {
		return out, nil
	}
	loaded, err := done.Parts(context.Background())
	if err != nil {
		return nil, err
	}
	steel, err := buy.Of(read, loaded)
	return fmt.Append(out, steel), err
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

// worksFolder holds the files that the works and the rows name.
func worksFolder(t *testing.T) string {
	dir := t.TempDir()
	blank := func(length float64) []byte {
		return drawn(box("OUT", 0, 0, length, 60), box("HOLE", 30, 20, 44, 40))
	}
	for name, data := range map[string][]byte{
		"a.stl": stl(flat(0, 0, 400, 80, 0)), "b.stl": stl(flat(0, 62, 400, 160, 1)), "c.stl": stl(flat(0, 144, 400, 300, 0)),
		"d.stl": stl(flat(0, 284, 400, 360, 1)), "other.stl": stl(flat(0, 0, 380, 80, 0)), "e.dxf": blank(120), "other.dxf": blank(110),
		"wide.stl":      stl(flat(0, 40, 400, 160, 1)),
		"sprung.stl":    stl([4]point{{0, 62, 1}, {400, 62, 1}, {400, 160, 11.3}, {0, 160, 11.3}}),
		"leaning.stl":   stl(flat(0, 62, 400, 70, 1), [4]point{{0, 70, 1}, {400, 70, 1}, {400, 160, 20.1}, {0, 160, 20.1}}),
		"bent.stl":      stl(flat(0, 62, 400, 79, 1), wall(0, 79, 400, 79)),
		"edge-wall.stl": stl(flat(0, 0, 400, 80, 0), wall(0, 0, 400, 0)), "far-wall.stl": stl(flat(0, 62, 400, 160, 1), wall(0, 160, 400, 160)),
		"near-wall.stl": stl(flat(0, 62, 400, 84, 1), wall(0, 84, 400, 84)), "end-wall.stl": stl(flat(0, 62, 400, 160, 1), wall(400, 62, 400, 160)),
		"near-wall-d.stl": stl(flat(0, 284, 400, 304, 1), wall(0, 304, 400, 304)),
		"bowl-b.stl":      stl(bowl(62, 160, 1)...), "bowl-c.stl": stl(bowl(144, 300, 0)...),
		"line.csv": []byte("x,y,z\n20,2,0\n380,2,0\n"), "other.csv": []byte("x,y,z\n20,2,0\n300,2,0\n"),
		"bend.csv":   arc(),
		"points.csv": []byte("x,y,z\n20,71,0.5\n50,71,0.5\n80,71,0.5\n"),
		"book.yaml":  []byte("rules:\n  - {id: pitch.greatest, value: 26}\n"),
	} {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

// wall is a rectangle that stands 60 mm high over a line at a height of 1 mm.
func wall(x0, y0, x1, y1 float64) [4]point {
	return [4]point{{x0, y0, 1}, {x1, y1, 1}, {x1, y1, 61}, {x0, y0, 61}}
}

// bowl is a strip across a hollow of 120 mm radius, with a sheet's middle raised so much.
func bowl(y0, y1, raised float64) (out [][4]point) {
	at := func(i int, y float64) point {
		a := float64(i) * math.Pi / 60
		return point{200 + (120-raised)*math.Sin(a), y, 120 - (120-raised)*math.Cos(a)}
	}
	for i := -20; i < 20; i++ {
		out = append(out, [4]point{at(i, y0), at(i+1, y0), at(i+1, y1), at(i, y1)})
	}
	return out
}

// arc is a weld line that turns with a radius of 150 mm.
func arc() []byte {
	b := []byte("x,y,z\n")
	for i := range 31 {
		a := float64(i) * math.Pi / 60
		b = fmt.Appendf(b, "%.4f,%.4f,0\n", 100+150*math.Sin(a), 300-150*math.Cos(a))
	}
	return b
}

// box is the lines round a rectangle on a layer of a drawing.
func box(layer string, x0, y0, x1, y1 float64) string {
	var b strings.Builder
	at := [][2]float64{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
	for i := range 4 {
		fmt.Fprintf(&b, "0\nLINE\n8\n%s\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", layer, at[i][0], at[i][1], at[i+1][0], at[i+1][1])
	}
	return b.String()
}

func drawn(shapes ...string) []byte {
	return []byte("0\nSECTION\n2\nENTITIES\n" + strings.Join(shapes, "") + "0\nENDSEC\n0\nEOF\n")
}

// effects is a row for every key of the shell file.
func effects() map[string]effect {
	return map[string]effect{
		"name":                                  {`name`, `"other"`, nil},
		"number":                                {`number`, `"N-1"`, nil},
		"revision":                              {`revision`, `"B"`, nil},
		"batch":                                 {`batch`, `9`, nil},
		"owner":                                 {`owner`, `"Tarn Cabs"`, nil},
		"creator":                               {`creator`, `"planning"`, nil},
		"approver":                              {`approver`, `"lead"`, nil},
		"status":                                {`status`, `"demonstration"`, nil},
		"issued":                                {`issued`, `"2026-03-02"`, nil},
		"unit":                                  {`unit`, `"cm"`, nil},
		"gap_limit_mm":                          {`gap_limit_mm`, `0.05`, []string{`panels[3].place.move_mm=[0, 0, 0.2]`}},
		"steels[].id":                           {`steels[1].id`, `"s"`, nil},
		"steels[].grade":                        {`steels[0].grade`, `"DC05"`, nil},
		"steels[].thickness_mm":                 {`steels[0].thickness_mm`, `1.2`, nil},
		"steels[].coating":                      {`steels[0].coating`, `"ZE25/25"`, nil},
		"steels[].tensile_mpa":                  {`steels[0].tensile_mpa`, `350`, nil},
		"steels[].yield_mpa":                    {`steels[0].yield_mpa`, `250`, []string{`joints[0].compression_mpa=220`}},
		"panels[].id":                           {`panels[0].id`, `"z"`, nil},
		"panels[].name":                         {`panels[0].name`, `"floor"`, nil},
		"panels[].mesh":                         {`panels[0].mesh`, `"other.stl"`, nil},
		"panels[].outline":                      {`panels[4].outline`, `"other.dxf"`, nil},
		"panels[].unit":                         {`panels[0].unit`, `"cm"`, nil},
		"panels[].steel":                        {`panels[0].steel`, `"t"`, nil},
		"panels[].surface":                      {`panels[0].surface`, `"skin"`, nil},
		"panels[].skin":                         {`panels[0].skin`, `"outer"`, []string{`panels[0].surface="skin"`}},
		"panels[].mass_kg":                      {`panels[0].mass_kg`, `40`, nil},
		"panels[].place.mirror_y":               {`panels[4].place.mirror_y`, `true`, nil},
		"panels[].place.turn_deg":               {`panels[4].place.turn_deg`, `[0, 0, 90]`, nil},
		"panels[].place.move_mm":                {`panels[4].place.move_mm`, `[20, 200, 1]`, nil},
		"panels[].layers[].layer":               {`panels[4].layers[1].layer`, `"NONE"`, nil},
		"panels[].layers[].role":                {`panels[4].layers[1].role`, `"ignore"`, nil},
		"subassemblies[].id":                    {`subassemblies[0].id`, `"frame"`, nil},
		"subassemblies[].name":                  {`subassemblies[0].name`, `"frame"`, nil},
		"subassemblies[].parts":                 {`subassemblies[0].parts`, `["a"]`, nil},
		"stations[].id":                         {`stations[0].id`, `"first"`, nil},
		"stations[].name":                       {`stations[0].name`, `"first jig"`, nil},
		"stations[].jig":                        {`stations[0].jig`, `"J1"`, nil},
		"stations[].crew":                       {`stations[0].crew`, `1`, nil},
		"stations[].makes":                      {`stations[0].makes`, `"abc"`, nil},
		"stations[].arrives":                    {`stations[1].arrives`, `["c", "d", "e", "ab"]`, nil},
		"stations[].guns":                       {`stations[0].guns`, `["h"]`, nil},
		"stations[].rollers":                    {`stations[1].rollers`, `["q"]`, []string{`rollers[1]={"id": "q", "wheel_width_mm": 6}`}},
		"stations[].prepare_min":                {`stations[0].prepare_min`, `90`, nil},
		"stations[].changeover_min":             {`stations[0].changeover_min`, `20`, nil},
		"stations[].clamps[].id":                {`stations[0].clamps[0].id`, `"K"`, nil},
		"stations[].clamps[].at_mm":             {`stations[0].clamps[0].at_mm`, `[300, 71, 0.5]`, nil},
		"stations[].clamps[].radius_mm":         {`stations[0].clamps[0].radius_mm`, `40`, nil},
		"stations[].clamps[].release":           {`stations[0].clamps[0].release`, `"end"`, nil},
		"stations[].dowels[].id":                {`stations[0].dowels[0].id`, `"P"`, nil},
		"stations[].dowels[].at_mm":             {`stations[0].dowels[0].at_mm`, `[300, 71, 0.5]`, nil},
		"stations[].dowels[].radius_mm":         {`stations[0].dowels[0].radius_mm`, `20`, nil},
		"stations[].hold_points[].id":           {`stations[0].hold_points[0].id`, `"G"`, nil},
		"stations[].hold_points[].text":         {`stations[0].hold_points[0].text`, `"depth"`, nil},
		"stations[].hold_points[].before":       {`stations[1].hold_points[0].before`, `"broad"`, nil},
		"stations[].hold_points[].value_mm":     {`stations[0].hold_points[0].value_mm`, `161`, nil},
		"stations[].hold_points[].tolerance_mm": {`stations[0].hold_points[0].tolerance_mm`, `1.5`, nil},
		"stations[].hold_points[].at_mm":        {`stations[0].hold_points[0].at_mm`, `[10, 0, 0]`, nil},
		"stations[].hold_points[].to_mm":        {`stations[0].hold_points[0].to_mm`, `[10, 160, 0]`, nil},
		"joints[].id":                           {`joints[0].id`, `"overlap"`, nil},
		"joints[].name":                         {`joints[0].name`, `"left lap"`, nil},
		"joints[].panels":                       {`joints[0].panels`, `["a", "b", "c"]`, nil},
		"joints[].kind":                         {`joints[0].kind`, `"roller"`, nil},
		"joints[].station":                      {`joints[0].station`, `"two"`, nil},
		"joints[].pitch_mm":                     {`joints[0].pitch_mm`, `22`, nil},
		"joints[].count":                        {`joints[0].count`, `7`, nil},
		"joints[].load.shear_n":                 {`joints[0].load.shear_n`, `40000`, nil},
		"joints[].load.flow_n_per_mm":           {`joints[0].load.flow_n_per_mm`, `150`, nil},
		"joints[].load.tension_n":               {`joints[0].load.tension_n`, `9000`, nil},
		"joints[].load.direction":               {`joints[0].load.direction`, `"along"`, []string{`joints[0].load={"shear_n": 20000}`}},
		"joints[].keep_outs[].at_mm":            {`joints[0].keep_outs[0].at_mm`, `[250, 71, 0.5]`, []string{`joints[0].keep_outs=[{"at_mm": [50, 71, 0.5], "radius_mm": 20}]`}},
		"joints[].keep_outs[].radius_mm":        {`joints[0].keep_outs[0].radius_mm`, `40`, []string{`joints[0].keep_outs=[{"at_mm": [50, 71, 0.5], "radius_mm": 20}]`}},
		"joints[].keep_outs[].why":              {`joints[0].keep_outs[0].why`, `"bolt"`, []string{`joints[0].keep_outs=[{"at_mm": [50, 71, 0.5], "radius_mm": 30}]`}},
		"joints[].weld_line.file":               {`joints[4].weld_line.file`, `"other.csv"`, nil},
		"joints[].weld_line.layer":              {`joints[4].weld_line.layer`, `"NONE"`, nil},
		"joints[].weld_line.unit":               {`joints[4].weld_line.unit`, `"inch"`, nil},
		"joints[].weld_line.width_mm":           {`joints[4].weld_line.width_mm`, `12`, nil},
		"joints[].weld_line.place.mirror_y":     {`joints[4].weld_line.place.mirror_y`, `true`, nil},
		"joints[].weld_line.place.turn_deg":     {`joints[4].weld_line.place.turn_deg`, `[0, 0, 5]`, nil},
		"joints[].weld_line.place.move_mm":      {`joints[4].weld_line.place.move_mm`, `[0, 30, 0]`, nil},
		"joints[].near_mm":                      {`joints[0].near_mm`, `[200, 400, 0, 10]`, nil},
		"joints[].tack_every_mm":                {`joints[0].tack_every_mm`, `60`, nil},
		"joints[].fill":                         {`joints[0].fill`, `"skips"`, []string{`joints[0].pitch_mm=22`, `joints[0].tack_every_mm=300`}},
		"joints[].forces[].at_mm":               {`joints[0].forces[0].at_mm`, `[390, 71, 0]`, []string{`joints[0].forces=[{"at_mm": [200, 71, 0], "force_n": [0, 5000, 0]}]`}},
		"joints[].forces[].force_n":             {`joints[0].forces[0].force_n`, `[0, 9000, 0]`, []string{`joints[0].forces=[{"at_mm": [200, 71, 0], "force_n": [0, 5000, 0]}]`}},
		"joints[].forces[].moment_nm":           {`joints[0].forces[0].moment_nm`, `[0, 0, 300]`, []string{`joints[0].forces=[{"at_mm": [200, 71, 0], "force_n": [0, 5000, 0]}]`}},
		"joints[].forces[].on":                  {`joints[0].forces[0].on`, `"a"`, []string{`joints[0].forces=[{"at_mm": [200, 71, 0], "force_n": [0, 0, 5000]}]`}},
		"joints[].compression_mpa":              {`joints[0].compression_mpa`, `190`, nil},
		"joints[].rows":                         {`joints[0].rows`, `2`, nil},
		"joints[].edge_of":                      {`joints[0].edge_of`, `"b"`, []string{`joints[0].edge_mm=7`, `joints[0].edge_of="a"`}},
		"joints[].edge_mm":                      {`joints[0].edge_mm`, `7`, []string{`joints[0].edge_of="a"`, `joints[0].edge_mm=9`}},
		"joints[].row_pitch_mm":                 {`joints[3].row_pitch_mm`, `18`, nil},
		"joints[].row_distance_mm":              {`joints[0].row_distance_mm`, `17`, []string{`joints[0].rows=2`, `panels[1].mesh="wide.stl"`}},
		"joints[].welds[].id":                   {`joints[0].welds[0].id`, `"bolt"`, []string{`joints[0].welds=[{"id": "hinge", "along_mm": 700, "do": "leave-out"}]`}},
		"joints[].welds[].flange":               {`joints[0].welds[0].flange`, `"lap/9"`, []string{`joints[0].welds=[{"id": "hinge", "along_mm": 300, "do": "pin"}]`}},
		"joints[].welds[].along_mm":             {`joints[0].welds[0].along_mm`, `333`, []string{`joints[0].welds=[{"id": "hinge", "along_mm": 300, "do": "pin"}]`}},
		"joints[].welds[].do":                   {`joints[0].welds[0].do`, `"leave-out"`, []string{`joints[0].welds=[{"id": "hinge", "along_mm": 300, "do": "pin"}]`}},
		"joints[].welds[].to_mm":                {`joints[0].welds[0].to_mm`, `312`, []string{`joints[0].welds=[{"id": "hinge", "along_mm": 300, "do": "move", "to_mm": 305}]`}},
		"joints[].clamp_gap_mm":                 {`joints[0].clamp_gap_mm`, `0.2`, []string{`panels[1].mesh="sprung.stl"`}},
		"joints[].clamp_angle_deg":              {`joints[0].clamp_angle_deg`, `20`, []string{`panels[1].mesh="leaning.stl"`}},
		"joints[].sealed":                       {`joints[0].sealed`, `true`, nil},
		"guns[].id":                             {`guns[0].id`, `"k"`, nil},
		"guns[].letter":                         {`guns[0].letter`, `"Z"`, nil},
		"guns[].name":                           {`guns[0].name`, `"light gun"`, nil},
		"guns[].throat_depth_mm":                {`guns[0].throat_depth_mm`, `20`, nil},
		"guns[].throat_gap_mm":                  {`guns[0].throat_gap_mm`, `40`, []string{`panels[0].mesh="edge-wall.stl"`, `panels[1].mesh="far-wall.stl"`}},
		"guns[].arm_mm":                         {`guns[0].arm_mm`, `120`, nil},
		"guns[].stroke_mm":                      {`guns[0].stroke_mm`, `3`, []string{`panels[0].mesh="edge-wall.stl"`, `panels[1].mesh="far-wall.stl"`}},
		"guns[].force_n":                        {`guns[0].force_n`, `900`, nil},
		"guns[].power_kva":                      {`guns[0].power_kva`, `5`, nil},
		"guns[].current_a":                      {`guns[0].current_a`, `3000`, nil},
		"guns[].voltage_v":                      {`guns[0].voltage_v`, `60`, nil},
		"guns[].mass_kg":                        {`guns[0].mass_kg`, `60`, nil},
		"guns[].tips":                           {`guns[0].tips`, `["slim"]`, nil},
		"tips[].id":                             {`tips[0].id`, `"round"`, nil},
		"tips[].name":                           {`tips[0].name`, `"round tip"`, nil},
		"tips[].shape":                          {`tips[0].shape`, `"flat"`, nil},
		"tips[].face_mm":                        {`tips[0].face_mm`, `7`, nil},
		"tips[].shank_mm":                       {`tips[0].shank_mm`, `40`, []string{`panels[1].mesh="near-wall.stl"`}},
		"tips[].shank_long_mm":                  {`tips[0].shank_long_mm`, `60`, []string{`panels[1].mesh="end-wall.stl"`}},
		"tips[].length_mm":                      {`tips[0].length_mm`, `90`, []string{`panels[1].mesh="near-wall.stl"`}},
		"tips[].dress_every":                    {`tips[0].dress_every`, `60`, nil},
		"tips[].dressings":                      {`tips[0].dressings`, `2`, nil},
		"tips[].price":                          {`tips[0].price`, `60`, nil},
		"rollers[].id":                          {`rollers[0].id`, `"w"`, nil},
		"rollers[].letter":                      {`rollers[0].letter`, `"Q"`, nil},
		"rollers[].name":                        {`rollers[0].name`, `"gutter roller"`, nil},
		"rollers[].wheel_width_mm":              {`rollers[0].wheel_width_mm`, `7`, nil},
		"rollers[].wheel_diameter_mm":           {`rollers[0].wheel_diameter_mm`, `300`, []string{`panels[1].mesh="bowl-b.stl"`, `panels[2].mesh="bowl-c.stl"`}},
		"rollers[].least_radius_mm":             {`rollers[0].least_radius_mm`, `400`, []string{`joints[1].weld_line={"file": "bend.csv", "width_mm": 16}`}},
		"rollers[].speed_m_per_min":             {`rollers[0].speed_m_per_min`, `1.1`, nil},
		"rollers[].dress_every_m":               {`rollers[0].dress_every_m`, `10`, nil},
		"rollers[].wheel_life_m":                {`rollers[0].wheel_life_m`, `100`, nil},
		"rollers[].price":                       {`rollers[0].price`, `400`, nil},
		"rollers[].power_kva":                   {`rollers[0].power_kva`, `2`, nil},
		"rollers[].current_a":                   {`rollers[0].current_a`, `3000`, nil},
		"rollers[].voltage_v":                   {`rollers[0].voltage_v`, `50`, nil},
		"supply.frequency_hz":                   {`supply.frequency_hz`, `60`, nil},
		"supply.kind":                           {`supply.kind`, `"mfdc"`, nil},
		"rules.least_pitch_mm":                  {`rules.least_pitch_mm`, `35`, nil},
		"rules.greatest_pitch_mm":               {`rules.greatest_pitch_mm`, `25`, nil},
		"rules.edge_distance_mm":                {`rules.edge_distance_mm`, `12`, nil},
		"rules.end_distance_mm":                 {`rules.end_distance_mm`, `25`, nil},
		"rules.bend_clearance_mm":               {`rules.bend_clearance_mm`, `9`, []string{`panels[1].mesh="bent.stl"`}},
		"rules.tack_every_mm":                   {`rules.tack_every_mm`, `60`, nil},
		"rules.book":                            {`rules.book`, `"book.yaml"`, nil},
		"rules.use[].rule":                      {`rules.use[0].rule`, `"weld.diameter"`, []string{`rules.use=[{"rule": "weld.diameter.least", "source": "iso-14373"}]`}},
		"rules.use[].source":                    {`rules.use[0].source`, `"bs-1140"`, []string{`rules.use=[{"rule": "weld.diameter.least", "source": "aws-d8.1"}]`}},
		"rules.setting_table":                   {`rules.setting_table`, `"class-a"`, nil},
		"rules.strength":                        {`rules.strength`, `"aisi"`, nil},
		"rules.tension_factor":                  {`rules.tension_factor`, `2`, nil},
		"waivers[].rule":                        {`waivers[0].rule`, `"pitch.greatest"`, []string{`waivers=[{"rule": "count.load.least", "reason": "tested", "name": "A. Welder"}]`}},
		"waivers[].where":                       {`waivers[0].where`, `"seam"`, []string{`joints[0].count=4`, `waivers=[{"rule": "count.load.least", "reason": "tested", "name": "A. Welder"}]`}},
		"waivers[].reason":                      {`waivers[0].reason`, `"proved"`, []string{`joints[0].count=4`, `waivers=[{"rule": "count.load.least", "reason": "tested", "name": "A. Welder"}]`}},
		"waivers[].name":                        {`waivers[0].name`, `"B. Welder"`, []string{`joints[0].count=4`, `waivers=[{"rule": "count.load.least", "reason": "tested", "name": "A. Welder"}]`}},
		"survey.file":                           {`survey.file`, `"points.csv"`, nil},
		"rates.currency":                        {`rates.currency`, `"GBP"`, nil},
		"rates.labour_per_hour":                 {`rates.labour_per_hour`, `60`, nil},
		"rates.jig_per_hour":                    {`rates.jig_per_hour`, `60`, nil},
		"rates.energy_per_kwh":                  {`rates.energy_per_kwh`, `3`, nil},
		"rates.overhead_pct":                    {`rates.overhead_pct`, `20`, nil},
		"rates.utilisation_pct":                 {`rates.utilisation_pct`, `10`, nil},
		"rates.coupon_price":                    {`rates.coupon_price`, `3`, nil},
		"rates.hours_per_week":                  {`rates.hours_per_week`, `20`, nil},
		"rates.water_per_m3":                    {`rates.water_per_m3`, `50`, nil},
		"rates.water_l_per_min":                 {`rates.water_l_per_min`, `12`, []string{`rates.water_per_m3=50`}},
		"allowances.personal_pct":               {`allowances.personal_pct`, `9`, nil},
		"allowances.fatigue_pct":                {`allowances.fatigue_pct`, `9`, nil},
		"allowances.posture_pct":                {`allowances.posture_pct`, `9`, nil},
		"allowances.contingency_pct":            {`allowances.contingency_pct`, `9`, nil},
		"allowances.rework_pct":                 {`allowances.rework_pct`, `9`, nil},
		"allowances.trim_mm":                    {`allowances.trim_mm`, `30`, nil},
		"allowances.press_mm":                   {`allowances.press_mm`, `30`, nil},
		"allowances.learning":                   {`allowances.learning`, `0.8`, nil},
		"elements.load_panel_s":                 {`elements.load_panel_s`, `60`, nil},
		"elements.load_per_kg_s":                {`elements.load_per_kg_s`, `6`, nil},
		"elements.dowel_s":                      {`elements.dowel_s`, `60`, nil},
		"elements.clamp_s":                      {`elements.clamp_s`, `60`, nil},
		"elements.release_s":                    {`elements.release_s`, `60`, nil},
		"elements.gauge_s":                      {`elements.gauge_s`, `60`, nil},
		"elements.squeeze_s":                    {`elements.squeeze_s`, `1`, nil},
		"elements.position_s":                   {`elements.position_s`, `20`, nil},
		"elements.open_s":                       {`elements.open_s`, `3`, nil},
		"elements.move_mm_per_s":                {`elements.move_mm_per_s`, `40`, nil},
		"elements.take_gun_s":                   {`elements.take_gun_s`, `400`, nil},
		"elements.tip_change_s":                 {`elements.tip_change_s`, `500`, []string{`panels[3].steel="t"`, `steels[0].thickness_mm=1.5`, `panels[3].mesh="near-wall-d.stl"`, `tips[0].shank_mm=40`, `tips[1].shank_mm=8`, `tips[0].length_mm=70`, `tips[1].length_mm=70`, `stations[1].guns=["g"]`}},
		"elements.setting_change_s":             {`elements.setting_change_s`, `200`, []string{`panels[3].steel="t"`}},
		"elements.dressing_s":                   {`elements.dressing_s`, `400`, nil},
		"elements.cap_change_s":                 {`elements.cap_change_s`, `900`, nil},
		"elements.roller_start_s":               {`elements.roller_start_s`, `600`, nil},
		"elements.wheel_change_s":               {`elements.wheel_change_s`, `9000`, nil},
		"elements.lift_out_s":                   {`elements.lift_out_s`, `30`, nil},
		"elements.inspect_s":                    {`elements.inspect_s`, `60`, nil},
		"elements.inspect_every":                {`elements.inspect_every`, `2`, nil},
		"elements.coupon_s":                     {`elements.coupon_s`, `30`, nil},
		"elements.coupons":                      {`elements.coupons`, `4`, nil},
		"elements.mark_s_per_m":                 {`elements.mark_s_per_m`, `90`, nil},
		"elements.start_run_s":                  {`elements.start_run_s`, `30`, nil},
		"elements.fit_s_per_m":                  {`elements.fit_s_per_m`, `30`, nil},
		"material[].grade":                      {`material[0].grade`, `"DC05"`, []string{`material=[{"grade": "DC04", "thickness_mm": 1, "price_per_kg": 1.1}]`}},
		"material[].thickness_mm":               {`material[0].thickness_mm`, `0.9`, []string{`material=[{"grade": "DC04", "thickness_mm": 1, "price_per_kg": 1.1}]`}},
		"material[].coating":                    {`material[0].coating`, `"ZE25/25"`, []string{`material=[{"grade": "DC04", "thickness_mm": 1, "price_per_kg": 1.1}]`}},
		"material[].price_per_kg":               {`material[0].price_per_kg`, `1.9`, []string{`material=[{"grade": "DC04", "thickness_mm": 1, "price_per_kg": 1.1}]`}},
		"spreads[].id":                          {`spreads[0].id`, `"fit_s_per_m"`, []string{`spreads=[{"id": "position_s", "pct": 60}]`}},
		"spreads[].pct":                         {`spreads[0].pct`, `20`, []string{`spreads=[{"id": "position_s", "pct": 60}]`}},
	}
}
