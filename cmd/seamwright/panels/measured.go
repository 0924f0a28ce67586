package panels

import (
	"context"
	"fmt"
	"strconv"

	"seamwright/cmd/seamwright/program"
	"seamwright/geometry/flange"
	"seamwright/geometry/near"
	"seamwright/geometry/solid"
	"seamwright/geometry/space"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/unjoined"
	"seamwright/seams/rule"
)

// statedSheet is what the flags thickness and surface say of a panel; nothing where they are empty.
func statedSheet(thickness, surface string) (flange.Sheet, error) {
	s := flange.Sheet{Surface: flange.Surface(surface)}
	switch s.Surface {
	case "", flange.Mid, flange.Skin, flange.Solid:
	default:
		return s, fmt.Errorf("--surface %s: write mid, skin or solid", surface)
	}
	if thickness == "" {
		return s, nil
	}
	var err error
	s.Thickness, err = strconv.ParseFloat(thickness, 64)
	if err != nil || !(s.Thickness > 0) || s.Thickness > 50 {
		return s, fmt.Errorf("--thickness %s: write millimetres, such as 0.9,1.2; leave empty what is not known: 0.9,,1.2", thickness)
	}
	return s, nil
}

// measureSheet fills in what nobody said of a panel: one whose mesh is closed and as thin as sheet is a solid, any other is
// at mid-surface; of a solid the thickness is measured. What was taken is said.
func measureSheet(s *flange.Sheet) (notes []string) {
	if s.Surface != "" && (s.Surface != flange.Solid || s.Thickness > 0) {
		return nil
	}
	thick, ok := solid.Thickness(near.NewShape(s.Mesh))
	if s.Surface == "" {
		if s.Surface = flange.Mid; ok {
			s.Surface = flange.Solid
			notes = append(notes, "read as solid, since its mesh is closed and as thin as sheet: say otherwise with --surface")
		}
	}
	if ok && s.Thickness == 0 && s.Surface == flange.Solid {
		s.Thickness = program.Rounded(thick, 1e3)
		notes = append(notes, fmt.Sprintf("measured %.3g mm thick: say otherwise with --thickness", s.Thickness))
	}
	return notes
}

// judgeSheets is what is to be said of panels of which there is no shell file, by the default rule book.
func judgeSheets(ctx context.Context, sheets []flange.Sheet, found *flange.Found, unit string) ([]layout.Finding, error) {
	read, _ := space.ParseUnit(unit) // refused before the sheets were read, where it is none
	panels := make([]unjoined.Panel, len(sheets))
	for i, s := range sheets {
		panels[i] = unjoined.Panel{ID: s.Name, Sheet: s, Shape: near.NewShape(s.Mesh), Unit: read}
	}
	var out []layout.Finding
	var err error
	if by := finding.By(rule.Book()); len(panels) == 1 { // its candidates lie on nothing
		out = unjoined.Scans(panels, found, by)
	} else {
		out, err = unjoined.Judge(ctx, panels, found, nil, by)
	}
	layout.SortFindings(out)
	return append([]layout.Finding{}, out...), err
}
