package panels

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"seamwright/cmd/seamwright/program"
	"seamwright/geometry/flange"
	"seamwright/internal/fileset"
	"seamwright/seams/draft"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// extend adds to a shell file the panels of the folder that it does not name, and the joints that are found and that it does
// not state. What stands in it stays as it is.
func extend(ctx context.Context, p *program.Call, call FromFolder, to program.Destination) error {
	sh, _, err := shellfile.Read(call.File, nil)
	if err != nil {
		return program.BadInput(fmt.Errorf("%w\n%s is there already and cannot be added to as it is: mend it, name another file with -o, or add "+
			"--force to write over it", err, call.File))
	}
	loaded, err := parts.Load(ctx, sh, p.Workers, nil)
	if err != nil {
		return program.BadInput(err)
	}
	panels, sheets, err := newPanels(p, call, sh)
	if err != nil {
		return program.BadInput(err)
	}
	var all []flange.Sheet
	for _, part := range loaded {
		s := part.Sheet
		s.Name = part.Panel.ID
		all = append(all, s)
	}
	all = append(all, sheets...)
	found, err := findAmong(ctx, p, all)
	if err != nil {
		return err
	}
	var joints []draft.Joint
	each := sketchJoints(found, names(all))
	if len(sh.Joints) > 0 {
		joints = slices.DeleteFunc(slices.Clone(each), func(j draft.Joint) bool { return stated(sh, j) })
	}
	if err := writeExtended(p, call, to, sh, panels, joints, each); err != nil {
		return err
	}
	findings, err := judgeSheets(ctx, all, found, call.Unit)
	if err != nil {
		return err
	}
	sketchText(p, joints, findings)
	return program.VerdictOf(findings, "see above")
}

func writeExtended(p *program.Call, call FromFolder, to program.Destination, sh *shell.Shell, panels []draft.Panel, joints,
	all []draft.Joint) error {
	if len(panels)+len(joints) == 0 {
		fmt.Fprintf(p.Out, "%s: nothing to add: it names every panel of the folder and every joint found\n", call.File)
		return nil
	}
	was, err := os.ReadFile(call.File)
	if err != nil {
		return program.BadInput(fmt.Errorf("file %s: %w", call.File, fileset.Plain(err)))
	}
	text, err := draft.Extend(was, addition(sh, panels, joints, all))
	if err != nil {
		return program.BadInput(fmt.Errorf("file %s: %w", call.File, err))
	}
	if !bytes.Equal(was, text) {
		if err := p.Put(to, text); err != nil {
			return err
		}
	}
	fmt.Fprintf(p.Out, "%s: %s and %s added; check what is marked CHECK\n", call.File, program.Many(len(panels), "panel"),
		program.Many(len(joints), "joint"))
	for _, panel := range panels {
		fmt.Fprintf(p.Out, "  panel %s from %s\n", panel.ID, panel.File)
	}
	return nil
}

// addition is what is added, each panel at the station of a panel that it lies on, else at the last; where something else
// leaves that station it is a part of it too.
func addition(sh *shell.Shell, panels []draft.Panel, joints, all []draft.Joint) draft.Addition {
	out := draft.Addition{Panels: panels, Joints: joints, Arrivals: map[string][]string{}, Parts: map[string][]string{}}
	for _, p := range panels {
		if len(sh.Stations) == 0 {
			break
		}
		station := sh.Stations[len(sh.Stations)-1]
		for _, s := range sh.Stations {
			if slices.ContainsFunc(all, func(j draft.Joint) bool { return slices.Contains(j.Panels, p.ID) && meets(s.Arrives, j.Panels) }) {
				station = s
				break
			}
		}
		out.Arrivals[station.ID] = append(out.Arrivals[station.ID], p.ID)
		if station.Makes != "" {
			out.Parts[station.Makes] = append(out.Parts[station.Makes], p.ID)
		}
	}
	return out
}

func meets(a, b []string) bool {
	return slices.ContainsFunc(a, func(x string) bool { return slices.Contains(b, x) })
}

// newPanels are the files of the folder that the shell file does not name, with ids and steels that go with it.
func newPanels(p *program.Call, call FromFolder, sh *shell.Shell) ([]draft.Panel, []flange.Sheet, error) {
	files, err := panelFiles(call.Dir)
	if err != nil {
		return nil, nil, err
	}
	files = slices.DeleteFunc(files, func(name string) bool { return named(sh, filepath.Join(call.Dir, name)) })
	if len(files) == 0 {
		return nil, nil, nil
	}
	ids := draft.IDs(files)
	for i, id := range ids {
		for n := 2; taken(sh, ids[i]) || slices.Contains(ids[:i], ids[i]); n++ {
			ids[i] = fmt.Sprintf("%s-%d", id, n)
		}
	}
	panels, sheets, err := sketchPanels(p, call, files, ids)
	if err != nil {
		return nil, nil, err
	}
	for i := range panels {
		panels[i].Unit = call.Unit
		panels[i].Steel, panels[i].How = nearestSteel(sh, panels[i])
	}
	return panels, sheets, nil
}

// named reports whether a panel of the shell is read from a file.
func named(sh *shell.Shell, path string) bool {
	same := func(name string) bool {
		if name == "" {
			return false
		}
		a, err := os.Stat(sh.Path(name))
		b, other := os.Stat(path)
		return err == nil && other == nil && os.SameFile(a, b)
	}
	return slices.ContainsFunc(sh.Panels, func(p shell.Panel) bool { return same(p.Mesh) || same(p.Outline) }) ||
		slices.ContainsFunc(sh.Joints, func(j shell.Joint) bool { return same(j.WeldLine.File) })
}

func taken(sh *shell.Shell, id string) bool {
	return slices.ContainsFunc(sh.Panels, func(p shell.Panel) bool { return strings.EqualFold(p.ID, id) }) ||
		slices.ContainsFunc(sh.Subassemblies, func(s shell.Subassembly) bool { return strings.EqualFold(s.ID, id) })
}

// stated reports whether a joint of the shell owns flanges of the panels: one of them all, or of more.
func stated(sh *shell.Shell, j draft.Joint) bool {
	return slices.ContainsFunc(sh.Joints, func(have shell.Joint) bool {
		return !slices.ContainsFunc(j.Panels, func(id string) bool { return !slices.Contains(have.Panels, id) })
	})
}

// nearestSteel is the steel of the shell whose thickness is nearest to a panel's, and why.
func nearestSteel(sh *shell.Shell, p draft.Panel) (id, how string) {
	if len(sh.Steels) == 0 {
		return "sheet", "the file has no steel"
	}
	best := sh.Steels[0]
	if p.Thickness == 0 {
		return best.ID, "assumed, the thickness is not known"
	}
	for _, s := range sh.Steels {
		if math.Abs(s.Thickness-p.Thickness) < math.Abs(best.Thickness-p.Thickness) {
			best = s
		}
	}
	return best.ID, fmt.Sprintf("the nearest to the %g mm %s", p.Thickness, p.How)
}
