package panels

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/geometry/drawing"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
	"seamwright/internal/fileset"
	"seamwright/layout"
	"seamwright/seams/draft"
)

// New makes the command new.
func New(p *program.Call) *cobra.Command {
	var call FromFolder
	c := &cobra.Command{
		Use:   "new DIR",
		Short: "Write a shell file for a folder of panels, with the joints found",
		Args:  program.Count(1, 1, "one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if call.Dir = args[0]; call.File == "" {
				call.File = filepath.Join(call.Dir, "shell.yaml")
			}
			to, err := p.Destination(call.File, "a shell file", ".yaml", ".yml")
			if err != nil {
				return err
			}
			if _, err := space.ParseUnit(call.Unit); err != nil {
				return program.Wrong("--unit: %w", err)
			}
			if _, err := os.Stat(call.File); err == nil && !call.force {
				return extend(c.Context(), p, call, to)
			}
			sketch, findings, err := Sketch(c.Context(), p, call)
			if err != nil {
				return err
			}
			text, err := draft.Of(sketch)
			if err != nil {
				return program.BadInput(err)
			}
			if err := p.Put(to, []byte(text)); err != nil {
				return err
			}
			fmt.Fprintf(p.Out, "%s: %s, %s found\n", call.File, program.Many(len(sketch.Panels), "panel"), program.Many(len(sketch.Joints), "joint"))
			sketchText(p, sketch.Joints, findings)
			fmt.Fprintf(p.Out, "check what is marked CHECK in it, then: seamwright plan %s\n", call.File)
			return program.VerdictOf(findings, "see above; the file is written all the same")
		},
	}
	f := c.Flags()
	f.StringVar(&call.Unit, "unit", "", "unit of the files: mm, cm, m, inch or foot")
	f.StringVar(&call.surface, "surface", "", "what the meshes are: mid, skin or solid; one for all or one for each file by its "+
		"name; left out: solid where a mesh is closed and as thin as sheet, else mid")
	f.StringVar(&call.Thickness, "thickness", "", "sheet thickness in mm, one for all or one for each file by its name; left out or empty: "+
		"measured on a closed mesh, else assumed and marked CHECK")
	f.StringVarP(&call.File, "output", "o", "", "shell file to write; default: shell.yaml in the folder")
	f.BoolVar(&call.force, "force", false, "write over a shell file that is there instead of adding what is new to it")
	return c
}

// FromFolder is one call of new.
type FromFolder struct {
	Dir, File, Unit, surface, Thickness string
	force                               bool
}

// sketchText lists joints found and what is to be said of the panels.
func sketchText(p *program.Call, joints []draft.Joint, findings []layout.Finding) {
	for _, j := range joints {
		fmt.Fprintf(p.Out, "  %-48s %-10s %8.0f mm long, %5.1f mm wide\n", strings.Join(j.Panels, " + "), program.Many(j.Flanges, "flange"),
			j.Length,
			j.Width)
	}
	for _, f := range findings {
		fmt.Fprintln(p.Out, program.FindingLine(f))
	}
}

// Sketch reads every panel of the folder and finds the joints between them. Of sheets whose thickness is not known what lies
// within a few millimetres and parallel counts.
func Sketch(ctx context.Context, p *program.Call, call FromFolder) (draft.Sketch, []layout.Finding, error) {
	files, err := panelFiles(call.Dir)
	if err != nil {
		return draft.Sketch{}, nil, program.BadInput(err)
	}
	absolute, err := filepath.Abs(call.Dir)
	if err != nil {
		return draft.Sketch{}, nil, program.BadInput(err)
	}
	out := draft.Sketch{Name: filepath.Base(absolute), Unit: call.Unit}
	var sheets []flange.Sheet
	if out.Panels, sheets, err = sketchPanels(p, call, files, draft.IDs(files)); err != nil {
		return draft.Sketch{}, nil, program.BadInput(err)
	}
	found, err := findAmong(ctx, p, sheets)
	if err != nil {
		return draft.Sketch{}, nil, err
	}
	out.Joints = sketchJoints(found, names(sheets))
	said, err := judgeSheets(ctx, sheets, found, call.Unit)
	return out, said, err
}

func names(sheets []flange.Sheet) []string {
	out := make([]string, len(sheets))
	for i, s := range sheets {
		out[i] = s.Name
	}
	return out
}

func findAmong(ctx context.Context, p *program.Call, sheets []flange.Sheet) (*flange.Found, error) {
	b := p.Bar()
	defer b.Clear()
	show := func(done, total int) { b.Show("find flanges", done, total) }
	return flange.Find(ctx, sheets, flange.Options{Workers: p.Workers, Progress: show})
}

