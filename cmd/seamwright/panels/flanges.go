// Package panels is the commands that look at panels before there is a shell file: where they lie on each other, and the first file for
// a folder of them.
//
//	program.Run(ctx, []string{"flanges", "a.stl", "b.stl"}, os.Stdout, os.Stderr, []program.Maker{panels.Flanges})
package panels

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"github.com/golang/geo/r3"
	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
	"seamwright/internal/work"
	"seamwright/layout"
)

// flangesCall is the flags of one call of flanges.
type flangesCall struct {
	thickness, surface, skin, unit, layer string
	gap, width, clampGap, clampAngle      float64
	leastLength, leastWidth               float64
	scanSpeck, scanHole                   float64
	need                                  flange.Need
	json                                  bool
}

// Flanges makes the command flanges.
func Flanges(p *program.Call) *cobra.Command {
	var call flangesCall
	c := &cobra.Command{
		Use:   "flanges A.stl [B.stl C.stl ...]",
		Short: "Find where panels lie on each other, or the weld line of a drawn strip",
		Long: `flanges finds the strips where panels lie on each other: their length, width, gap and weld line.
With one panel it lists the panel's candidate flanges: strips between a free edge and a bend or another edge.
With one DXF or CSV drawing instead of panels it finds the weld lines of the strips drawn: a closed outline
is a strip, closed lines within it are its holes; an open polyline is itself a weld line of the width that
--width states. A drawing among panels is a flat blank where it is drawn, at height 0.
With --from-edge and --from-bend it says over which length a strip is too narrow for both, and by how much.`,
		Args: program.Count(1, -1, "panels and blanks, or one drawing"),
		RunE: func(c *cobra.Command, args []string) error {
			result, notes, err := findFlanges(c.Context(), p, args, call)
			if err != nil {
				return err
			}
			for _, n := range notes {
				p.Warn("note: %s", n)
			}
			if call.json {
				err = p.PrintJSON(result)
			} else {
				flangesText(p, result)
			}
			if err != nil {
				return err
			}
			return program.VerdictOf(result.Findings, "see above")
		},
	}
	f := c.Flags()
	f.StringVar(&call.thickness, "thickness", "", "sheet thickness in mm, one for all or one for each panel: 0.9,1.2; left out or empty, "+
		"as in 0.9,,1.2: measured on a closed mesh, else unknown")
	f.StringVar(&call.surface, "surface", "", "what the meshes are: mid, skin or solid; one for all or one for each panel; left out: solid "+
		"where a mesh is closed and as thin as sheet, else mid")
	f.StringVar(&call.skin, "skin", "", "of skins: which face of its sheet each mesh is, outer or faying, one for all or one for each "+
		"panel; "+
		"found when left out or empty: faying,,outer")
	f.StringVar(&call.unit, "unit", "", "unit of the files: mm, cm, m, inch or foot; default: as a drawing says, else mm")
	f.Float64Var(&call.gap, "gap", 0.5, "air between sheets that is still good fit-up, mm")
	f.Float64Var(&call.clampGap, "clamp-gap", 3, "air up to which clamps draw together a flange that lies closer somewhere, mm")
	f.Float64Var(&call.clampAngle, "clamp-angle", 10, "angle between its sheets up to which they do, degrees")
	f.Float64Var(&call.leastLength, "least-length", 12, "length from which a strip of two sheets is a flange, mm")
	f.Float64Var(&call.leastWidth, "least-width", 4, "width from which it is, mm; what is smaller is listed as such")
	f.Float64Var(&call.scanSpeck, "scan-speck", 25, "of noisy scans: pieces of the mesh smaller than so many mm² are left out; 0: none")
	f.Float64Var(&call.scanHole, "scan-hole", 3, "of noisy scans: openings that fit into a circle of so many mm are closed; 0: none")
	f.Float64Var(&call.width, "width", 0, "width of the strip about an open polyline of a drawing, mm")
	f.Float64Var(&call.need.FreeEdge, "from-edge", 0, "what a weld's centre keeps from a free edge, mm; 0: not asked")
	f.Float64Var(&call.need.Bend, "from-bend", 0, "what it keeps from a bend, half the electrode's face and the clearance, mm; 0: not asked")
	f.StringVar(&call.layer, "layer", "", "take only this layer of a drawing")
	program.JSONFlags[flangesResult](p, c, &call.json, "print JSON")
	return c
}

