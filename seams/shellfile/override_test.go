package shellfile

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"seamwright/geometry/intake"
	"seamwright/internal/cache"
	"seamwright/seams/shell"
)

const overridable = base + `rates: {labour_per_hour: 40}
batch: 5
`

// File, environment, overrides: each stands above the one before, and is noted.
func TestOverrideOrder(t *testing.T) {
	path := put(t, "o.yaml", overridable)
	sh, notes := mustRead(t, path, nil)
	if sh.Batch != 5 || sh.Rates.Labour != 40 {
		t.Errorf("file alone: %d, %g", sh.Batch, sh.Rates.Labour)
	}
	if slices.ContainsFunc(notes, func(n string) bool { return strings.Contains(n, "batch") }) {
		t.Errorf("a note on batch without an override: %q", notes)
	}
	t.Setenv("SEAMWRIGHT_BATCH", "12")
	t.Setenv("SEAMWRIGHT_RATES_LABOUR_PER_HOUR", "48.5")
	t.Setenv("SEAMWRIGHT_NAME", "from outside")
	t.Setenv("SEAMWRIGHT_SUPPLY_FREQUENCY_HZ", "60")
	t.Setenv("SEAMWRIGHT_GAP_LIMIT_MM", "") // empty counts as unset
	sh, notes = mustRead(t, path, nil)
	if sh.Batch != 12 || sh.Rates.Labour != 48.5 || sh.Name != "from outside" || sh.Supply.Frequency != 60 || sh.GapLimit != 0 {
		t.Errorf("environment: %d, %g, %q, %g, %g", sh.Batch, sh.Rates.Labour, sh.Name, sh.Supply.Frequency, sh.GapLimit)
	}
	for _, want := range []string{"batch: 12 by the environment variable SEAMWRIGHT_BATCH",
		"rates.labour_per_hour: 48.5 by the environment variable SEAMWRIGHT_RATES_LABOUR_PER_HOUR"} {
		if !slices.Contains(notes, want) {
			t.Errorf("no note %q in %q", want, notes)
		}
	}
	sh, notes = mustRead(t, path, map[string]string{"batch": "3"})
	if sh.Batch != 3 || sh.Rates.Labour != 48.5 {
		t.Errorf("override: %d, %g", sh.Batch, sh.Rates.Labour)
	}
	if !slices.Contains(notes, "batch: 3 by an override") || slices.Contains(notes, "batch: 12 by the environment variable SEAMWRIGHT_BATCH") {
		t.Errorf("notes: %q", notes)
	}
}

// A variable reaches a table that the file leaves out, or leaves empty; a zero is a value.
func TestEnvironmentReachesLeftOutTables(t *testing.T) {
	t.Setenv("SEAMWRIGHT_ELEMENTS_GAUGE_S", "0")
	t.Setenv("SEAMWRIGHT_RATES_CURRENCY", "SEK")
	for _, tail := range []string{"", "rates:\nelements:\n", "rates: {}\nelements: {}\n"} {
		sh, _ := mustRead(t, put(t, "o.yaml", base+tail), nil)
		if sh.Elements.Gauge != 0 || sh.Rates.Currency != "SEK" || sh.Elements.Clamp == 0 {
			t.Errorf("%q: %g, %q, %g", tail, sh.Elements.Gauge, sh.Rates.Currency, sh.Elements.Clamp)
		}
	}
}

// Every key outside lists has a variable of its own, and the variable works.
func TestEveryVariable(t *testing.T) {
	path := put(t, "o.yaml", base)
	keys := shell.KeysByName()
	seen := map[string]string{}
	for _, key := range scalarKeys() {
		name := variable(key)
		if other, again := seen[name]; again {
			t.Errorf("%s stands for %s and %s", name, other, key)
		}
		seen[name] = key
		value := "text"
		switch k := keys[key]; {
		case key == "rates.currency":
			value = "SEK"
		case key == "rules.book":
			value = "o.yaml" // any file of the kind that is there
		case key == "survey.file":
			value = "line.csv"
		case len(k.Words) > 0:
			value = k.Words[len(k.Words)-1]
		case key == "supply.frequency_hz":
			value = "60"
		case k.Least != k.Greatest:
			value = "1"
			if k.Least > 1 {
				value = "77"
			}
		}
		t.Run(name, func(t *testing.T) {
			t.Setenv(name, value)
			sh, _ := mustRead(t, path, nil)
			if !strings.Contains(dump(sh), key+" = "+value+"\n") && !strings.Contains(dump(sh), key+` = "`+value+"\"\n") {
				t.Errorf("%s=%s does not reach %s", name, value, key)
			}
		})
	}
	if len(seen) < 40 {
		t.Errorf("only %d variables", len(seen))
	}
}

