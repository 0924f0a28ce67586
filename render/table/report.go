package table

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"text/tabwriter"
	"unicode"

	"seamwright/layout"
)

// Report is the plan in words: a summary, findings by severity, joints, stations, settings, labour, cost and
// cautions. Plain text, UTF-8; columns line up in a font of even width.
func Report(plan *layout.Plan) []byte {
	r := &report{plan: plan, index: layout.NewIndex(plan)}
	for _, part := range []func(){r.summary, r.findings, r.joints, r.flanges, r.stations, r.settings, r.labour, r.cost, r.cautions, r.notes} {
		part()
	}
	return r.out.Bytes()
}

type report struct {
	plan  *layout.Plan
	index *layout.Index
	out   bytes.Buffer
}

// lineWidth is where running text is broken.
const lineWidth = 110

// head starts a chapter.
func (r *report) head(title string) {
	if r.out.Len() > 0 {
		r.out.WriteByte('\n')
	}
	fmt.Fprintf(&r.out, "%s\n%s\n", title, strings.Repeat("=", len([]rune(title))))
}

// line writes one line without control characters.
func (r *report) line(format string, args ...any) {
	fmt.Fprintln(&r.out, plain(fmt.Sprintf(format, args...)))
}

// plain replaces control characters, which would break lines and columns.
func plain(s string) string {
	return strings.Map(func(c rune) rune {
		if unicode.IsControl(c) {
			return ' '
		}
		return c
	}, s)
}

// rows writes a table: cells lined up, two spaces apart. Columns of numbers stand right: those whose head
// begins with >.
func (r *report) rows(head []string, rows [][]string) {
	var b bytes.Buffer
	w := tabwriter.NewWriter(&b, 0, 0, 2, ' ', 0)
	right := make([]int, len(head))
	for c := range head {
		if !strings.HasPrefix(head[c], ">") {
			continue
		}
		right[c] = len([]rune(head[c])) - 1
		for _, row := range rows {
			right[c] = max(right[c], len([]rune(row[c])))
		}
	}
	for i, row := range append([][]string{head}, rows...) {
		cells := make([]string, len(row))
		for c, text := range row {
			if i == 0 {
				text = strings.TrimPrefix(text, ">")
			}
			cells[c] = fmt.Sprintf("%*s", right[c], plain(text))
		}
		fmt.Fprintln(w, strings.Join(cells, "\t"))
	}
	w.Flush() // into memory: cannot fail
	for _, l := range strings.Split(strings.TrimRight(b.String(), "\n"), "\n") {
		fmt.Fprintln(&r.out, strings.TrimRight(l, " "))
	}
}

// wrap breaks running text at spaces. The first line begins with indent, the others with as many spaces.
func (r *report) wrap(indent, text string) {
	line := indent
	for _, word := range strings.Fields(plain(text)) {
		if len([]rune(line))+1+len([]rune(word)) > lineWidth && line != indent {
			fmt.Fprintln(&r.out, line)
			indent = strings.Repeat(" ", len([]rune(indent)))
			line = indent
		}
		if line != indent {
			line += " "
		}
		line += word
	}
	if line != indent {
		fmt.Fprintln(&r.out, line)
	}
}

func (r *report) summary() {
	p := r.plan
	r.head(strings.TrimSpace("Weld plan: " + plain(p.Shell.Name)))
	rollers := 0.0
	for _, s := range p.Seams {
		rollers += s.Length
	}
	r.rows([]string{"What", "Value"}, [][]string{
		{"Number, revision", p.Shell.Number + ", " + orDash(p.Shell.Revision)},
		{"Batch", fmt.Sprintf("%d shells", p.Shell.Batch)},
		{"Panels", fmt.Sprint(len(p.Panels))},
		{"Joints", fmt.Sprint(len(p.Joints))},
		{"Stations", fmt.Sprint(len(p.Stations))},
		{"Spot welds", fmt.Sprint(len(p.Welds))},
		{"Roller seams", fmt.Sprintf("%d, %s m", len(p.Seams), number(rollers/1000, 2))},
		{"Findings", fmt.Sprintf("broken %d, waived %d, in doubt %d, notes %d", r.severity(layout.Broken), r.severity(layout.Waived),
			r.severity(layout.Doubt), r.severity(layout.Note))},
		{"Labour", number(p.Labour.ManMinutesPerShell, 1) + " man-minutes a shell, and " + number(p.Labour.PrepareMinutes, 0) +
			" to prepare the jigs for the batch"},
		{"Cost", fmt.Sprintf("%s %s a shell, %s %s a batch of %d", p.Cost.Currency, layout.Money(p.Cost.CostPerShell), p.Cost.Currency,
			layout.Money(p.Cost.CostPerBatch), p.Cost.Batch)},
		{"Range of the cost", costRange(p.Cost)},
		{"Input", orDash(p.Shell.Input)},
	})
}

