package parts

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
	"seamwright/geometry/outline"
	"seamwright/seams/shell"
)

// The roles of a drawing's layers, as the shell file writes them.
const (
	outlineRole  = "outline"
	weldLineRole = "weld-line"
	holeRole     = "hole"
	keepOutRole  = "keep-out"
	ignoreRole   = "ignore"
)

// readBlank reads the drawing of a flat blank, fills its outline and puts everything in its place.
func (p *Part) readBlank(sh *shell.Shell) error {
	path, opt := sh.Path(p.Panel.Outline), drawing.Options{Unit: sh.UnitOf(p.Panel.Unit), Most: sh.Most}
	read := func() (*drawing.Drawing, error) { return drawing.ReadFile(path, opt) }
	if data, sum, ok := sh.Held(p.Panel.Outline); ok {
		read = func() (*drawing.Drawing, error) { return drawing.ReadHeld(data, sum, path, opt) }
	}
	d, err := read()
	if err != nil {
		return err
	}
	if err := sh.Took(p.Panel.Outline, d.Source); err != nil {
		return err
	}
	p.Drawing = d
	p.Notes = append(p.Notes, d.Notes...)
	byRole, err := p.sortLayers()
	if err != nil {
		return err
	}
	loops, err := p.loops(byRole)
	if err != nil {
		return fmt.Errorf("%s: %w", d.Name, err)
	}
	m, err := outline.Fill(loops)
	if err != nil {
		return fmt.Errorf("%s: %w", d.Name, err)
	}
	m.Name = p.Panel.ID
	p.Sheet.Mesh = m.Placed(p.Panel.Place.Placement())
	p.WeldLines = p.placed(p.chain(byRole[weldLineRole]))
	p.KeepOuts = p.placed(p.chain(byRole[keepOutRole]))
	return nil
}

// sortLayers sorts the drawing's paths by the role of their layer. Without stated layers all are outline; with
// them, a layer that is not stated is left out and said. Layer names differ in more than letter case, as in DXF.
func (p *Part) sortLayers() (map[string][]drawing.Path, error) {
	byRole := map[string][]drawing.Path{}
	if len(p.Panel.Layers) == 0 {
		byRole[outlineRole] = p.Drawing.Paths
		return byRole, nil
	}
	drawn, skipped := map[string]bool{}, map[string]int{}
	for _, path := range p.Drawing.Paths {
		i := slices.IndexFunc(p.Panel.Layers, func(l shell.Layer) bool { return strings.EqualFold(l.Layer, path.Layer) })
		drawn[path.Layer] = true
		if i < 0 {
			skipped[path.Layer]++
			continue
		}
		role := p.Panel.Layers[i].Role
		byRole[role] = append(byRole[role], path)
	}
	names := sortedNames(drawn)
	for _, l := range p.Panel.Layers {
		known := slices.ContainsFunc(names, func(name string) bool { return strings.EqualFold(name, l.Layer) })
		if !known && l.Role != ignoreRole {
			return nil, fmt.Errorf("%s draws nothing on layer %q; its layers are %s", p.Drawing.Name, l.Layer, layerNames(names))
		}
	}
	for _, name := range sortedNames(skipped) {
		p.Notes = append(p.Notes, fmt.Sprintf("layer %s: has no role in the shell file; its %d paths are left out", name, skipped[name]))
	}
	return byRole, nil
}

func sortedNames[V any](m map[string]V) []string {
	out := make([]string, 0, len(m))
	for name := range m {
		out = append(out, name)
	}
	slices.Sort(out)
	return out
}

// chain joins loose entities and notes what could not be joined.
func (p *Part) chain(paths []drawing.Path) []drawing.Path {
	chained, notes := outline.Outlines(paths)
	p.Notes = append(p.Notes, notes...)
	return chained
}

// nearlyClosed is the share of its length that a line's ends may be apart and still be taken for a border that was
// meant to close. Common practice, no source.
const nearlyClosed = 0.05

// loops gives the closed lines that bound the sheet. A line that nearly closes is an error: without it, the sheet
// would miss a hole or its border. Other open lines (dimensions, centre lines) are left out and said.
func (p *Part) loops(byRole map[string][]drawing.Path) ([][]r3.Vector, error) {
	var loops [][]r3.Vector
	open := map[string]int{}
	for _, path := range p.chain(slices.Concat(byRole[outlineRole], byRole[holeRole])) {
		if path.Closed {
			loops = append(loops, outline.Thinned(path.Points))
			continue
		}
		a, b := path.Points[0], path.Points[len(path.Points)-1]
		if gap := a.Distance(b); gap <= nearlyClosed*path.Length {
			return nil, fmt.Errorf("layer %s: a line of %.1f mm is open between %s and %s, its ends are %.3g mm apart; close it in the drawing",
				path.Layer, path.Length, point(a), point(b), gap)
		}
		open[path.Layer]++
	}
	for _, name := range sortedNames(open) {
		p.Notes = append(p.Notes, fmt.Sprintf("layer %s: %d open lines are no outline and are left out; give the layer the role weld-line, "+
			"keep-out or ignore", name, open[name]))
	}
	if len(loops) == 0 {
		return nil, errors.New("there is no closed outline; close the blank's border, or give its layer the role outline")
	}
	return loops, nil
}

func point(v r3.Vector) string { return fmt.Sprintf("(%.3f, %.3f)", v.X, v.Y) }

// placed moves paths to the panel's place.
func (p *Part) placed(paths []drawing.Path) []drawing.Path {
	to := p.Panel.Place.Placement()
	out := make([]drawing.Path, 0, len(paths))
	for _, path := range paths {
		moved := make([]r3.Vector, len(path.Points))
		for i, v := range path.Points {
			moved[i] = to.Apply(v)
		}
		path.Points = moved
		out = append(out, path)
	}
	return out
}
