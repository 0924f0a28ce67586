package review

import (
	"context"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/layout"
	"seamwright/layout/setup"
	"seamwright/layout/strips"
	"seamwright/seams/inforce"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
	"seamwright/seams/spelling"
)

// rulesCall is one call of rules.
type rulesCall struct {
	shell, joint, stack string
	tensile             float64
	json, template      bool
}

// Rules makes the command rules.
func Rules(p *program.Call) *cobra.Command {
	var call rulesCall
	c := &cobra.Command{
		Use:   "rules [SHELL]",
		Short: "Print the rule book as it applies, with the source of every value",
		Long: `rules prints the rule book: the default one, with a shell file's own book and figures over it where one is
named. With --joint or --stack it works every value out, shows what the other sources would say, gives starting settings by
every table and the strength of one weld by every method, and judges the stack, its setting and its strength by the rules in
force. Exit code 3: one of these is broken.`,
		Args: program.Count(0, 1, "at most one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if call.template {
				_, err := p.Out.Write(rule.Template())
				return err
			}
			if len(args) == 1 {
				call.shell = args[0]
			}
			if call.joint != "" && call.shell == "" {
				return program.Wrong("--joint %s: name the shell file that the joint is in", call.joint)
			}
			if call.joint != "" && call.stack != "" {
				return program.Wrong("--joint and --stack: give one of the two")
			}
			book, err := rulesOf(c.Context(), p, call)
			if err != nil {
				return err
			}
			if call.json {
				err = p.PrintJSON(book)
			} else {
				rulesText(p, book)
			}
			if err != nil {
				return err
			}
			return program.VerdictOf(book.findings(), "see above")
		},
	}
	c.Flags().StringVar(&call.joint, "joint", "", "work the values out for this joint's stack-ups")
	c.Flags().StringVar(&call.stack, "stack", "", "work the values out for sheets, outside to outside: \"0.9, 1.2 Z100\"")
	c.Flags().Float64Var(&call.tensile, "tensile", 270, "tensile strength of the sheets of --stack, MPa; 270 is the least of DC01 to DC06 "+
		"(EN 10130)")
	c.Flags().BoolVar(&call.template, "template", false, "write a works' rule book that changes nothing yet, "+
		"every rule with what may be changed")
	program.JSONFlags[rulesResult](p, c, &call.json, "print JSON")
	p.Overrides(c)
	return c
}

// rulesResult is what rules --json prints.
type rulesResult struct {
	Shell  string        `json:"shell" about:"shell file; empty: none given"`
	Joint  string        `json:"joint" about:"id of the joint; empty: none given"`
	Rules  []ruleResult  `json:"rules" about:"the rule book in force"`
	Stacks []stackResult `json:"stacks" about:"settings and strength by stack-up; empty without --joint or --stack"`
}

// findings are those of all stacks.
func (r rulesResult) findings() []layout.Finding {
	var out []layout.Finding
	for _, s := range r.Stacks {
		out = append(out, s.Findings...)
	}
	return out
}

type ruleResult struct {
	ID       string         `json:"id" about:"id"`
	Title    string         `json:"title" about:"title"`
	Unit     string         `json:"unit" about:"unit"`
	Sentence string         `json:"sentence" about:"the rule in words"`
	Severity string         `json:"severity" about:"of breaking it; empty: the rule only aims"`
	Remedy   string         `json:"remedy" about:"what to do when it is broken"`
	From     string         `json:"from" about:"default, works or shell"`
	Use      string         `json:"use" about:"source in force; empty where the shell file states the value"`
	Stated   float64        `json:"stated" about:"value that the shell file states, in the rule's unit; 0: none"`
	Sources  []sourceResult `json:"sources" about:"the sources that give it a value"`
	Values   []valueResult  `json:"values" about:"by stack-up"`
}

type sourceResult struct {
	ID        string `json:"id" about:"id"`
	Formula   string `json:"formula" about:"what it asks, as a formula"`
	Source    string `json:"source" about:"where it comes from"`
	Certainty string `json:"certainty" about:"how sure the source is"`
}

type valueResult struct {
	Stack     string        `json:"stack" about:"sheets, outside to outside"`
	Value     float64       `json:"value" about:"in the rule's unit"`
	From      string        `json:"from" about:"default, works or shell"`
	By        string        `json:"by" about:"id of the source"`
	Source    string        `json:"source" about:"where it comes from"`
	Certainty string        `json:"certainty" about:"how sure the source is"`
	Note      string        `json:"note" about:"what to know about it"`
	Others    []otherResult `json:"others" about:"what the other sources ask"`
	Spread    float64       `json:"spread" about:"greatest of all sources over the least; 0 where one gives 0"`
	Cases     []setup.Case  `json:"cases" about:"what it asks by more than the stack; check holds the plan to these"`
}