func TestOverridesReachLists(t *testing.T) {
	content := strings.Replace(base, "{id: first, makes: sub,", "{id: first, makes: sub, clamps: [{id: k.1, at_mm: [0, 0, 0]}],", 1)
	content = strings.Replace(content, "{id: r}", "{id: r}\n  - {id: r.1}\n  - {id: r.1.x}", 1)
	sh, notes := mustRead(t, put(t, "o.yaml", content), map[string]string{
		"stations.main.crew":                    "3",
		"stations.first.clamps.k.1.radius_mm":   "33",
		"stations.first.clamps.k.1.release":     "end",
		"panels.b.place.mirror_y":               "true",
		"joints.j.load.shear_n":                 "4e3",
		"steels.z.thickness_mm":                 "1.5",
		"rollers.r.1.price":                     "0",
		"rollers.r.1.x.price":                   "7",
		"guns.g.name":                           "= 12.5 \"kN\"",
		"stations.main.hold_points.H1.before":   "",
		"allowances.learning":                   "0.9",
		"joints.j.weld_line.place.mirror_y":     "false",
		"subassemblies.sub.name":                "front",
		"tips.t.dress_every":                    "90",
		"stations.main.prepare_min":             "0",
		"stations.main.hold_points.H1.text":     "look",
		"stations.main.hold_points.H1.value_mm": "12",
	})
	first, main := sh.Stations[0], sh.Stations[1]
	for what, ok := range map[string]bool{
		"crew":       main.Crew == 3 && first.Crew == 1,
		"clamp":      first.Clamps[0].Radius == 33 && first.Clamps[0].Release == "end",
		"mirror":     sh.Panels[1].Place.Mirror && !sh.Panels[0].Place.Mirror,
		"load":       sh.Joints[0].Load.Shear == 4000,
		"steel":      sh.Steels[1].Thickness == 1.5,
		"roller":     sh.Rollers[0].Price == 120 && sh.Rollers[1].Price == 0 && sh.Rollers[2].Price == 7,
		"text":       sh.Guns[0].Name == "= 12.5 \"kN\"",
		"hold point": len(main.HoldPoints[0].Before) == 0 && main.HoldPoints[0].Text == "look" && main.HoldPoints[0].Value == 12,
		"learning":   sh.Allowances.Learning == 0.9,
		"prepare":    main.Prepare == 0 && first.Prepare == 60,
	} {
		if !ok {
			t.Errorf("%s was not overridden as it should: %s", what, dump(sh))
		}
	}
	if n := len(slices.DeleteFunc(slices.Clone(notes), func(n string) bool { return !strings.HasSuffix(n, " by an override") })); n != 17 {
		t.Errorf("%d notes on 17 overrides: %q", n, notes)
	}
}

