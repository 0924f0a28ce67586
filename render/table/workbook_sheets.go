package table

import (
	"fmt"
	"strings"

	"seamwright/layout"
)

// Number formats.
const (
	whole  = "0"
	tenth  = "0.0"
	cent   = "0.00"
	micron = "0.000"
	unit   = "0.000000"
	share  = "0%"
)

// sheets are those of the workbook, in their order.
func sheets(p *layout.Plan) []grid {
	return []grid{
		summarySheet(p), weldsSheet(p), runsSheet(p), rollersSheet(p), jointsSheet(p), settingsSheet(p), stationsSheet(p),
		linesSheet("Work", "s", p.Labour.Lines), linesSheet("Money", p.Cost.Currency, p.Cost.Lines), findingsSheet(p),
	}
}

func summarySheet(p *layout.Plan) grid {
	g := grid{name: "Summary", columns: []column{{"What", 34, ""}, {"Value", 20, ""}, {"Unit", 12, ""}}}
	add := func(what string, v any, unit string) { g.rows = append(g.rows, []any{what, v, unit}) }
	add("Shell", p.Shell.Name, "")
	add("Number", p.Shell.Number, "")
	add("Revision", p.Shell.Revision, "")
	add("Date of issue", p.Shell.Issued, "")
	add("Created by", p.Shell.Creator, "")
	add("Approved by", p.Shell.Approver, "")
	add("Input (SHA-256)", p.Shell.Input, "")
	add("Batch", p.Shell.Batch, "shells")
	add("Panels", len(p.Panels), "")
	add("Joints", len(p.Joints), "")
	add("Stations", len(p.Stations), "")
	add("Spot welds a shell", len(p.Welds), "")
	add("Roller seam a shell", p.Labour.RollerMetres, "m")
	add("Work a shell", p.Labour.ManMinutesPerShell, "man-minutes")
	add("Jig preparation for the batch", p.Labour.PrepareMinutes, "man-minutes")
	add("Work a shell, preparation shared", p.Cost.MinutesPerShell, "man-minutes")
	add("Cost a shell", p.Cost.CostPerShell, p.Cost.Currency)
	add("Cost of the batch", p.Cost.CostPerBatch, p.Cost.Currency)
	for _, s := range layout.Severities() {
		n := 0
		for _, f := range p.Findings {
			if f.Severity == s {
				n++
			}
		}
		add("Findings: "+string(s), n, "")
	}
	return g
}

func weldsSheet(p *layout.Plan) grid {
	g := grid{name: "Welds", columns: []column{
		{"Station", 14, ""}, {"Number", 8, whole}, {"Joint", 18, ""}, {"Flange", 18, ""}, {"Run", 6, whole}, {"Step", 9, ""},
		{"X mm", 10, micron}, {"Y mm", 10, micron}, {"Z mm", 10, micron}, {"Axis X", 9, unit}, {"Axis Y", 9, unit}, {"Axis Z", 9, unit},
		{"Along mm", 10, tenth}, {"Sheets", 34, ""}, {"Weld diameter mm", 9, cent}, {"Gun", 10, ""}, {"Letter", 6, ""}, {"Tip", 10, ""},
		{"Turn degrees", 8, tenth}, {"Setting", 8, ""}, {"To left side mm", 8, tenth}, {"To right side mm", 8, tenth},
		{"Shear N", 9, whole}, {"Tension N", 9, whole}, {"Used", 7, share}, {"Waits for", 40, ""},
		{"Opened weld good from mm", 10, cent},
	}}
	index := layout.NewIndex(p)
	for _, w := range p.Welds {
		g.rows = append(g.rows, []any{
			w.Station, w.Number, w.Joint, w.Flange, w.Run, w.Step,
			w.Position[0], w.Position[1], w.Position[2], w.Axis[0], w.Axis[1], w.Axis[2],
			w.Along, strings.Join(w.Sheets, " + "), w.WeldDiameter, w.Gun, index.Gun(w.Gun).Letter, w.Tip,
			w.Turn, w.Setting, w.Left, w.Right, w.Shear, w.Tension, w.Utilisation, w.Waits, w.Accepted,
		})
	}
	return g
}

func runsSheet(p *layout.Plan) grid {
	g := grid{name: "Runs", columns: []column{
		{"Run", 6, whole}, {"Station", 14, ""}, {"Joint", 18, ""}, {"Flange", 18, ""}, {"From", 7, whole}, {"To", 7, whole}, {"Count", 7, whole},
		{"Pitch least mm", 8, tenth}, {"Pitch mean mm", 8, tenth}, {"Pitch greatest mm", 9, tenth}, {"Gun", 10, ""}, {"Tip", 10, ""},
		{"Setting", 8, ""}, {"Step", 9, ""}, {"Minutes", 8, cent},
	}}
	for _, r := range p.Runs {
		g.rows = append(g.rows, []any{r.ID, r.Station, r.Joint, r.Flange, r.From, r.To, r.Count, r.Pitch.Least, r.Pitch.Mean, r.Pitch.Greatest,
			r.Gun, r.Tip, r.Setting, r.Step, r.Minutes})
	}
	return g
}

func rollersSheet(p *layout.Plan) grid {
	g := grid{name: "Roller seams", columns: []column{
		{"Seam", 18, ""}, {"Station", 14, ""}, {"Joint", 18, ""}, {"Flange", 18, ""}, {"Roller", 14, ""}, {"Letter", 6, ""}, {"Setting", 8, ""},
		{"Closed", 8, ""},
		{"Length mm", 10, tenth}, {"Speed mm/s", 8, cent}, {"Rolling s", 8, tenth}, {"After weld", 8, whole},
	}}
	index := layout.NewIndex(p)
	for _, r := range p.Seams {
		g.rows = append(g.rows, []any{r.ID, r.Station, r.Joint, r.Flange, r.Roller, index.Roller(r.Roller).Letter, r.Setting,
			yes(r.Closed), r.Length, r.Speed, r.Time, r.After})
	}
	return g
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}