// flangesResult is what flanges prints.
type flangesResult struct {
	Units   string        `json:"units" about:"unit of lengths; areas in its square"`
	Panels  []panelResult `json:"panels" about:"the meshes as read"`
	Flanges []stripResult `json:"flanges" about:"strips where the sheets lie on each other"`
	Small   []smallResult `json:"small" about:"contacts too small to be a flange"`
	Near    []nearResult  `json:"near" about:"pairs near each other without a flange"`

	Findings []layout.Finding `json:"findings" about:"what is not joined or cannot be"`
}

type panelResult struct {
	Name      string        `json:"name" about:"name of the mesh"`
	Triangles int           `json:"triangles" about:"triangles read"`
	Area      float64       `json:"area" about:"area of one side"`
	Box       [2][3]float64 `json:"box" about:"least and greatest corner"`
	Warnings  []string      `json:"warnings" about:"what looked wrong when it was read"`
}

type stripResult struct {
	ID        string             `json:"id" about:"id"`
	Panels    []string           `json:"panels" about:"names of the panels"`
	Closed    bool               `json:"closed" about:"whether the strip closes on itself"`
	Patch     bool               `json:"patch" about:"whether it is a patch rather than a strip"`
	Hem       bool               `json:"hem" about:"one sheet is folded round the other's edge"`
	Candidate bool               `json:"candidate,omitempty" about:"of a single panel: nothing lies on it yet"`
	Length    float64            `json:"length" about:"length of the weld line"`
	Width     flange.Range       `json:"width" about:"across the weld line"`
	Air       flange.Range       `json:"air" about:"between the facing sheet surfaces"`
	Sides     flange.Sides       `json:"sides,omitempty" about:"how it was told on which side of skins the metal lies, where it is not sure"`
	AirMay    *[2]float64        `json:"air_may,omitempty" about:"what the mean air may be, were the metal on the other side"`
	Unknown   []string           `json:"unknown_thickness,omitempty" about:"panels whose metal counts in the air"`
	Area      float64            `json:"area" about:"area of the strip"`
	Holes     [][4]float64       `json:"holes" about:"x, y, z, radius"`
	Line      []layout.LinePoint `json:"line" about:"the weld line; a closed one does not repeat its first point"`
	Open      [][3]float64       `json:"open" about:"from and to along the weld line, greatest air in the line"`
	Opening   []openResult       `json:"opening,omitempty" about:"the same stretches, with what is open beside the line and where"`
	Cuts      []cutResult        `json:"cut_off,omitempty" about:"ends where the sheets go on facing each other, too far apart"`
	Notches   []notchResult      `json:"notches" about:"what reaches into the strip from a side"`
	Narrow    [][3]float64       `json:"narrow" about:"from and to along the weld line, how much lacks of --from-edge and --from-bend"`
}

// notchResult is a notch in a side of a strip.
type notchResult struct {
	From  float64    `json:"from" about:"along the weld line"`
	To    float64    `json:"to" about:"along the weld line, its end"`
	Depth float64    `json:"depth" about:"how far it reaches in"`
	Side  string     `json:"side" about:"left or right of the weld line"`
	Place [3]float64 `json:"place" about:"x, y, z"`
}

// openResult is how far a stretch of a strip is open.
type openResult struct {
	DrawnIn float64    `json:"drawn_in" about:"how far clamps must draw the sheets together"`
	Air     float64    `json:"air" about:"greatest in the weld line"`
	Place   [3]float64 `json:"place" about:"x, y, z"`
	Beside  float64    `json:"beside,omitempty" about:"greatest at a side of the strip, where it is more"`
	At      [3]float64 `json:"at,omitzero" about:"where that is"`
}

// cutResult is an end of a strip at the greatest gap.
type cutResult struct {
	Along float64    `json:"along" about:"along the weld line"`
	Air   float64    `json:"air" about:"between the sheets there"`
	Place [3]float64 `json:"place" about:"x, y, z"`
}

// smallResult is a contact that is no flange for its size, or because no free edge ends it.
type smallResult struct {
	Panels []string   `json:"panels" about:"names of the panels"`
	Length float64    `json:"length" about:"length of the contact"`
	Width  float64    `json:"width" about:"width of the contact"`
	Why    flange.Why `json:"why" about:"why it is no flange"`
	Place  [3]float64 `json:"place" about:"x, y, z"`
}