// A whole list takes the place of the one that was there, defaults of its entries included, and is given back by Value.
func TestOverridesSetLists(t *testing.T) {
	content := strings.Replace(base, "{id: first, makes: sub,", "{id: first, makes: sub, clamps: [{id: k, at_mm: [0, 0, 0], radius_mm: 40}],",
		1)
	sh, _ := mustRead(t, put(t, "o.yaml", content), map[string]string{
		"stations.first.clamps":  `[{"id": "k", "at_mm": [1, 2, 3.5]}, {"id": "l", "at_mm": [4, 5, 6], "radius_mm": 9}]`,
		"joints.j.welds":         "[{id: w1, along_mm: 30, do: leave-out}, {id: w2, along_mm: 60, do: move, to_mm: 66}]",
		"joints.j.keep_outs":     "[{at_mm: [10, 20, 30], radius_mm: 12}]",
		"panels.b.place.move_mm": "[7, 8, 9]",
	})
	clamps, welds := sh.Stations[0].Clamps, sh.Joints[0].Welds
	if len(clamps) != 2 || clamps[0].At != [3]float64{1, 2, 3.5} || clamps[0].Radius != 25 || clamps[1].Radius != 9 {
		t.Errorf("clamps %+v", clamps)
	}
	if len(welds) != 2 || welds[1] != (shell.HandWeld{ID: "w2", Along: 60, Do: "move", To: 66}) || welds[0].Do != "leave-out" {
		t.Errorf("welds %+v", welds)
	}
	if sh.Panels[1].Place.Move != [3]float64{7, 8, 9} || len(sh.Joints[0].KeepOuts) != 1 {
		t.Errorf("%+v, %+v", sh.Panels[1].Place, sh.Joints[0].KeepOuts)
	}
	got, err := Value(sh, "joints.j.welds")
	want := []any{map[string]any{"id": "w1", "along_mm": 30.0, "do": "leave-out"},
		map[string]any{"id": "w2", "along_mm": 60.0, "do": "move", "to_mm": 66.0}}
	if err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%v, %v", got, err)
	}
	if v, err := Value(sh, "joints.j.wolds"); err == nil {
		t.Errorf("%v of a key that is none", v)
	}
}

// Stand-ins can be overridden as well: they count as entries.
func TestOverridesReachStandIns(t *testing.T) {
	sh, _ := mustRead(t, put(t, "o.yaml", "name: x\nunit: mm\nsteels: [{id: s, grade: DC04, thickness_mm: 1}]\npanels: [{id: a, mesh: "+
		"a.stl}]\n"),
		map[string]string{"guns.gun-a.force_n": "1800", "stations.main-jig.crew": "2"})
	if sh.Guns[0].Force != 1800 || sh.Stations[0].Crew != 2 {
		t.Errorf("%+v %+v", sh.Guns[0], sh.Stations[0])
	}
}

func TestBadOverrides(t *testing.T) {
	path := put(t, "o.yaml", overridable)
	for _, c := range []struct{ key, value, want string }{
		{"bacth", "3", `override: bacth: unknown key "bacth"; the nearest known key is batch`},
		{"rates.labor_per_hour", "3",
			`override: rates.labor_per_hour: unknown key "labor_per_hour"; the nearest known key is rates.labour_per_hour`},
		{"rates", "3", `override: rates: "rates" is a table; name one of its keys`},
		{"", "3", `override: "" is a table; name one of its keys`},
		{"batch", "many", `override: batch: "many" is not a whole number; write a whole number`},
		{"batch", "2.5", `override: batch: "2.5" is not a whole number; write a whole number`},
		{"batch", "0", `override: batch: 0 is out of range; it may be 1 to 100000`},
		{"batch.x", "3", `override: batch.x: batch is a single value and has no key "x"; write batch`},
		{"gap_limit_mm", "NaN", `override: gap_limit_mm: NaN is not a finite number; write a number`},
		{"gap_limit_mm", "0,4", `override: gap_limit_mm: "0,4" is not a number; write a number`},
		{"panels.b.place.mirror_y", "1", `override: panels.b.place.mirror_y: "1" is neither true nor false; write true or false`},
		{"panels.d.surface", "mid", `override: panels.d.surface: panels has no id "d" followed by a key; the nearest id is a`},
		{"panels.a", "mid", `override: panels.a: "a" is a table; name one of its keys`},
		{"panels", "x", `override: panels: "x" is no list in YAML or JSON; write a list`},
		{"panels", "[", `override: panels: "[" is no list in YAML or JSON; write a list`},
		{"panels.a.surfase", "mid", `override: panels.a.surfase: unknown key "surfase"; the nearest known key is panels.a.surface`},
		{"panels.a.surface", "middle", `override: panels.a.surface: "middle" is not one of mid, skin, solid; the nearest is mid`},
		{"panels.a.id", "x", `override: panels.a.id: an id cannot be overridden; change it in the file`},
		{"panels.a.place.move_mm", "1", `override: panels.a.place.move_mm: "1" is no list in YAML or JSON; write a list`},
		{"panels.a.place.move_mm", "[1, 2]", `override: panels.a.place.move_mm: "[1, 2]" has 2 entries; write 3`},
		{"panels.a.place.move_mm", "[1, 2, .nan]", `override: panels.a.place.move_mm[2]: NaN is not a finite number; write a number`},
		{"panels.a.place.move_mm.x", "1",
			`override: panels.a.place.move_mm.x: panels[0].place.move_mm is a list of numbers and has no key "x"; write panels.a.place.move_mm`},
		{"joints.j.panels", "a",
			`override: joints.j.panels: "a" is no list in YAML or JSON; write a list`},
		{"joints.j.welds", "[{id: w, along: 3}]",
			`override: joints.j.welds: the list does not fit: '[0]' has invalid keys: along; write it as in the ` +
				`shell file`},
		{"joints.j.welds", "[{id: w, along_mm: 3, do: hop}]",
			`override: joints.j.welds[0].do: "hop" is not one of pin, move, add, leave-out; write one of ` +
				`them`},
		{"joints.j.keep_outs.x.why", "a",
			`override: joints.j.keep_outs.x.why: joints[0].keep_outs is a list without ids; write the whole list`},
		{"joints.j.station", "frist", `override: joints.j.station: there is no station "frist"; the nearest is first`},
		{"steels.s.grade", "DC99",
			`override: steels.s.grade: the grade "DC99" is not known and has no tensile_mpa; add tensile_mpa; the nearest known grade is DC01`},
		{"dir", "/", `override: dir: unknown key "dir"; the nearest known key is unit`},
	} {
		_, _, err := Read(path, map[string]string{c.key: c.value})
		if err == nil || err.Error() != c.want {
			t.Errorf("%s=%s:\n got %v\nwant %s", c.key, c.value, err, c.want)
		}
	}
}

