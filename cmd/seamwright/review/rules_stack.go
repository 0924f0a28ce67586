package review

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/cmd/seamwright/program"
	"seamwright/layout"
	"seamwright/layout/setup"
	"seamwright/seams/inforce"
	"seamwright/seams/roller"
	"seamwright/seams/rule"
	"seamwright/seams/schedule"
	"seamwright/seams/setting"
	"seamwright/seams/shell"
	"seamwright/seams/strength"
)

// stackResult is what is known of one stack-up: settings by every table, strength by every method.
type stackResult struct {
	Stack     string           `json:"stack" about:"sheets, outside to outside"`
	Findings  []layout.Finding `json:"findings" about:"of the stack, its setting and its strength, by the rules in force"`
	Spot      []settingResult  `json:"spot" about:"by table"`
	Roller    []settingResult  `json:"roller" about:"empty where the table is not for this stack"`
	Strength  []strengthResult `json:"strength" about:"of one weld, by method"`
	Unchecked []string         `json:"unchecked" about:"what is not judged without a plan, or is not stated"`
}

type settingResult struct {
	Table     string   `json:"table" about:"id of the table"`
	InForce   bool     `json:"in_force" about:"whether the plan goes by it"`
	Force     float64  `json:"force_n" about:"electrode force" unit:"N"`
	Current   float64  `json:"current_a" about:"welding current" unit:"A"`
	Squeeze   float64  `json:"squeeze_s" about:"squeeze time" unit:"s"`
	Weld      float64  `json:"weld_s" about:"on time of a roller"`
	Hold      float64  `json:"hold_s" about:"off time of a roller"`
	Cycles    [3]int   `json:"cycles" about:"of the mains: squeeze, weld or on, hold or off; zeros for direct current"`
	Frequency float64  `json:"frequency_hz" about:"of the mains" unit:"Hz"`
	Supply    string   `json:"supply" about:"kind of welding current"`
	Face      float64  `json:"face_mm" about:"wheel width of a roller"`
	Nugget    float64  `json:"nugget_mm" about:"diameter expected; 0: the table has none" unit:"mm"`
	Shear     float64  `json:"shear_n" about:"strength of one weld by the table; 0: it has none" unit:"N"`
	Speed     float64  `json:"speed_mm_per_s" about:"rolling speed" unit:"mm/s"`
	Pitch     float64  `json:"pitch_mm" about:"between a roller's nuggets" unit:"mm"`
	PerMetre  float64  `json:"s_per_m" about:"rolling time of a metre" unit:"s/m"`
	Source    string   `json:"source" about:"where it comes from"`
	Certainty string   `json:"certainty" about:"how sure the source is"`
	Notes     []string `json:"notes" about:"what to know about it"`
	Caution   string   `json:"caution" about:"what to beware of"`
	Failure   string   `json:"failure" about:"why there is none"`
}

type strengthResult struct {
	Method           string  `json:"method" about:"id of the method"`
	InForce          bool    `json:"in_force" about:"whether the plan goes by it"`
	Shear            float64 `json:"shear_n" about:"design resistance in shear" unit:"N"`
	Mode             string  `json:"mode" about:"what gives way first in shear"`
	Source           string  `json:"source" about:"source of the shear figure"`
	Certainty        string  `json:"certainty" about:"how sure that source is"`
	Tension          float64 `json:"tension_n" about:"design resistance in tension" unit:"N"`
	TensionSource    string  `json:"tension_source" about:"source of the tension figure"`
	TensionCertainty string  `json:"tension_certainty" about:"how sure that source is"`
	Failure          string  `json:"failure" about:"why there is no figure"`

	ShearBasis   string   `json:"shear_basis" about:"what kind of figure it is: figures of two kinds are not to be added unmarked"`
	TensionBasis string   `json:"tension_basis" about:"the same of the tension figure"`
	Problems     []string `json:"problems" about:"where the rule is used outside its range, in words"`
}

// stackOf gathers settings and strength of a stack-up.
func stackOf(s rule.Stack, asked setup.Asked, joint *shell.Joint, in *inforce.Rules, sh *shell.Shell) stackResult {
	out := stackResult{Stack: s.String(), Findings: asked.Findings, Spot: []settingResult{}, Roller: []settingResult{},
		Strength: []strengthResult{}, Unchecked: asked.Unchecked}
	opt := in.Spot(joint)
	for _, table := range schedule.Names(schedule.Spot) {
		o := opt
		o.Table = table
		out.Spot = append(out.Spot, spotSetting(s, o, table == opt.Table || opt.Table == "" && table == "optimum"))
	}
	for i := range sh.Rollers {
		if set, err := roller.Set(s, in.Roller(&sh.Rollers[i])); err == nil {
			out.Roller = append(out.Roller, rollerSetting(set, sh.Rollers[i].ID))
		}
	}
	used := in.Strength(s, joint)
	for _, m := range []strength.Method{strength.ByEurocode, strength.ByAISI, strength.ByAWS} {
		o := used
		o.Method = m
		out.Strength = append(out.Strength, oneStrength(s, o, m == used.Method))
	}
	return out
}

