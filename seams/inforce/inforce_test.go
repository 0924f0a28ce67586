package inforce_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/internal/record"

	"seamwright/seams/inforce"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
	"seamwright/seams/strength"
)

func small() *shell.Shell {
	sh := shellfile.Default()
	sh.Steels = []shell.Steel{{ID: "a", Thickness: 0.9, Tensile: 270, Yield: 140}, {ID: "b", Thickness: 1.2, Tensile: 300, Yield: 180,
		Coating: "Z100"}}
	sh.Panels = []shell.Panel{{ID: "roof", Steel: "a"}, {ID: "rail", Steel: "b"}, {ID: "lost", Steel: "z"}}
	return sh
}

func rules(t *testing.T, sh *shell.Shell) *inforce.Rules {
	t.Helper()
	in, err := inforce.For(sh)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

func Example() {
	sh := shellfile.Default()
	sh.Rules.Use = []shell.Use{{Rule: "pitch.least", Source: "ten-t"}}
	in, _ := inforce.For(sh)
	l := in.Limits(rule.Stack{{Thickness: 1.6}, {Thickness: 2}}, nil)
	fmt.Println(l.LeastPitch.Value, l.LeastPitch.From, l.LeastPitch.Source)
	// Output: 16 shell common practice, no source: minimum 10 t, never under 13 mm, as in a design guide whose title was not kept
}

// Default, works, shell's choice, shell's figure, joint's figure: each stands above the one before.
func TestOrderOfRules(t *testing.T) {
	sh := small()
	sh.Dir = t.TempDir()
	stack := rule.Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 1.2, Tensile: 300}}
	wanted := func(j *shell.Joint) rule.Limit { return rules(t, sh).Limits(stack, j).GreatestPitch }
	if l := wanted(nil); l.From != rule.FromDefault || l.Rule != "pitch.greatest" { // 8 d_s = 37.9 mm is below the wanted 40
		t.Errorf("default: %+v", l)
	}
	text := "rules:\n  - {id: pitch.wanted, value: 33}\n  - {id: gap.greatest, value: 0.2}\n"
	if err := os.WriteFile(filepath.Join(sh.Dir, "works.yaml"), []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	sh.Rules.Book = "works.yaml"
	if l := wanted(nil); l.Value != 33 || l.From != rule.FromWorks {
		t.Errorf("works: %+v", l)
	}
	if l := rules(t, sh).Limits(stack, nil).GreatestGap; l.Value != 0.2 || l.From != rule.FromWorks {
		t.Errorf("works' gap: %+v", l)
	}
	sh.Rules.Use = []shell.Use{{Rule: "pitch.wanted", Source: "twenty-t"}}
	if l := wanted(nil); l.Value != 18 || l.From != rule.FromShell || l.By != "twenty-t" {
		t.Errorf("chosen: %+v", l)
	}
	sh.Rules.GreatestPitch = 28
	if l := wanted(nil); l.Value != 28 || l.Certainty != rule.Stated {
		t.Errorf("stated: %+v", l)
	}
	j := &shell.Joint{Pitch: 45, Tack: 90}
	if l := wanted(j); l.Value != 45 {
		t.Errorf("joint: %+v", l)
	}
	if l := rules(t, sh).Limits(stack, j).TackEvery; l.Value != 90 {
		t.Errorf("joint's tacks: %+v", l)
	}
}

func TestPitchBelowTheLeast(t *testing.T) {
	in, stack := rules(t, small()), rule.Stack{{Thickness: 0.9}, {Thickness: 1.2}}
	j := &shell.Joint{Pitch: 6}
	l := in.Limits(stack, j)
	if l.GreatestPitch.Value != l.LeastPitch.Value || !strings.Contains(l.GreatestPitch.Note, "stated 6 mm") {
		t.Errorf("%+v", l.GreatestPitch)
	}
	if found := rule.CheckLimits(rule.For(stack, in.Options(j))); len(found) != 1 || found[0].Rule != "pitch.least" {
		t.Errorf("%v", found)
	}
}

func TestStack(t *testing.T) {
	in := rules(t, small())
	s, err := in.Stack([]string{"rail", "roof"})
	if err != nil || s.String() != "1.2 Z100 + 0.9" || s[0].Tensile != 300 || s[1].Yield != 140 {
		t.Errorf("%v, %v", s, err)
	}
	for _, id := range []string{"nobody", "lost"} {
		if _, err := in.Stack([]string{id}); err == nil {
			t.Errorf("%s passed", id)
		}
	}
}

var pairStack = rule.Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 1.2, Tensile: 300}}