func TestBadEnvironment(t *testing.T) {
	path := put(t, "o.yaml", overridable)
	for _, c := range []struct{ name, value, want string }{
		{"SEAMWRIGHT_BACTH", "3", "environment: SEAMWRIGHT_BACTH: no key of the shell file has this name; unset it, or write SEAMWRIGHT_BATCH"},
		{"SEAMWRIGHT_PANELS", "x", "environment: SEAMWRIGHT_PANELS: no key of the shell file has this name; unset it, or write SEAMWRIGHT_NAME"},
		{"SEAMWRIGHT_BATCH", "a dozen", `environment: SEAMWRIGHT_BATCH: "a dozen" is not a whole number; set it anew or unset it`},
		{"SEAMWRIGHT_BATCH", "-1", "environment: SEAMWRIGHT_BATCH: -1 is out of range; it may be 1 to 100000"},
		{"SEAMWRIGHT_UNIT", "furlong", `environment: SEAMWRIGHT_UNIT: "furlong" is not one of mm, cm, m, inch, foot; write one of them`},
	} {
		t.Run(c.name+c.value, func(t *testing.T) {
			t.Setenv(c.name, c.value)
			_, _, err := Read(path, nil)
			if err == nil || err.Error() != c.want {
				t.Errorf("\n got %v\nwant %s", err, c.want)
			}
		})
	}
}