// sketchPanels reads files of the folder, and measures what the flags leave open.
func sketchPanels(p *program.Call, call FromFolder, files, ids []string) ([]draft.Panel, []flange.Sheet, error) {
	unit, err := space.ParseUnit(call.Unit)
	if err != nil {
		return nil, nil, err
	}
	thickness, err := perPanel(call.Thickness, len(files), "thickness")
	if err != nil {
		return nil, nil, err
	}
	surface, err := perPanel(call.surface, len(files), "surface")
	if err != nil {
		return nil, nil, err
	}
	panels, sheets := make([]draft.Panel, len(files)), make([]flange.Sheet, len(files))
	for i, name := range files {
		if sheets[i], err = statedSheet(thickness[i], surface[i]); err != nil {
			return nil, nil, err
		}
		path := filepath.Join(call.Dir, name)
		panel, m, notes, err := sketchPanel(p, path, unit)
		if err != nil {
			return nil, nil, err
		}
		panel.How = "as --thickness says"
		if sheets[i].Thickness == 0 {
			panel.How = "measured on the mesh"
		}
		sheets[i].Name, sheets[i].Mesh = ids[i], m
		for _, n := range append(notes, measureSheet(&sheets[i])...) {
			p.Warn("note: panel %s: %s", ids[i], n)
		}
		from, err := filepath.Rel(filepath.Dir(call.File), path)
		if err != nil {
			from = path
		}
		panel.ID, panel.File, panel.Surface, panel.Thickness = ids[i], filepath.ToSlash(from), string(sheets[i].Surface), sheets[i].Thickness
		panels[i] = panel
	}
	return panels, sheets, nil
}

// panelFiles lists the STL and DXF files of a folder by name. CSV files are left out: a folder may hold
// tables that are no panels.
func panelFiles(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("folder %s: %w: name a folder of STL or DXF files", dir, fileset.Plain(err))
	}
	var out []string
	for _, e := range entries {
		switch strings.ToLower(filepath.Ext(e.Name())) {
		case ".stl", ".dxf":
			if !e.IsDir() {
				out = append(out, e.Name())
			}
		}
	}
	slices.Sort(out)
	if len(out) == 0 {
		return nil, fmt.Errorf("folder %s: there is no STL or DXF file in it: put the panels' files there", dir)
	}
	return out, nil
}

func sketchPanel(p *program.Call, path string, unit space.Unit) (panel draft.Panel, m *mesh.Mesh, notes []string, err error) {
	if isDrawing(path) {
		panel, m, notes, err = sketchBlank(p, path, unit)
	} else if m, notes, err = mesh.ReadFile(path, mesh.Options{Unit: unit, Unsummed: true}); err == nil {
		panel.Triangles = len(m.Triangles)
	}
	if err == nil {
		size := m.Box().Size()
		panel.Size = [3]float64{size.X, size.Y, size.Z}
	}
	return panel, m, notes, err
}

func sketchJoints(found *flange.Found, ids []string) []draft.Joint {
	var out []draft.Joint
	for _, f := range found.Flanges {
		if f.Patch || f.Hem { // neither is welded unless a joint asks for it
			continue
		}
		var panels []string
		for _, s := range f.Sheets {
			panels = append(panels, ids[s])
		}
		slices.Sort(panels)
		panels = slices.Compact(panels) // a panel that lies on both sides of another is one panel of the joint
		at := slices.IndexFunc(out, func(j draft.Joint) bool { return slices.Equal(j.Panels, panels) })
		if at < 0 {
			at = len(out)
			out = append(out, draft.Joint{Panels: panels})
		}
		j := &out[at]
		j.Width = (j.Width*j.Length + f.Width.Mean*f.Length) / (j.Length + f.Length)
		j.Flanges, j.Length, j.Closed = j.Flanges+1, j.Length+f.Length, j.Closed || f.Closed
	}
	return out
}

// sketchBlank reads a drawing: its closed outlines are the blank.
func sketchBlank(p *program.Call, path string, unit space.Unit) (draft.Panel, *mesh.Mesh, []string, error) {
	read, err := drawing.ReadFile(path, drawing.Options{Unit: unit, Most: p.Most})
	if err != nil {
		return draft.Panel{}, nil, nil, err
	}
	panel := draft.Panel{}
	for _, path := range read.Paths {
		if !slices.Contains(panel.Layers, path.Layer) {
			panel.Layers = append(panel.Layers, path.Layer)
		}
	}
	m, notes, err := blankOf(read, "")
	if err != nil {
		return panel, nil, nil, fmt.Errorf("%s: %w", path, err)
	}
	return panel, m, append(read.Notes, notes...), nil
}
