// Package strip draws marking strips: a flange laid flat at full size on A4 pages, with its weld centres,
// to be cut out, laid along the flange and marked through.
//
//	sheets, err := strip.Sheets(layout.NewIndex(plan), "gutter/1", strip.Options{})
//	for _, s := range sheets {
//		os.WriteFile(s.Name+".svg", s.SVG, 0o644)
//	}
//
// # How a flange is laid flat
//
// The centre line is the weld line, moved to the outer face of the panel that the paper is laid on, for a
// curved flange is longer on its outside than between its sheets. On paper it keeps every length and every
// turn within the sheet (its geodesic curvature) and leaves out how the sheet itself bends. The sides stand
// off it by their distances along the sheet. Lengths along the centre line and distances across it are then
// true; where the sheet is curved both ways no flat strip has true sides, and Distortion says by how much
// they differ.
//
// A closed flange is cut between two welds near the start of its weld line. The same plan gives the same bytes.
package strip

import (
	"bytes"
	"fmt"
	"strings"

	"seamwright/layout"
	"seamwright/render/paper"
)

// Options steer a marking strip.
type Options struct {
	// On is the panel on whose outer face the strip is laid, printed side up: the first or last of the
	// flange's stack. Empty means the last, towards which the normals point.
	On string
	// Hash is that of the plan, to tell whether strip and map belong together; empty leaves it out.
	Hash string
}

// Sheet is one finished page.
type Sheet struct {
	Name   string // file name without extension: "strip-gutter_1-1"
	Number int    // from 1
	Of     int
	SVG    []byte
	Page   *paper.Page
	Pieces int // pieces of the strip on this page
	Welds  int // weld centres on this page, those repeated on tabs left out

	Crowded int // numbers and letters for which no free room was found: 0 on a good page
}

// Sheets draws the marking strip of one flange.
func Sheets(index *layout.Index, flangeID string, opt Options) ([]Sheet, error) {
	f, err := Develop(index, flangeID, opt)
	if err != nil {
		return nil, err
	}
	pieces, err := f.cut()
	if err != nil {
		return nil, fmt.Errorf("strip of flange %s: %w", flangeID, err)
	}
	pages := pack(pieces)
	var out []Sheet
	for i, set := range pages {
		p := f.draw(index.Plan, set, i+1, len(pages), len(pieces) > 1)
		footnote(p, opt.Hash)
		s := Sheet{Name: fmt.Sprintf("strip-%s-%d", fileName(flangeID), i+1), Number: i + 1, Of: len(pages), Page: p, Pieces: len(set)}
		for _, c := range set {
			s.Welds += c.welds()
			s.Crowded += c.crowded
		}
		var b bytes.Buffer
		if err := p.SVG(&b); err != nil {
			return nil, fmt.Errorf("strip of flange %s: %w", flangeID, err)
		}
		s.SVG = b.Bytes()
		out = append(out, s)
	}
	return out, nil
}

// footnote writes the plan's hash, as maps do, under the level check bar.
func footnote(p *paper.Page, hash string) {
	if hash != "" {
		p.Layer("footnote", paper.Style{Fill: paper.Black}).Text(paper.Point{X: rim + roomWide - 5, Y: pageHigh - rim + 3.6}, small, paper.End,
			"Plan "+hash)
	}
}

// find returns the flange of that id; an error lists what there is.
func find(index *layout.Index, id string) (*layout.OfFlange, error) {
	if here := index.Flange(id); here != nil {
		return here, nil
	}
	var ids []string
	for _, f := range index.Plan.Flanges {
		ids = append(ids, f.ID)
	}
	return nil, fmt.Errorf("flange %q is not in the plan: it has %s", id, strings.Join(ids, ", "))
}

// fileName keeps letters, digits, dots, hyphens and underscores of an id.
func fileName(id string) string {
	out := []rune(id)
	for i, r := range out {
		ok := r == '-' || r == '_' || r == '.' && i > 0 || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z'
		if !ok {
			out[i] = '_'
		}
	}
	return string(out)
}
