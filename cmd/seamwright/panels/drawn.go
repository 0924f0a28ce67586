package panels

import (
	"context"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/cmd/seamwright/program"
	"seamwright/geometry/drawing"
	"seamwright/geometry/drawn"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/outline"
	"seamwright/geometry/space"
	"seamwright/layout"
	"seamwright/seams/draft"
)

func isDrawing(file string) bool {
	ending := strings.ToLower(filepath.Ext(file))
	return ending == ".dxf" || ending == ".csv"
}

// drawnFlanges finds the weld lines of the strips in one drawing.
func drawnFlanges(ctx context.Context, p *program.Call, file string, unit space.Unit, call flangesCall) (flangesResult, []string, error) {
	read, err := drawing.ReadFile(file, drawing.Options{Unit: unit, Most: p.Most})
	if err != nil {
		return flangesResult{}, nil, program.BadInput(err)
	}
	result := flangesResult{Units: "mm", Panels: []panelResult{}, Flanges: []stripResult{}, Small: []smallResult{}, Near: []nearResult{},
		Findings: []layout.Finding{}}
	found, notes, faults, err := drawn.Flanges(ctx, onLayer(read.Paths, call.layer), drawn.Drawing{Width: call.width}, flange.Options{})
	if err != nil {
		return flangesResult{}, nil, err
	}
	const mostFaults = 20
	if more := len(faults) - mostFaults; more > 0 {
		faults = append(faults[:mostFaults], fmt.Sprintf("and %d more that give no weld line", more))
	}
	notes = slices.Concat(read.Notes, notes, faults)
	if len(found) == 0 {
		return result, notes, program.Wrong("file %s: no strip or weld line is in it: %s", file, strings.Join(notes, "; "))
	}
	for _, f := range found {
		result.Flanges = append(result.Flanges, stripOf(f.Flange, []string{f.Layer}, call.need))
		for _, h := range f.Holes {
			notes = append(notes, fmt.Sprintf("flange %s: a hole about %.4g mm across at (%.3f, %.3f) is in it", f.ID, 2*h.Radius, h.Center.X,
				h.Center.Y))
		}
	}
	return result, notes, nil
}

// onLayer are the paths of one layer, or all of them when none is named.
func onLayer(paths []drawing.Path, layer string) []drawing.Path {
	if layer == "" {
		return paths
	}
	return slices.DeleteFunc(slices.Clone(paths), func(p drawing.Path) bool { return !strings.EqualFold(p.Layer, layer) })
}

// readBlank reads a flat blank from its drawing.
func readBlank(p *program.Call, file string, unit space.Unit, layer string) (*mesh.Mesh, []string, error) {
	read, err := drawing.ReadFile(file, drawing.Options{Unit: unit, Most: p.Most})
	if err != nil {
		return nil, nil, err
	}
	m, notes, err := blankOf(read, layer)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", file, err)
	}
	return m, append(read.Notes, notes...), nil
}

// blankOf fills what a drawing encloses: the closed lines of the layer named or, when none is, of all layers that by
// their names draw sheet or holes. What is left out is noted.
func blankOf(read *drawing.Drawing, layer string) (*mesh.Mesh, []string, error) {
	var wanted []drawing.Path
	aside := map[string]int{}
	for _, p := range onLayer(read.Paths, layer) {
		if role := draft.LayerRole(p.Layer); layer == "" && role != "outline" && role != "hole" {
			aside[p.Layer]++
			continue
		}
		wanted = append(wanted, p)
	}
	paths, notes := outline.Outlines(wanted)
	var loops [][]r3.Vector
	open := map[string]int{}
	for _, p := range paths {
		if p.Closed {
			loops = append(loops, outline.Thinned(p.Points))
		} else {
			open[p.Layer]++
		}
	}
	for _, of := range []struct {
		counts map[string]int
		what   string
	}{{aside, "lines that by the layer's name are no outline"}, {open, "open lines"}} {
		for _, name := range slices.Sorted(maps.Keys(of.counts)) {
			notes = append(notes, fmt.Sprintf("layer %s: %d %s are left out", name, of.counts[name], of.what))
		}
	}
	m, err := outline.Fill(loops)
	if err != nil {
		return nil, nil, fmt.Errorf("%w%s", err, because(notes))
	}
	return m, notes, nil
}

// because adds to an error what was noted before it.
func because(notes []string) string {
	if len(notes) == 0 {
		return ""
	}
	return " (" + strings.Join(notes, "; ") + ")"
}
