package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/geometry/drawing"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
	"seamwright/seams/shell"
)

func (p *program) newShell() *cobra.Command {
	var unit, file string
	var force bool
	c := &cobra.Command{
		Use:   "new DIR",
		Short: "Write a shell file for a folder of panels, with the joints found",
		Args:  count(1, 1, "one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			if file == "" {
				file = filepath.Join(args[0], "shell.yaml")
			}
			if _, err := os.Stat(file); err == nil && !force {
				return inputError{fmt.Errorf("%s is there already: name another file with -o, or add --force to write over it", file)}
			}
			to, err := p.destination(file, "a shell file", ".yaml", ".yml")
			if err != nil {
				return err
			}
			sketch, err := p.sketch(c.Context(), args[0], filepath.Dir(file), unit)
			if err != nil {
				return err
			}
			text, err := shell.Draft(sketch)
			if err != nil {
				return badInput(err)
			}
			if err := p.put(to, []byte(text)); err != nil {
				return err
			}
			fmt.Fprintf(p.out, "%s: %s, %s found\n", file, many(len(sketch.Panels), "panel"), many(len(sketch.Joints), "joint"))
			for _, j := range sketch.Joints {
				fmt.Fprintf(p.out, "  %-48s %-10s %8.0f mm long, %5.1f mm wide\n", strings.Join(j.Panels, " + "), many(j.Flanges, "flange"), j.Length,
					j.Width)
			}
			fmt.Fprintf(p.out, "check what is marked CHECK in it, then: seamwright plan %s\n", file)
			return nil
		},
	}
	c.Flags().StringVar(&unit, "unit", "", "unit of the files: mm, cm, m, inch or foot")
	c.Flags().StringVarP(&file, "output", "o", "", "shell file to write; default: shell.yaml in the folder")
	c.Flags().BoolVar(&force, "force", false, "write over a shell file that is there")
	return c
}

// sketch reads every panel of the folder and finds the joints between them. Thicknesses are not known yet,
// so what lies within a few millimetres and parallel counts.
func (p *program) sketch(ctx context.Context, dir, home, unitName string) (shell.Sketch, error) {
	unit, err := space.ParseUnit(unitName)
	if err != nil {
		return shell.Sketch{}, badInput(err)
	}
	files, err := panelFiles(dir)
	if err != nil {
		return shell.Sketch{}, badInput(err)
	}
	absolute, err := filepath.Abs(dir)
	if err != nil {
		return shell.Sketch{}, badInput(err)
	}
	out := shell.Sketch{Name: filepath.Base(absolute), Unit: unitName}
	var sheets []flange.Sheet
	ids := shell.IDs(files)
	for i, name := range files {
		path := filepath.Join(dir, name)
		from, err := filepath.Rel(home, path)
		if err != nil {
			from = path
		}
		panel, m, notes, err := sketchPanel(path, unit)
		if err != nil {
			return shell.Sketch{}, badInput(err)
		}
		for _, n := range notes {
			p.warn("note: panel %s: %s", ids[i], n)
		}
		panel.ID, panel.File = ids[i], filepath.ToSlash(from)
		out.Panels = append(out.Panels, panel)
		sheets = append(sheets, flange.Sheet{Name: ids[i], Mesh: m})
	}
	b := p.bar()
	defer b.clear()
	found, err := flange.Find(ctx, sheets, flange.Options{Workers: p.workers, Progress: func(done, total int) {
		b.show("find flanges", done,
			total)
	}})
	if err != nil {
		return shell.Sketch{}, err
	}
	out.Joints = sketchJoints(found, ids)
	return out, nil
}

// panelFiles lists the STL and DXF files of a folder by name. CSV files are left out: a folder may hold
// tables that are no panels.
func panelFiles(dir string) ([]string, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, fmt.Errorf("folder %s: %w: name a folder of STL or DXF files", dir, plain(err))
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

func sketchPanel(path string, unit space.Unit) (panel shell.SketchPanel, m *mesh.Mesh, notes []string, err error) {
	if isDrawing(path) {
		panel, m, notes, err = sketchBlank(path, unit)
	} else if m, notes, err = mesh.ReadFile(path, mesh.Options{Unit: unit}); err == nil {
		panel.Triangles = len(m.Triangles)
	}
	if err == nil {
		size := m.Box().Size()
		panel.Size = [3]float64{size.X, size.Y, size.Z}
	}
	return panel, m, notes, err
}

func sketchJoints(found *flange.Found, ids []string) []shell.SketchJoint {
	var out []shell.SketchJoint
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
		at := slices.IndexFunc(out, func(j shell.SketchJoint) bool { return slices.Equal(j.Panels, panels) })
		if at < 0 {
			at = len(out)
			out = append(out, shell.SketchJoint{Panels: panels})
		}
		j := &out[at]
		j.Width = (j.Width*j.Length + f.Width.Mean*f.Length) / (j.Length + f.Length)
		j.Flanges, j.Length, j.Closed = j.Flanges+1, j.Length+f.Length, j.Closed || f.Closed
	}
	return out
}

// sketchBlank reads a drawing: its closed outlines are the blank.
func sketchBlank(path string, unit space.Unit) (shell.SketchPanel, *mesh.Mesh, []string, error) {
	read, err := drawing.ReadFile(path, drawing.Options{Unit: unit})
	if err != nil {
		return shell.SketchPanel{}, nil, nil, err
	}
	panel := shell.SketchPanel{}
	for _, p := range read.Paths {
		if !slices.Contains(panel.Layers, p.Layer) {
			panel.Layers = append(panel.Layers, p.Layer)
		}
	}
	m, notes, err := blankOf(read, "")
	if err != nil {
		return panel, nil, nil, fmt.Errorf("%s: %w", path, err)
	}
	return panel, m, append(read.Notes, notes...), nil
}