// nearResult is two panels that face each other too far apart to be joined.
type nearResult struct {
	Panels   [2]string  `json:"panels" about:"names of the panels"`
	Distance float64    `json:"distance" about:"least between the sheets"`
	Into     float64    `json:"into,omitempty" about:"how far one goes into the other"`
	Area     float64    `json:"area" about:"area that is near"`
	Place    [3]float64 `json:"place" about:"x, y, z"`
}

func findFlanges(ctx context.Context, p *program.Call, files []string, call flangesCall) (flangesResult, []string, error) {
	defer work.LittleGarbage()()
	unit, err := space.ParseUnit(call.unit)
	if err != nil {
		return flangesResult{}, nil, program.BadInput(err)
	}
	if !(call.gap > 0) || math.IsInf(call.gap, 0) {
		return flangesResult{}, nil, program.Wrong("--gap %g: write millimetres above zero", call.gap)
	}
	if !(call.clampGap > 0) || !(call.clampGap <= 20) {
		return flangesResult{}, nil, program.Wrong("--clamp-gap %g: write millimetres above zero, at most 20", call.clampGap)
	}
	if !(call.clampAngle > 0) || !(call.clampAngle <= 30) {
		return flangesResult{}, nil, program.Wrong("--clamp-angle %g: write degrees above zero, at most 30", call.clampAngle)
	}
	if !(call.leastLength > 0) || !(call.leastWidth > 0) {
		return flangesResult{}, nil, program.Wrong("--least-length %g, --least-width %g: write millimetres above zero",
			call.leastLength,
			call.leastWidth)
	}
	if !(call.scanSpeck >= 0) || !(call.scanHole >= 0) {
		return flangesResult{}, nil,
			program.Wrong("--scan-speck %g, --scan-hole %g: write square millimetres and millimetres from zero on",
				call.scanSpeck, call.scanHole)
	}
	if !(call.need.FreeEdge >= 0) || !(call.need.Bend >= 0) {
		return flangesResult{}, nil, program.Wrong("--from-edge %g, --from-bend %g: write millimetres from zero on",
			call.need.FreeEdge,
			call.need.Bend)
	}
	if len(files) == 1 && isDrawing(files[0]) {
		return drawnFlanges(ctx, p, files[0], unit, call)
	}
	sheets, notes, err := readSheets(ctx, p, files, unit, call)
	if err != nil {
		return flangesResult{}, nil, program.BadInput(err)
	}
	if len(sheets) == 1 {
		result, err := candidates(ctx, sheets, call, notes)
		return result, flatten(sheets, notes), err
	}
	b := p.Bar()
	defer b.Clear()
	found, err := flange.Find(ctx, sheets, flange.Options{GapLimit: call.gap, ClampGap: call.clampGap, ClampAngle: call.clampAngle,
		LeastLength: call.leastLength, LeastWidth: call.leastWidth, ScanSpeck: orNone(call.scanSpeck), ScanHole: orNone(call.scanHole),
		Workers:  p.Workers,
		Progress: func(done, total int) { b.Show("find flanges", done, total) }})
	if err != nil {
		return flangesResult{}, nil, err
	}
	r := resultOf(sheets, found, notes, call.need)
	r.Findings, err = judgeSheets(ctx, sheets, found, call.unit)
	return r, flatten(sheets, notes), err
}

// orNone is a limit as the finder takes it: below zero for none, as zero is its default.
func orNone(limit float64) float64 {
	if limit == 0 {
		return -1
	}
	return limit
}

// candidates lists the flanges that a single panel could be joined by.
func candidates(ctx context.Context, sheets []flange.Sheet, call flangesCall, notes [][]string) (flangesResult, error) {
	found, err := flange.Candidates(sheets[0], flange.Options{GapLimit: call.gap, LeastLength: call.leastLength,
		LeastWidth: call.leastWidth, ScanSpeck: orNone(call.scanSpeck), ScanHole: orNone(call.scanHole)})
	if err != nil {
		return flangesResult{}, err
	}
	r := resultOf(sheets, found, notes, call.need)
	if r.Findings, err = judgeSheets(ctx, sheets, found, call.unit); err != nil {
		return flangesResult{}, err
	}
	for i := range r.Flanges {
		r.Flanges[i].Candidate = true
	}
	return r, nil
}