type otherResult struct {
	By        string  `json:"by" about:"id of the source"`
	Value     float64 `json:"value" about:"in the rule's unit"`
	Source    string  `json:"source" about:"where it comes from"`
	Certainty string  `json:"certainty" about:"how sure the source is"`
}

// rulesOf gathers the book, and its values where stacks are asked for.
func rulesOf(ctx context.Context, p *program.Call, call rulesCall) (rulesResult, error) {
	sh := shellfile.Default()
	sh.GapLimit = 0
	if call.shell != "" {
		changed, err := p.Changed(call.shell)
		if err != nil {
			return rulesResult{}, err
		}
		overrides, err := p.OverrideMap(changed)
		if err != nil {
			return rulesResult{}, err
		}
		if sh, _, err = p.ReadShell(call.shell, overrides); err != nil {
			return rulesResult{}, program.BadInput(err)
		}
	}
	in, err := inforce.For(sh)
	if err != nil {
		return rulesResult{}, program.BadInput(err)
	}
	stacks, joint, err := stacksAsked(ctx, p, call, sh, in)
	if err != nil {
		return rulesResult{}, err
	}
	out := rulesResult{Shell: sh.Name, Joint: call.joint, Stacks: []stackResult{}}
	stated := in.Options(joint).Stated()
	for _, r := range in.Book {
		out.Rules = append(out.Rules, bookRule(r, stated[r.ID]))
	}
	for _, s := range stacks {
		asked, err := setup.OfStack(s, joint, sh, in)
		if err != nil {
			return rulesResult{}, program.BadInput(err)
		}
		lines, err := rule.Explain(s, in.Options(joint))
		if err != nil {
			return rulesResult{}, program.BadInput(err)
		}
		for i, l := range lines {
			if !l.Rule.Limited() {
				continue
			}
			out.Rules[i].Values = append(out.Rules[i].Values, valueOf(s, l, asked.Cases))
		}
		out.Stacks = append(out.Stacks, stackOf(s, asked, joint, in, sh))
	}
	return out, nil
}

func bookRule(r rule.Rule, stated float64) ruleResult {
	out := ruleResult{ID: r.ID, Title: r.Title, Unit: r.Unit, Sentence: r.Sentence, Severity: string(r.Severity), Remedy: r.Remedy,
		From: string(r.From), Use: r.Use, Stated: stated, Values: []valueResult{}}
	if stated > 0 {
		out.From, out.Use = string(rule.FromShell), ""
	}
	for _, s := range r.Sources {
		out.Sources = append(out.Sources, sourceResult{s.ID, s.Formula(r.Unit), s.Source, string(s.Certainty)})
	}
	return out
}

func valueOf(s rule.Stack, l rule.Line, cases []setup.Case) valueResult {
	f := l.InForce
	out := valueResult{Stack: s.String(), Value: program.Rounded(f.Value, 1e4), From: string(f.From), By: f.By, Source: f.Source,
		Certainty: string(f.Certainty),
		Note:      f.Note, Others: []otherResult{}, Spread: program.Rounded(l.Spread, 1e4), Cases: []setup.Case{}}
	for _, c := range cases {
		if c.Rule == l.Rule.ID {
			c.Value = program.Rounded(c.Value, 1e4)
			out.Cases = append(out.Cases, c)
		}
	}
	for _, o := range l.Others {
		out.Others = append(out.Others, otherResult{o.By, program.Rounded(o.Value, 1e4), o.Source, string(o.Certainty)})
	}
	return out
}