func jointsSheet(p *layout.Plan) grid {
	g := grid{name: "Joints", columns: []column{
		{"Joint", 18, ""}, {"Name", 26, ""}, {"Panels", 34, ""}, {"Kind", 12, ""}, {"Found", 7, ""}, {"Station", 14, ""},
		{"Flanges", 26, "wrap"}, {"Welds", 7, whole}, {"Length mm", 10, tenth},
		{"Shear capacity N", 10, whole}, {"Shear demand N", 10, whole}, {"Shear used", 8, share}, {"Tension capacity N", 10, whole},
		{"Tension demand N", 10, whole}, {"Tension used", 8, share}, {"Minutes", 8, cent}, {"Source of strength", 40, "wrap"},
	}}
	for _, j := range p.Joints {
		g.rows = append(g.rows, []any{
			j.ID, j.Name, strings.Join(j.Panels, " + "), j.Kind, yes(j.Found), j.Station, strings.Join(j.Flanges, ", "), j.Welds, j.Length,
			j.Shear.Capacity, j.Shear.Demand, j.Shear.Utilisation, j.Tension.Capacity, j.Tension.Demand, j.Tension.Utilisation, j.Minutes,
			j.Shear.Source,
		})
	}
	return g
}

func settingsSheet(p *layout.Plan) grid {
	g := grid{name: "Settings", columns: []column{
		{"Setting", 8, ""}, {"Kind", 8, ""}, {"Stack", 40, "wrap"}, {"Force N", 8, whole}, {"Current A", 9, whole}, {"Squeeze s", 8, micron},
		{"Weld or on s", 8, micron}, {"Hold or off s", 8, micron},
		{"Tips and faces mm", 20, ""}, {"Wheel mm", 8, tenth}, {"Speed mm/s", 8, cent}, {"Nugget pitch mm", 8, cent}, {"Nugget mm", 8, cent},
		{"Supply", 8, ""},
		{"Source", 50, "wrap"}, {"Note: prove every setting by test before use", 50, "wrap"},
	}}
	index := layout.NewIndex(p)
	for _, s := range p.Settings {
		g.rows = append(g.rows, []any{s.ID, s.Kind, s.Stack, s.Force, s.Current, s.Squeeze, s.Weld, s.Hold, faces(index.TipsWith(s.ID)),
			s.Wheel, s.Speed, s.Pitch, s.Nugget,
			s.Supply, s.Source, s.Note})
	}
	return g
}

// faces words tips with their faces: a cap has one face, whatever face a setting was published for.
func faces(tips []layout.Tip) string {
	words := make([]string, len(tips))
	for i, t := range tips {
		words[i] = t.ID + " " + number(t.Face, 1)
	}
	return strings.Join(words, ", ")
}

func stationsSheet(p *layout.Plan) grid {
	g := grid{name: "Stations", columns: []column{
		{"Station", 14, ""}, {"Name", 24, ""}, {"Crew", 6, whole}, {"Welds", 7, whole}, {"Roller seam m", 8, cent}, {"Welding man-min", 9, cent},
		{"Rolling man-min", 9, cent}, {"Handling man-min", 9, cent},
		{"Man-minutes a shell", 9, cent}, {"Minutes at the jig", 9, cent}, {"Jig preparation for the batch min", 12, cent},
		{"Cost a shell " + p.Cost.Currency, 10, cent},
	}}
	for _, s := range p.Labour.Stations {
		g.rows = append(g.rows, []any{s.Station, s.Name, s.Crew, s.Welds, s.RollerMetre, s.Weld, s.Roll, s.Handling, s.ManMinutes, s.Minutes,
			s.Prepare, s.Cost})
	}
	return g
}

func linesSheet(name, of string, lines []layout.Line) grid {
	g := grid{name: name, columns: []column{
		{"What", 34, "wrap"}, {"Station", 14, ""}, {"Joint", 18, ""}, {"Quantity", 10, micron}, {"Unit", 12, ""}, {"Each " + of, 10, "0.0000"},
		{"Total " + of, 11, cent}, {"From the shell file", 22, ""}, {"Follows from", 60, "wrap"},
	}}
	for _, l := range lines {
		g.rows = append(g.rows, []any{l.What, l.Station, l.Joint, l.Quantity, l.Unit, l.Each, l.Total, l.Element, l.From})
	}
	return g
}

func findingsSheet(p *layout.Plan) grid {
	g := grid{name: "Findings", columns: []column{
		{"Severity", 9, ""}, {"Rule", 18, ""}, {"Where", 40, "wrap"}, {"Value", 10, micron}, {"Limit", 10, micron}, {"Unit", 8, ""},
		{"Source", 40, "wrap"}, {"Remedy", 50, "wrap"}, {"X, Y, Z mm", 24, ""}, {"Waived", 40, "wrap"},
	}}
	for _, f := range p.Findings {
		waived := ""
		if f.Severity == layout.Waived {
			waived = fmt.Sprintf("%s, was %s: %s", f.Name, f.Was, f.Reason)
		}
		at := fmt.Sprintf("%s, %s, %s", number(f.At[0], 1), number(f.At[1], 1), number(f.At[2], 1))
		g.rows = append(g.rows, []any{f.Severity, f.Rule, f.Where, f.Value, f.Limit, f.Unit, f.Source, f.Remedy, at, waived})
	}
	return g
}
