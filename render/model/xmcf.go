package model

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/layout"
	"seamwright/layout/words"
)

// XMCF writes welds and roller seams in the open joining XML of the automotive research associations:
// extended Master Connection File, xMCF 3.1.1, ISO/PAS 8329:2024. Element and attribute names were read in the
// working group's published schema; the standard's own text was not at hand. Used of it, and nothing else:
//
//	xmcf             version, units, date (where the shell's date of issue is one), connection_group
//	connection_group one for each set of panels, its parts by label: the panel's id
//	connection_0d    one for each spot: label, ident, loc, stacking, spotweld with diameter, technology
//	                 resistance and normal_direction
//	connection_1d    one for each roller seam: label, ident, loc_list, seamweld with i_weld, technology resistance
//
// Assumed, because the schema alone does not say it, and written into the file as a comment:
//
//   - level order 1 is the sheet from which the normal points to the others;
//   - normal_direction is the weld's axis, a unit vector;
//   - v of a loc is the share of the seam's length before it, from 0 to 1; a closed seam ends at its first place;
//   - x, y, z of weld_position is the sheet's normal at the seam's start (u 0), base the first sheet, width the
//     nugget's width by the roller's setting, or that of the wheel's face, left out where neither is known;
//   - a roller lap seam is an i_weld: a weld through the sheets with a width and a gap.
//
// The diameter from which an opened weld is good stands in a comment behind each spot, as the format has no place for it.
//
// Gap is written as 0: rollers weld sheets that lie on each other. What the format has no place for that was
// read (guns, tips, settings, order, tacks) is left out.
func XMCF(w io.Writer, plan *layout.Plan) error {
	if err := usable(plan); err != nil {
		return fmt.Errorf("xMCF: %w", err)
	}
	doc, err := connections(plan)
	if err != nil {
		return fmt.Errorf("xMCF: %w", err)
	}
	var out bytes.Buffer
	out.WriteString(xml.Header)
	e := xml.NewEncoder(&out)
	e.Indent("", "  ")
	if err := e.Encode(doc); err != nil {
		return fmt.Errorf("xMCF: %w", err)
	}
	out.WriteByte('\n')
	if _, err := w.Write(out.Bytes()); err != nil {
		return fmt.Errorf("xMCF: %w", err)
	}
	return nil
}

const xmcfAssumed = ` Welds and roller seams of one shell. Assumed where the schema does not say it: level order 1 is the sheet from
     which the normal points to the others; normal_direction is the unit vector along the electrodes; v is the share
     of the seam's length before the place; a closed seam ends at its first place; weld_position x, y, z is the
     sheet's normal at the start of the seam; a roller lap seam is an i_weld. `

type xmcfDoc struct {
	XMLName xml.Name    `xml:"xmcf"`
	Comment string      `xml:",comment"`
	Units   xmcfUnits   `xml:"units"`
	Date    string      `xml:"date,omitempty"`
	Version string      `xml:"version"`
	Groups  []xmcfGroup `xml:"connection_group"`
}

type xmcfUnits struct {
	Length string `xml:"length,attr"`
	Angle  string `xml:"angle,attr"`
	Mass   string `xml:"mass,attr"`
	Force  string `xml:"force,attr"`
	Time   string `xml:"time,attr"`
}

type xmcfGroup struct {
	ID    int        `xml:"id,attr"`
	Parts []xmcfPart `xml:"connected_to>part"`
	List  xmcfList   `xml:"connection_list"`
	index map[string]int
	label string
}

type xmcfPart struct {
	Index int    `xml:"index,attr"`
	Label string `xml:"label,attr"`
}

type xmcfList struct {
	Spots []xmcfSpot `xml:"connection_0d"`
	Seams []xmcfSeam `xml:"connection_1d"`
}

type xmcfSpot struct {
	Label  string      `xml:"label,attr"`
	Ident  int         `xml:"ident,attr"`
	Loc    string      `xml:"loc"`
	Levels []xmcfLevel `xml:"stacking>level"`
	Weld   struct {
		Diameter   string     `xml:"diameter,attr"`
		Technology string     `xml:"technology,attr"`
		Normal     xmcfVector `xml:"normal_direction"`
	} `xml:"spotweld"`
	Comment string `xml:",comment"`
}

type xmcfLevel struct {
	Order int `xml:"order,attr"`
	Part  int `xml:"part_index,attr"`
}

type xmcfVector struct {
	X string `xml:"x,attr"`
	Y string `xml:"y,attr"`
	Z string `xml:"z,attr"`
}

type xmcfSeam struct {
	Label string    `xml:"label,attr"`
	Ident int       `xml:"ident,attr"`
	Locs  []xmcfLoc `xml:"loc_list>loc"`
	Weld  xmcfIWeld `xml:"seamweld>i_weld"`
}

type xmcfLoc struct {
	V  string `xml:"v,attr"`
	At string `xml:",chardata"`
}

type xmcfIWeld struct {
	Base       int    `xml:"base,attr"`
	Technology string `xml:"technology,attr"`
	Position   struct {
		U      string `xml:"u,attr"`
		X      string `xml:"x,attr"`
		Y      string `xml:"y,attr"`
		Z      string `xml:"z,attr"`
		Width  string `xml:"width,attr,omitempty"`
		Filler string `xml:"filler,attr"`
	} `xml:"weld_position"`
	Sheets []xmcfSheet `xml:"sheet_parameter"`
}

type xmcfSheet struct {
	Index     int    `xml:"index,attr"`
	Gap       string `xml:"gap,attr"`
	Thickness string `xml:"sheet_thickness,attr"`
}

var isDate = regexp.MustCompile(`^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$`)