func readSheets(
	ctx context.Context, p *program.Call, files []string, unit space.Unit, call flangesCall,
) ([]flange.Sheet, [][]string, error) {
	thickness, err := perPanel(call.thickness, len(files), "thickness")
	if err != nil {
		return nil, nil, err
	}
	surface, err := perPanel(call.surface, len(files), "surface")
	if err != nil {
		return nil, nil, err
	}
	skin, err := perPanel(call.skin, len(files), "skin")
	if err != nil {
		return nil, nil, err
	}
	names, err := panelNames(files)
	if err != nil {
		return nil, nil, err
	}
	sheets, notes := make([]flange.Sheet, len(files)), make([][]string, len(files))
	return sheets, notes, work.Each(ctx, p.Workers, len(files), func(i int) error {
		s, err := statedSheet(thickness[i], surface[i])
		if err != nil {
			return err
		}
		if s.Face, err = faceOf(s.Surface, skin[i], len(skin) > 0 && !strings.Contains(call.skin, ",")); err != nil {
			return err
		}
		s.Name = names[i]
		if isDrawing(files[i]) {
			s.Mesh, notes[i], err = readBlank(p, files[i], unit, call.layer)
		} else {
			s.Mesh, notes[i], err = mesh.ReadFile(files[i], mesh.Options{Unit: unit, Name: s.Name, Unsummed: true})
		}
		if err != nil {
			return err
		}
		notes[i] = append(notes[i], measureSheet(&s)...)
		sheets[i] = s
		return nil
	})
}

// faceOf reads which face of a sheet a skin is. A face stated once for all panels is that of the skins among them.
func faceOf(surface flange.Surface, word string, forAll bool) (flange.Face, error) {
	face := flange.Face(word)
	switch {
	case face != "" && face != flange.Outer && face != flange.Faying:
		return "", fmt.Errorf("--skin %s: write outer or faying; leave empty what is to be found: faying,,outer", word)
	case face != "" && surface != flange.Skin && forAll:
		return "", nil
	case face != "" && surface != flange.Skin:
		return "", fmt.Errorf("--skin %s: the panel's mesh is no skin: state --surface skin for it, or leave its face empty", word)
	}
	return face, nil
}

// panelNames names panels by their files; by their folders too where two files are called alike.
func panelNames(files []string) ([]string, error) {
	names := make([]string, len(files))
	given, taken := map[string]bool{}, map[string]bool{}
	for i, file := range files {
		clean := filepath.Clean(file)
		if given[clean] {
			return nil, fmt.Errorf("%s is given twice: name each panel once", file)
		}
		path := strings.TrimSuffix(clean, filepath.Ext(clean))
		if names[i] = filepath.Base(path); taken[names[i]] {
			names[i] = filepath.ToSlash(path)
		}
		given[clean], taken[names[i]] = true, true
	}
	return names, nil
}

// perPanel spreads a list flag over n panels: nothing, one for all, or one for each.
func perPanel(list string, n int, flag string) ([]string, error) {
	out := make([]string, n)
	if list == "" {
		return out, nil
	}
	given := strings.Split(list, ",")
	if len(given) != 1 && len(given) != n {
		return nil, fmt.Errorf("--%s has %d values for %d panels: give one, or one for each", flag, len(given), n)
	}
	for i := range out {
		out[i] = strings.TrimSpace(given[min(i, len(given)-1)])
	}
	return out, nil
}

func flatten(sheets []flange.Sheet, notes [][]string) []string {
	var out []string
	for i, list := range notes {
		for _, n := range list {
			out = append(out, fmt.Sprintf("panel %s: %s", sheets[i].Name, n))
		}
	}
	return out
}

