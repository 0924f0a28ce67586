package page

import (
	"bytes"
	"fmt"
	"html/template"
	"strings"

	"seamwright/layout"
)

var listing = template.Must(template.New("list").Parse(`{{range .}}<details open><summary>{{.Name}}</summary>
{{range .Joints}}<details><summary>{{.Name}}</summary>
{{range .Flanges}}<details data-flange="{{.ID}}"><summary>{{.Name}}</summary>
{{range .Runs}}<div><span>{{.Name}}:</span> {{range .Welds -}}
<button type="button" aria-pressed="false" data-flange="{{.Flange}}" data-weld="{{.Index}}" data-number="{{.Number}}"
 data-words="{{.Words}}">{{.Number}}</button>
{{- end}}</div>
{{end}}</details>
{{end}}</details>
{{end}}{{if .Things}}<details><summary>Clamps, dowels, hold points, seams: {{len .Things}}</summary>
{{range .Things}}<div><button type="button" data-at="{{.At}}" data-thing="{{.ID}}">{{.Words}}</button></div>
{{end}}</details>
{{end}}</details>
{{end}}`))

// The list's rows, from a station down to a weld.
type (
	stationRow struct {
		Name   string
		Joints []jointRow
		Things []thingRow
	}
	thingRow struct {
		ID, At, Words string // At: its place in mm, for the picture
	}
	jointRow struct {
		Name    string
		Flanges []flangeRow
	}
	flangeRow struct {
		ID, Name string
		Runs     []runRow
	}
	runRow struct {
		Name  string
		Welds []weldRow
	}
	weldRow struct {
		Flange        string
		Index, Number int
		Words         string // that a search finds it by
	}
)

// List is everything in the picture as plain HTML: stations, their joints, these' flanges, runs and welds. A weld's button
// carries its place in the plan's list of welds.
func List(plan *layout.Plan) ([]byte, error) {
	runs := map[string][]runRow{}
	at := map[int]int{} // place of a run among its flange's
	for _, r := range plan.Runs {
		at[r.ID] = len(runs[r.Flange])
		name := fmt.Sprintf("run %d, %s, gun %s, setting %s", r.ID, r.Step, orNone(r.Gun), orNone(r.Setting))
		runs[r.Flange] = append(runs[r.Flange], runRow{Name: name})
	}
	words := wordsOf(plan)
	for i, w := range plan.Welds {
		own := runs[w.Flange]
		if k, ok := at[w.Run]; ok && k < len(own) {
			own[k].Welds = append(own[k].Welds, weldRow{Flange: w.Flange, Index: i, Number: w.Number, Words: words(w)})
		}
	}
	flanges := map[string]layout.Flange{}
	for _, f := range plan.Flanges {
		flanges[f.ID] = f
	}
	var rows []stationRow
	for _, s := range plan.Stations {
		row := stationRow{Name: fmt.Sprintf("%s: %d welds, %.0f min", orID(s.Name, s.ID), s.Welds, s.Minutes)}
		for _, j := range plan.Joints {
			if j.Station != s.ID {
				continue
			}
			joint := jointRow{Name: fmt.Sprintf("%s: %d welds", orID(j.Name, j.ID), j.Welds)}
			for _, id := range j.Flanges {
				f := flanges[id]
				name := fmt.Sprintf("%s: %s, %.0f mm long, %.1f wide", f.ID, strings.Join(f.Panels, " + "), f.Length, f.Width.Mean)
				joint.Flanges = append(joint.Flanges, flangeRow{ID: f.ID, Name: name, Runs: runs[id]})
			}
			row.Joints = append(row.Joints, joint)
		}
		row.Things = things(plan, &s)
		rows = append(rows, row)
	}
	var b bytes.Buffer
	err := listing.Execute(&b, rows)
	return b.Bytes(), err
}

// things are what stands at a station and is no weld.
func things(plan *layout.Plan, s *layout.Station) (out []thingRow) {
	add := func(id string, at layout.Vec, format string, args ...any) {
		out = append(out, thingRow{id, fmt.Sprintf("%.3f,%.3f,%.3f", at[0], at[1], at[2]), fmt.Sprintf(format, args...)})
	}
	for _, c := range s.Clamps {
		add(c.ID, c.At, "clamp %s: keeps welds %.0f mm off", c.ID, c.Radius)
	}
	for _, d := range s.Dowels {
		add(d.ID, d.At, "dowel %s", d.ID)
	}
	for _, h := range s.HoldPoints {
		add(h.ID, h.At, "hold point %s: %s%s", h.ID, h.Text, wanted(h))
	}
	for _, r := range plan.Seams {
		if r.Station == s.ID && len(r.Path) > 0 {
			add(r.ID, r.Path[len(r.Path)/2], "roller seam %s: %.0f mm, roller %s, setting %s", r.ID, r.Length, orNone(r.Roller), orNone(r.Setting))
		}
	}
	return out
}

// wanted is a hold point's dimension.
func wanted(h layout.HoldPoint) string {
	if h.Value == 0 && h.Tolerance == 0 {
		return ""
	}
	if h.Value == 0 {
		return fmt.Sprintf(", within %g mm", h.Tolerance)
	}
	return fmt.Sprintf(", %g ± %g mm", h.Value, h.Tolerance)
}

// wordsOf gives the words that a weld is found by: numbers, names, and the severity of findings about it or its flange.
func wordsOf(plan *layout.Plan) func(layout.Weld) string {
	panels, joints, about := map[string]string{}, map[string]string{}, map[string]string{}
	for _, p := range plan.Panels {
		panels[p.ID] = p.Name
	}
	for _, j := range plan.Joints {
		joints[j.ID] = j.Name
	}
	for _, f := range plan.Findings {
		if f.Weld > 0 {
			about[fmt.Sprint(f.Station, " ", f.Weld)] += " " + string(f.Severity)
		} else if f.Flange != "" {
			about[f.Flange] += " " + string(f.Severity)
		}
	}
	return func(w layout.Weld) string {
		all := []string{"weld", fmt.Sprint(w.Number), w.Station, w.Joint, joints[w.Joint], w.Flange, string(w.Step), w.Gun, w.Tip, w.Setting}
		for _, id := range w.Sheets {
			all = append(all, id, panels[id])
		}
		all = append(all, about[fmt.Sprint(w.Station, " ", w.Number)], about[w.Flange])
		return strings.ToLower(strings.Join(all, " "))
	}
}

func orID(name, id string) string {
	if name == "" {
		return id
	}
	return name
}

func orNone(id string) string {
	if id == "" {
		return "none"
	}
	return id
}