// The digest follows every byte of every file, and nothing else.
func TestDigest(t *testing.T) {
	path := put(t, "o.yaml", base)
	digest := func(path string) string {
		t.Helper()
		sh, _ := mustRead(t, path, nil)
		d, _, err := shell.Digests(sh, nil)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	first := digest(path)
	if len(first) != 64 {
		t.Errorf("%q is no SHA-256", first)
	}
	if again := digest(put(t, "o.yaml", base)); again != first {
		t.Error("another folder with the same files gives another digest")
	}
	write := func(file, content string) {
		t.Helper()
		if err := os.WriteFile(filepath.Join(filepath.Dir(path), file), []byte(content), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write("notes.txt", "a file that the shell file does not name")
	if digest(path) != first {
		t.Error("a file that is not named changes the digest")
	}
	write("b.stl", "y")
	second := digest(path)
	write("b.stl", "x")
	write("o.yaml", base+"# remark\n")
	if third := digest(path); second == first || third == first || third == second {
		t.Error("a changed file does not change the digest")
	}
	sh, _ := mustRead(t, path, nil)
	if err := os.Remove(filepath.Join(filepath.Dir(path), "c.stl")); err != nil {
		t.Fatal(err)
	}
	if _, _, err := shell.Digests(sh, nil); err == nil || !strings.Contains(err.Error(), "c.stl cannot be read") {
		t.Errorf("a file gone: %v", err)
	}
}

// The digest is of the bytes that were planned with, and a file that turns into another one meanwhile is noticed.
func TestDigestIsOfWhatWasRead(t *testing.T) {
	path := put(t, "o.yaml", base)
	panel := filepath.Join(filepath.Dir(path), "b.stl")
	sumOf := func(file string) intake.Sum {
		t.Helper()
		_, sum, err := intake.ReadFile(file, 1<<20)
		if err != nil {
			t.Fatal(err)
		}
		return sum
	}
	write := func(file, text string) {
		t.Helper()
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	sh, _ := mustRead(t, path, nil)
	want, _, err := shell.Digests(sh, nil)
	if err != nil {
		t.Fatal(err)
	}
	sh, _ = mustRead(t, path, nil)
	if err := sh.Took("b.stl", sumOf(panel)); err != nil {
		t.Fatal(err)
	}
	write(panel, "another panel")
	write(path, base+"# another shell file\n")
	if got, _, err := shell.Digests(sh, nil); err != nil || got != want {
		t.Errorf("%s, want %s: %v", got, want, err)
	}
	if err := sh.Took("b.stl", sumOf(panel)); err == nil || !strings.Contains(err.Error(), "b.stl: changed since it was first read") {
		t.Errorf("%v", err)
	}
	if other, _, err := shell.Digests(again(t, path), nil); err != nil || other == want {
		t.Errorf("%v", err)
	}
}

func again(t *testing.T, path string) *shell.Shell {
	t.Helper()
	sh, _ := mustRead(t, path, nil)
	return sh
}

// What was hashed once is known by size and time of change, and only by both.
func TestDigestKnowsFiles(t *testing.T) {
	path, c := put(t, "o.yaml", base), cache.New()
	panel := filepath.Join(filepath.Dir(path), "b.stl")
	hourAgo := time.Now().Add(-time.Hour)
	digest := func(content string, changed time.Time) string {
		t.Helper()
		if err := errors.Join(os.WriteFile(panel, []byte(content), 0o600), os.Chtimes(panel, changed, changed)); err != nil {
			t.Fatal(err)
		}
		sh, _ := mustRead(t, path, nil)
		d, _, err := shell.Digests(sh, c)
		if err != nil {
			t.Fatal(err)
		}
		return d
	}
	first := digest("one", hourAgo)
	if digest("two", hourAgo) != first {
		t.Error("a file of the same size and time was read again")
	}
	for name, other := range map[string]string{
		"a minute later": digest("two", hourAgo.Add(time.Minute)), "of another size": digest("four", hourAgo),
		"just now": digest("two", time.Now()),
	} {
		if other == first {
			t.Errorf("changed %s, and taken for the same", name)
		}
	}
}

// Panels' files that were read to be hashed are at hand once, until they are let go.
func TestHeld(t *testing.T) {
	path := put(t, "o.yaml", base)
	sh, _ := mustRead(t, path, nil)
	if _, _, err := shell.Digests(sh, cache.New()); err != nil {
		t.Fatal(err)
	}
	want, sum, err := intake.ReadFile(filepath.Join(filepath.Dir(path), "b.stl"), 1<<20)
	if err != nil {
		t.Fatal(err)
	}
	if data, of, ok := sh.Held("b.stl"); !ok || string(data) != string(want) || of != sum {
		t.Errorf("%q, %v, %v", data, of, ok)
	}
	if _, _, ok := sh.Held("b.stl"); ok {
		t.Error("held twice")
	}
	sh.LetGo()
	if _, _, ok := sh.Held("c.stl"); ok {
		t.Error("held after it was let go")
	}
	bare, _ := mustRead(t, path, nil)
	if _, _, err := shell.Digests(bare, nil); err != nil {
		t.Fatal(err)
	}
	if _, _, ok := bare.Held("b.stl"); ok {
		t.Error("held though nothing is kept")
	}
}