// costRange is the cost of a shell that half and four in five of the drawings stay below.
func costRange(c layout.Cost) string {
	if c.Spread.Trials == 0 {
		return "-"
	}
	return fmt.Sprintf("as likely above as below %s %s a shell; four times in five below %s", c.Currency, layout.Money(c.Spread.ShellP50),
		layout.Money(c.Spread.ShellP80))
}

func orDash(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

func (r *report) severity(s layout.Severity) int {
	n := 0
	for _, f := range r.plan.Findings {
		if f.Severity == s {
			n++
		}
	}
	return n
}

// place writes a point of the shell in mm.
func place(v layout.Vec) string {
	return "(" + number(v[0], 0) + ", " + number(v[1], 0) + ", " + number(v[2], 0) + ")"
}

// joints lists each joint with its flange width, welds, pitch and use of its strength.
func (r *report) joints() {
	r.head("Joints")
	var rows [][]string
	for _, j := range r.plan.Joints {
		width, pitch := r.widths(j), r.pitches(j)
		rows = append(rows, []string{j.ID, string(j.Kind), strings.Join(j.Panels, " + "), j.Station, number(j.Length, 0), width,
			fmt.Sprint(j.Welds),
			pitch,
			use(j.Shear), use(j.Tension), number(j.Minutes, 1)})
	}
	r.rows([]string{"Joint", "Kind", "Panels", "Station", ">Length mm", "Width mm", ">Welds", "Pitch mm", ">Shear use", ">Tension use",
		">Minutes"}, rows)
	r.line("")
	r.wrap("", "Width and pitch are least / mean / greatest. Use is the wanted force over what the joint carries; - where nothing is asked.")
}

// use writes how much of a strength is asked for.
func use(s layout.Strength) string {
	if s.Demand == 0 {
		return "-"
	}
	return number(100*s.Utilisation, 0) + " %"
}

// widths joins the widths of a joint's flanges, weighted by length.
func (r *report) widths(j layout.Joint) string {
	var parts []layout.Range
	var weights []float64
	for _, f := range r.plan.Flanges {
		if slices.Contains(j.Flanges, f.ID) {
			parts, weights = append(parts, f.Width), append(weights, f.Length)
		}
	}
	return joined(parts, weights, 1)
}

// pitches joins the pitches of a joint's runs, weighted by count.
func (r *report) pitches(j layout.Joint) string {
	var parts []layout.Range
	var weights []float64
	for _, run := range r.plan.Runs {
		if run.Joint == j.ID && run.Pitch.Greatest > 0 {
			parts, weights = append(parts, run.Pitch), append(weights, float64(run.Count))
		}
	}
	return joined(parts, weights, 0)
}

// joined writes the least, weighted mean and greatest of some ranges.
func joined(parts []layout.Range, weights []float64, places int) string {
	if len(parts) == 0 {
		return "-"
	}
	all, total := parts[0], 0.0
	all.Mean = 0
	for i, p := range parts {
		all.Least, all.Greatest = min(all.Least, p.Least), max(all.Greatest, p.Greatest)
		all.Mean += float64(p.Mean * weights[i])
		total += weights[i]
	}
	if total > 0 {
		all.Mean /= total
	}
	return number(all.Least, places) + " / " + number(all.Mean, places) + " / " + number(all.Greatest, places)
}