func resultOf(sheets []flange.Sheet, found *flange.Found, notes [][]string, need flange.Need) flangesResult {
	r := flangesResult{Units: "mm", Flanges: []stripResult{}, Small: []smallResult{}, Near: []nearResult{}, Findings: []layout.Finding{}}
	for i, s := range sheets {
		box := s.Mesh.Box()
		r.Panels = append(r.Panels, panelResult{
			Name: s.Name, Triangles: len(s.Mesh.Triangles), Area: program.Rounded(s.Mesh.Area(), 1e3),
			Box: [2][3]float64{place(box.Min), place(box.Max)}, Warnings: append([]string{}, notes[i]...),
		})
	}
	for _, f := range found.Flanges {
		names := make([]string, len(f.Sheets))
		for i, s := range f.Sheets {
			names[i] = sheets[s].Name
		}
		strip := stripOf(f, names, need)
		for i, s := range f.Sheets {
			if len(f.Sheets) > 1 && sheets[s].Thickness == 0 && sheets[s].Surface != flange.Solid && !slices.Contains(f.Sheets[:i], s) {
				strip.Unknown = append(strip.Unknown, names[i])
			}
		}
		r.Flanges = append(r.Flanges, strip)
	}
	for _, c := range found.Small {
		small := smallResult{Length: program.Rounded(c.Length, 1e4), Width: program.Rounded(c.Width, 1e4), Why: c.Why, Place: place(c.Place)}
		for _, s := range c.Sheets {
			small.Panels = append(small.Panels, sheets[s].Name)
		}
		r.Small = append(r.Small, small)
	}
	for _, n := range found.Near {
		r.Near = append(r.Near, nearResult{
			Panels: [2]string{sheets[n.Sheets[0]].Name, sheets[n.Sheets[1]].Name}, Distance: program.Rounded(n.Distance, 1e4),
			Into: program.Rounded(n.Into, 1e4),
			Area: program.Rounded(n.Area, 1e3), Place: place(n.Place),
		})
	}
	return r
}

func stripOf(f flange.Flange, panels []string, need flange.Need) stripResult {
	s := stripResult{
		ID: f.ID, Panels: panels, Closed: f.Closed, Patch: f.Patch, Hem: f.Hem, Length: program.Rounded(f.Length, 1e4),
		Area:  program.Rounded(f.Area, 1e3),
		Width: roundedRange(f.Width), Air: roundedRange(f.Gap), Holes: [][4]float64{}, Open: [][3]float64{}, Notches: []notchResult{},
		Narrow: [][3]float64{},
	}
	if s.Sides = f.Sides; s.Sides != flange.SidesKnown {
		s.AirMay = &[2]float64{program.Rounded(f.GapMay[0], 1e4), program.Rounded(f.GapMay[1], 1e4)}
	}
	for _, h := range f.Holes {
		c := place(h.Center)
		s.Holes = append(s.Holes, [4]float64{c[0], c[1], c[2], program.Rounded(h.Radius, 1e4)})
	}
	for _, n := range f.TooNarrow(need) {
		s.Narrow = append(s.Narrow, [3]float64{program.Rounded(n.From, 1e4), program.Rounded(n.To, 1e4), program.Rounded(n.By, 1e4)})
	}
	for _, n := range f.Notches {
		side := "right"
		if n.Left {
			side = "left"
		}
		s.Notches = append(s.Notches, notchResult{From: program.Rounded(n.From, 1e4), To: program.Rounded(n.To, 1e4),
			Depth: program.Rounded(n.Depth, 1e4), Side: side,
			Place: place(n.Center)})
	}
	for _, st := range f.Line {
		s.Line = append(s.Line, layout.LinePoint{Along: program.Rounded(st.S, 1e4), At: place(st.Point),
			Normal: layout.Vec{program.Rounded(st.Axis.X, 1e6), program.Rounded(st.Axis.Y, 1e6), program.Rounded(st.Axis.Z, 1e6)},
			Left:   program.Rounded(st.Left, 1e4),
			Right:  program.Rounded(st.Right, 1e4), Air: program.Rounded(st.Gap, 1e4), Ends: [2]layout.Edge{st.LeftEdge, st.RightEdge}})
	}
	for _, o := range f.Open {
		s.Open = append(s.Open, [3]float64{program.Rounded(o.From, 1e4), program.Rounded(o.To, 1e4), program.Rounded(o.Gap, 1e4)})
		s.Opening = append(s.Opening, openResult{DrawnIn: program.Rounded(o.DrawnIn(), 1e4), Air: program.Rounded(o.Gap, 1e4),
			Place:  place(o.Place),
			Beside: program.Rounded(o.Beside, 1e4), At: place(o.At)})
	}
	for _, c := range f.Cuts {
		s.Cuts = append(s.Cuts, cutResult{Along: program.Rounded(c.S, 1e4), Air: program.Rounded(c.Gap, 1e4), Place: place(c.Place)})
	}
	return s
}

func roundedRange(r flange.Range) flange.Range {
	return flange.Range{Least: program.Rounded(r.Least, 1e4), Mean: program.Rounded(r.Mean, 1e4), Greatest: program.Rounded(r.Greatest, 1e4)}
}