// A load without a stated direction may cross the row; forces at places may as well.
func TestLoadsThatMayCross(t *testing.T) {
	for _, c := range []struct {
		joint shell.Joint
		want  bool
	}{
		{shell.Joint{}, false}, {shell.Joint{Load: shell.Load{Tension: 5}}, false}, {shell.Joint{Load: shell.Load{Shear: 5}}, true},
		{shell.Joint{Load: shell.Load{Flow: 5}}, true}, {shell.Joint{Load: shell.Load{Flow: 5, Direction: shell.Across}}, true},
		{shell.Joint{Load: shell.Load{Shear: 5, Direction: shell.Along}}, false}, {shell.Joint{Forces: []shell.Force{{}}}, true},
	} {
		if got := inforce.MayCross(&c.joint); got != c.want || rules(t, small()).Options(&c.joint).Across != c.want {
			t.Errorf("%+v: %v", c.joint, got)
		}
	}
}

func TestMethods(t *testing.T) {
	sh := small()
	in := rules(t, sh)
	if o := in.Spot(nil); o.Table != "optimum" || o.Frequency != 50 || o.Supply != setting.AC {
		t.Errorf("%+v", o)
	}
	if o := in.Spot(&shell.Joint{Settings: "class-b"}); o.Table != "class-b" || o.Frequency != 50 {
		t.Errorf("a joint's own table: %+v", o)
	}
	own, rest := in.Strength(pairStack, &shell.Joint{Settings: "class-c"}), in.Strength(pairStack, &shell.Joint{})
	if own.Nugget == rest.Nugget {
		t.Errorf("a joint's own table does not tell its nugget: %+v", own)
	}
	if o := in.Strength(pairStack, nil); o.Method != strength.ByEurocode || o.TensionFactor != 1.25 || !(o.Nugget > 4 && o.Nugget < 4.7) {
		t.Errorf("%+v", o)
	}
	sh.Supply.Kind, sh.Rules.Strength, sh.Rules.TensionFactor = "mfdc", "aws", 1.5
	if rules(t, sh).Spot(nil).Supply != setting.DC || rules(t, sh).Strength(pairStack, nil).Method != strength.ByAWS ||
		rules(t, sh).Strength(pairStack, nil).TensionFactor != 1.5 {
		t.Error("the shell's methods do not arrive")
	}
	sh.Rules.Strength = "aisi"
	if rules(t, sh).Strength(pairStack, nil).Method != strength.ByAISI {
		t.Error("aisi does not arrive")
	}
	r := rules(t, sh).Roller(&shell.Roller{Speed: 1.8, Wheel: 5})
	if r.Speed != 30 || r.Wheel != 5 || r.Book == nil {
		t.Errorf("%+v", r)
	}
}

// Every word that the shell file may hold is one that the room behind it knows.
func TestWordsMeet(t *testing.T) {
	stack := rule.Stack{{Thickness: 0.9, Tensile: 270}, {Thickness: 1.2, Tensile: 300}}
	for _, k := range shell.Keys() {
		for _, word := range k.Words {
			sh, joint := small(), &shell.Joint{}
			switch k.Name {
			case "rules.setting_table":
				sh.Rules.Settings = word
			case "joints[].setting_table":
				joint.Settings = word
			case "rules.strength":
				sh.Rules.Strength = word
			case "supply.kind":
				sh.Supply.Kind = word
			default:
				continue
			}
			in := rules(t, sh)
			if _, err := setting.Spot(stack, in.Spot(joint)); err != nil {
				t.Errorf("%s %s: %v", k.Name, word, err)
			}
			if _, err := strength.Single(stack, in.Strength(stack, joint)); err != nil {
				t.Errorf("%s %s: %v", k.Name, word, err)
			}
			if k.Name == "supply.kind" && (word == "mfdc") != (in.Spot(nil).Supply == setting.DC) {
				t.Errorf("%s %s does not reach the setting", k.Name, word)
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	said := record.Errors(t)
	for _, c := range []struct {
		change func(*shell.Shell)
		want   string
	}{
		{func(sh *shell.Shell) { sh.Rules.Book = "gone.yaml" }, "rule book"},
		{func(sh *shell.Shell) { sh.Rules.Use = []shell.Use{{Rule: "pitch.leest", Source: "x"}} },
			"rules.use[0]: no rule \"pitch.leest\"; the nearest is pitch.least"},
		{func(sh *shell.Shell) { sh.Rules.Use = []shell.Use{{Rule: "pitch.least", Source: "x"}} }, "choose from optimum"},
		{func(sh *shell.Shell) {
			sh.Rules.Use = []shell.Use{{Rule: "pitch.least", Source: "ten-t"}, {Rule: "pitch.least", Source: "repair"}}
		}, "rules.use[1]: rule pitch.least stands twice"},
	} {
		sh := small()
		sh.Dir = t.TempDir()
		c.change(sh)
		if _, err := inforce.For(sh); err == nil || !said.Has(err, c.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}