// stacksAsked are the stack-ups to work values out for, and the joint that they belong to. A stated joint of two panels
// needs no geometry; of any other the panels are read and its flanges found.
func stacksAsked(ctx context.Context, p *program.Call, call rulesCall, sh *shell.Shell, in *inforce.Rules) ([]rule.Stack, *shell.Joint,
	error) {
	if call.stack != "" {
		s, err := parseStack(call.stack, call.tensile)
		return []rule.Stack{s}, nil, program.BadInput(err)
	}
	if call.joint == "" {
		return nil, nil, nil
	}
	if j, ok := sh.Joint(call.joint); ok && len(j.Panels) == 2 {
		s, err := in.Stack(j.Panels)
		return []rule.Stack{s}, j, program.BadInput(err)
	}
	var ids []string
	for _, j := range sh.Joints {
		ids = append(ids, j.ID)
	}
	if len(ids) > 0 && !slices.Contains(ids, call.joint) {
		return nil, nil, program.BadInput(unknownJoint(call, ids))
	}
	done, err := p.Build(ctx, call.shell)
	if err != nil {
		return nil, nil, err
	}
	if len(ids) == 0 { // the joints are found
		for _, j := range done.Plan.Joints {
			ids = append(ids, j.ID)
		}
	}
	if !slices.Contains(ids, call.joint) {
		return nil, nil, program.BadInput(unknownJoint(call, ids))
	}
	stacks, err := strips.Stacks(done.Plan, in, call.joint)
	j, _ := sh.Joint(call.joint) // nil for a found one
	return stacks, j, program.BadInput(err)
}

func unknownJoint(call rulesCall, ids []string) error {
	return fmt.Errorf("file %s: there is no joint %q; the nearest is %s", call.shell, call.joint, spelling.Nearest(call.joint, ids))
}

var sheetWords = regexp.MustCompile(`^([0-9]*\.?[0-9]+)(?:\s+(\S+))?$`)

// parseStack reads sheets as people write them: thickness in mm and a coating where there is one.
func parseStack(text string, tensile float64) (rule.Stack, error) {
	if !(tensile > 0) || tensile > 3000 {
		return nil, fmt.Errorf("--tensile %g: write MPa above zero", tensile)
	}
	var out rule.Stack
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == '+' }) {
		m := sheetWords.FindStringSubmatch(strings.TrimSpace(part))
		if m == nil {
			return nil, fmt.Errorf("--stack %q: %q is no sheet: write thicknesses in mm with their coatings, such as \"0.9, 1.2 Z100\"", text,
				strings.TrimSpace(part))
		}
		t, err := strconv.ParseFloat(m[1], 64)
		if err != nil || !(t > 0) || t > 50 {
			return nil, fmt.Errorf("--stack %q: a thickness of %s mm is none", text, m[1])
		}
		if _, known := rule.ParseCoating(m[2]); !known {
			return nil, fmt.Errorf("--stack %q: %q is no coating: write none, or a designation such as Z100", text, m[2])
		}
		out = append(out, rule.Sheet{Thickness: t, Tensile: tensile, Coating: m[2]})
	}
	if len(out) < 2 {
		return nil, fmt.Errorf("--stack %q: give two sheets or more", text)
	}
	return out, nil
}

func rulesText(p *program.Call, book rulesResult) {
	if book.Shell != "" {
		fmt.Fprintf(p.Out, "rules in force for %s%s\n\n", book.Shell, map[bool]string{true: ", joint " + book.Joint}[book.Joint != ""])
	}
	for _, r := range book.Rules {
		severity := r.Severity
		if severity == "" {
			severity = "aim"
		}
		fmt.Fprintf(p.Out, "%s: %s (%s; from %s)\n    %s\n", r.ID, r.Title, severity, r.From, r.Sentence)
		if r.Stated > 0 {
			fmt.Fprintf(p.Out, "  * stated by the shell file: %.4g %s\n", r.Stated, r.Unit)
		}
		for _, s := range r.Sources {
			mark := " "
			if s.ID == r.Use {
				mark = "*"
			}
			fmt.Fprintf(p.Out, "  %s %-12s %s -- %s (%s)\n", mark, s.ID, s.Formula, s.Source, s.Certainty)
		}
		for _, v := range r.Values {
			ruleValue(p, r, v)
		}
		fmt.Fprintln(p.Out)
	}
	for _, s := range book.Stacks {
		stackText(p, s)
	}
}

func ruleValue(p *program.Call, r ruleResult, v valueResult) {
	fmt.Fprintf(p.Out, "    stack %s: %.4g %s", v.Stack, v.Value, r.Unit)
	if v.Note != "" {
		fmt.Fprintf(p.Out, " (%s)", v.Note)
	}
	for i, o := range v.Others {
		fmt.Fprintf(p.Out, "%s %s %.4g", map[bool]string{true: "; by other sources:", false: ","}[i == 0], o.By, o.Value)
	}
	if v.Spread > 1.001 {
		fmt.Fprintf(p.Out, "; greatest over least %.2f", v.Spread)
	}
	fmt.Fprintln(p.Out)
	for _, c := range v.Cases {
		fmt.Fprintf(p.Out, "      %s: %.4g %s\n", c.What, c.Value, c.Unit)
	}
}