func spotSetting(s rule.Stack, o setting.Options, inForce bool) settingResult {
	out := settingResult{Table: o.Table, InForce: inForce, Supply: "ac", Notes: []string{}}
	set, err := setting.Spot(s, o)
	if err != nil {
		out.Failure = err.Error()
		return out
	}
	if set.Supply == setting.DC {
		out.Supply = string(setting.DC)
	}
	out.Force, out.Current, out.Squeeze, out.Weld, out.Hold = program.Rounded(set.Force, 10), program.Rounded(set.Current, 10),
		program.Rounded(set.Squeeze, 1e4),
		program.Rounded(set.Weld, 1e4), program.Rounded(set.Hold, 1e4)
	out.Cycles, out.Frequency = [3]int{set.SqueezeCycles, set.WeldCycles, set.HoldCycles}, set.Frequency
	out.Face, out.Nugget, out.Shear = program.Rounded(set.Face, 1e3), program.Rounded(set.Nugget, 1e3), program.Rounded(set.Shear, 10)
	out.Source, out.Certainty, out.Caution = set.Source, string(set.Certainty), set.Caution
	out.Notes = append(out.Notes, set.Notes...)
	for _, p := range set.Problems {
		out.Notes = append(out.Notes, p.String())
	}
	return out
}

func rollerSetting(set roller.Setting, id string) settingResult {
	return settingResult{
		Table: "seam, roller " + id, InForce: true, Force: program.Rounded(set.Force, 10), Current: program.Rounded(set.Current, 10),
		Weld:   program.Rounded(set.On, 1e4),
		Hold:   program.Rounded(set.Off, 1e4),
		Cycles: [3]int{0, set.OnCycles, set.OffCycles}, Frequency: set.Frequency, Supply: "ac", Face: program.Rounded(set.Wheel, 1e3),
		Speed: program.Rounded(set.Speed, 1e3), Pitch: program.Rounded(set.Pitch, 1e3), PerMetre: program.Rounded(set.TimePerMetre(), 1e2),
		Source: set.Source, Certainty: string(set.Certainty), Notes: append([]string{}, set.Notes...), Caution: set.Caution,
	}
}

func oneStrength(s rule.Stack, o strength.Options, inForce bool) strengthResult {
	out := strengthResult{Method: string(o.Method), InForce: inForce, Problems: []string{}}
	if o.Method == strength.ByEurocode {
		out.Method = "en-1993"
	}
	w, err := strength.Single(s, o)
	if err != nil {
		out.Failure = err.Error()
		return out
	}
	out.Shear, out.Mode, out.Source, out.Certainty = program.Rounded(w.Shear, 10), string(w.Mode), w.ShearSource, string(w.ShearCertainty)
	out.Tension, out.TensionSource, out.TensionCertainty = program.Rounded(w.Tension, 10), w.TensionSource, string(w.TensionCertainty)
	out.ShearBasis, out.TensionBasis = string(w.ShearBasis), string(w.TensionBasis)
	for _, p := range w.Problems {
		if words := p.String(); !slices.Contains(out.Problems, words) {
			out.Problems = append(out.Problems, words)
		}
	}
	return out
}

func stackText(p *program.Call, s stackResult) {
	mark := func(inForce bool) string { return map[bool]string{true: "*", false: " "}[inForce] }
	fmt.Fprintf(p.Out, "stack %s\n", s.Stack)
	for _, f := range s.Findings {
		fmt.Fprintf(p.Out, "    %s\n", program.FindingLine(f))
	}
	fmt.Fprintf(p.Out, "  %-18s %9s %9s %8s %8s %8s %12s %8s %9s %9s\n", "starting setting", "force N", "current A", "squeeze", "weld s",
		"hold s", "cycles", "face mm", "nugget mm", "shear N")
	for _, x := range s.Spot {
		if x.Failure != "" {
			fmt.Fprintf(p.Out, "  %s %-16s none: %s\n", mark(x.InForce), x.Table, x.Failure)
			continue
		}
		fmt.Fprintf(p.Out, "  %s %-16s %9.0f %9.0f %8.3f %8.3f %8.3f %12s %8.2f %9.2f %9.0f  (%s)\n", mark(x.InForce), x.Table, x.Force,
			x.Current, x.Squeeze, x.Weld, x.Hold,
			strings.Trim(fmt.Sprint(x.Cycles), "[]"), x.Face, x.Nugget, x.Shear, x.Certainty)
	}
	for _, x := range s.Roller {
		fmt.Fprintf(p.Out, "  * %s: %.0f N, %.0f A, on %.3f s, off %.3f s, %.1f mm/s, nuggets %.2f mm apart, wheel %.1f mm, %.1f s a metre "+
			"(%s)\n", x.Table, x.Force, x.Current, x.Weld, x.Hold,
			x.Speed, x.Pitch, x.Face, x.PerMetre, x.Certainty)
	}
	for _, x := range s.Strength {
		if x.Failure != "" {
			fmt.Fprintf(p.Out, "  %s strength by %s: none: %s\n", mark(x.InForce), x.Method, x.Failure)
			continue
		}
		fmt.Fprintf(p.Out, "  %s strength by %s: shear %.0f N, a %s (%s, %s), tension %.0f N, a %s (%s, %s)\n", mark(x.InForce), x.Method,
			x.Shear,
			x.ShearBasis, x.Source, x.Certainty, x.Tension, x.TensionBasis, x.TensionSource, x.TensionCertainty)
		for _, problem := range x.Problems {
			fmt.Fprintf(p.Out, "    %s\n", problem)
		}
	}
	for _, x := range s.Spot {
		if x.InForce && x.Failure == "" {
			fmt.Fprintf(p.Out, "    %s\n", strings.Join(append([]string{x.Caution}, x.Notes...), "\n    "))
		}
	}
	fmt.Fprintln(p.Out, "  not judged:")
	for _, u := range s.Unchecked {
		fmt.Fprintf(p.Out, "    %s\n", u)
	}
	fmt.Fprintln(p.Out)
}