func place(v r3.Vector) [3]float64 {
	return [3]float64{program.Rounded(v.X, 1e4), program.Rounded(v.Y, 1e4), program.Rounded(v.Z, 1e4)}
}

func flangesText(p *program.Call, r flangesResult) {
	if len(r.Panels) > 0 {
		fmt.Fprintf(p.Out, "%-24s %10s %14s   %s\n", "panel", "triangles", "area mm²", "size mm")
	}
	for _, s := range r.Panels {
		fmt.Fprintf(p.Out, "%-24s %10d %14.0f   %.1f x %.1f x %.1f\n", s.Name, s.Triangles, s.Area, s.Box[1][0]-s.Box[0][0],
			s.Box[1][1]-s.Box[0][1], s.Box[1][2]-s.Box[0][2])
	}
	fmt.Fprintf(p.Out, "%-6s %-32s %9s %8s %8s %8s %8s %8s  %s\n", "flange", "panels", "length", "width", "least", "greatest", "air",
		"greatest", "remarks (mm)")
	for _, f := range r.Flanges {
		var remarks []string
		if f.Closed {
			remarks = append(remarks, "closed")
		}
		if f.Candidate {
			remarks = append(remarks, "candidate: no other panel was given")
		}
		if f.Patch {
			remarks = append(remarks, "broad contact, no strip")
		}
		if f.Hem {
			remarks = append(remarks, "hem")
		}
		if len(f.Unknown) > 0 {
			remarks = append(remarks, "the air counts in the metal of "+strings.Join(f.Unknown, " and ")+", whose thickness is not known")
		}
		if f.AirMay != nil {
			remarks = append(remarks, fmt.Sprintf("air may be %.2f to %.2f (--skin)", f.AirMay[0], f.AirMay[1]))
		}
		for _, n := range f.Notches {
			remarks = append(remarks, fmt.Sprintf("notch %.1f mm deep from %.0f to %.0f", n.Depth, n.From, n.To))
		}
		if len(f.Holes) > 0 {
			remarks = append(remarks, fmt.Sprintf("%d holes", len(f.Holes)))
		}
		for _, n := range f.Narrow {
			remarks = append(remarks, fmt.Sprintf("too narrow by %.1f from %.0f to %.0f", n[2], n[0], n[1]))
		}
		for i, o := range f.Open {
			remarks = append(remarks, fmt.Sprintf("open by %.2f from %.0f to %.0f", o[2], o[0], o[1])+besideText(f, i))
		}
		for _, c := range f.Cuts {
			remarks = append(remarks, cutText(f, c))
		}
		fmt.Fprintf(p.Out, "%-6s %-32s %9.1f %8.2f %8.2f %8.2f %8.2f %8.2f  %s\n", f.ID, strings.Join(f.Panels, " + "), f.Length,
			f.Width.Mean, f.Width.Least, f.Width.Greatest, f.Air.Mean, f.Air.Greatest, strings.Join(remarks, ", "))
	}
	if len(r.Flanges) == 0 && len(r.Panels) == 1 {
		fmt.Fprintln(p.Out, "no candidate: the panel has no strip between a free edge and a bend or another edge")
	} else if len(r.Flanges) == 0 {
		fmt.Fprintln(p.Out, "no flange: the panels do not lie on each other along a strip")
	}
	for _, f := range r.Findings {
		fmt.Fprintln(p.Out, program.FindingLine(f))
	}
}

// besideText says how far an open stretch is open at a side of its strip, where that is more than in the line.
func besideText(f stripResult, i int) string {
	if i >= len(f.Opening) || f.Opening[i].Beside == 0 {
		return ""
	}
	o := f.Opening[i]
	return fmt.Sprintf(" and by %.2f at its side, at %.1f %.1f %.1f", o.Beside, o.At[0], o.At[1], o.At[2])
}

// cutText says that a strip is cut off where its sheets go on facing each other.
func cutText(f stripResult, c cutResult) string {
	if len(f.Unknown) > 0 {
		return fmt.Sprintf("cut off at %.0f, where the meshes come to stand %.2f apart: the sheets go on, state the thickness of %s",
			c.Along, c.Air, strings.Join(f.Unknown, " and "))
	}
	return fmt.Sprintf("cut off at %.0f, where the sheets come to stand %.2f apart, more than clamps close (--clamp-gap)", c.Along, c.Air)
}