// connections sorts welds and seams by the panels that they join.
func connections(plan *layout.Plan) (*xmcfDoc, error) {
	doc := &xmcfDoc{Comment: xmcfAssumed, Version: "3.1.1", Units: xmcfUnits{"mm", "deg", "kg", "N", "s"}}
	if isDate.MatchString(plan.Shell.Issued) {
		doc.Date = plan.Shell.Issued
	}
	index, ident := layout.NewIndex(plan), 0
	for _, w := range plan.Welds {
		if len(w.Sheets) < 2 {
			return nil, fmt.Errorf("%s joins %d sheets: it needs two or more", name(w), len(w.Sheets))
		}
		g, err := doc.group(w.Sheets)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name(w), err)
		}
		ident++
		s, err := spotOf(w, g, ident)
		if err != nil {
			return nil, err
		}
		g.List.Spots = append(g.List.Spots, s)
	}
	for _, r := range plan.Seams {
		here := index.Flange(r.Flange)
		if here == nil || len(here.Flange.Panels) < 2 {
			return nil, fmt.Errorf("roller seam %s: flange %q with two sheets or more is not in the plan", r.ID, r.Flange)
		}
		g, err := doc.group(here.Flange.Panels)
		if err != nil {
			return nil, fmt.Errorf("roller seam %s: %w", r.ID, err)
		}
		ident++
		s, err := seamOf(index, r, here.Flange.Panels, g, ident)
		if err != nil {
			return nil, fmt.Errorf("roller seam %s: %w", r.ID, err)
		}
		g.List.Seams = append(g.List.Seams, s)
	}
	return doc, nil
}

// group finds or makes the group of a set of panels; its parts stand in the order of the stack that came first.
func (d *xmcfDoc) group(panels []string) (*xmcfGroup, error) {
	label := strings.Join(slices.Sorted(slices.Values(panels)), "\x00")
	for i := range d.Groups {
		if d.Groups[i].label == label {
			return &d.Groups[i], nil
		}
	}
	g := xmcfGroup{ID: len(d.Groups) + 1, index: map[string]int{}, label: label}
	for i, p := range panels {
		if p == "" || g.index[p] > 0 {
			return nil, fmt.Errorf("sheets %s: every sheet must be a panel of its own", strings.Join(panels, ", "))
		}
		g.index[p] = i + 1
		g.Parts = append(g.Parts, xmcfPart{i + 1, p})
	}
	d.Groups = append(d.Groups, g)
	return &d.Groups[len(d.Groups)-1], nil
}

func spotOf(w layout.Weld, g *xmcfGroup, ident int) (xmcfSpot, error) {
	s := xmcfSpot{Label: name(w), Ident: ident, Loc: loc(w.Position.R3())}
	if !(w.WeldDiameter > 0) {
		return s, fmt.Errorf("%s: weld diameter %v mm: the format wants one above zero", name(w), w.WeldDiameter)
	}
	for i, p := range w.Sheets {
		s.Levels = append(s.Levels, xmcfLevel{i + 1, g.index[p]})
	}
	s.Weld.Diameter, s.Weld.Technology = words.Number(w.WeldDiameter, 3), "resistance"
	if w.Accepted > 0 { // the format has no place for it
		s.Comment = fmt.Sprintf(" peeled or chiselled it is good from %s mm ", words.Number(w.Accepted, 2))
	}
	s.Weld.Normal = xmcfVector{words.Number(w.Axis[0], 6), words.Number(w.Axis[1], 6), words.Number(w.Axis[2], 6)}
	return s, nil
}

func seamOf(index *layout.Index, r layout.Seam, stack []string, g *xmcfGroup, ident int) (xmcfSeam, error) {
	s := xmcfSeam{Label: r.ID, Ident: ident}
	points := make([]r3.Vector, 0, len(r.Path)+1)
	for _, p := range r.Path {
		points = append(points, p.R3())
	}
	if r.Closed {
		points = append(points, points[0])
	}
	line := curve.New(points, false)
	if !(line.Length() > 0) {
		return s, errors.New("all points of its path are one")
	}
	for i, p := range points {
		l := xmcfLoc{words.Number(line.Sum(i)/line.Length(), 8), loc(p)}
		if n := len(s.Locs); n > 0 && s.Locs[n-1].V == l.V {
			continue // v is unique; places this near are one
		}
		s.Locs = append(s.Locs, l)
	}
	s.Weld.Base, s.Weld.Technology = g.index[stack[0]], "resistance"
	p := &s.Weld.Position
	p.U, p.Filler = "0", "no"
	if w := seamWidth(index, r); w > 0 {
		p.Width = words.Number(w, 3)
	}
	if len(r.Normals) == 0 || !finite(r.Normals[0]) {
		return s, errors.New("it has no sheet normal at its start: plan the shell again")
	}
	p.X, p.Y, p.Z = words.Number(r.Normals[0][0], 6), words.Number(r.Normals[0][1], 6), words.Number(r.Normals[0][2], 6)
	for _, id := range stack[1:] {
		s.Weld.Sheets = append(s.Weld.Sheets, xmcfSheet{g.index[id], "0", words.Number(index.Panel(id).Thickness, 3)})
	}
	return s, nil
}

// seamWidth is the nugget's width by the seam's setting, else that of the wheel's face.
func seamWidth(index *layout.Index, r layout.Seam) float64 {
	s, _ := index.Setting(r.Setting)
	if s.Nugget > 0 {
		return s.Nugget
	}
	return s.Wheel
}

func loc(p r3.Vector) string {
	return words.Number(p.X, 4) + " " + words.Number(p.Y, 4) + " " + words.Number(p.Z, 4)
}
