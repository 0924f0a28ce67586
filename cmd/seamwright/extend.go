package main

import (
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"seamwright/geometry/flange"
	"seamwright/seams/draft"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

// extend adds to a shell file the panels of the folder that it does not name, and the joints that are found and that it does
// not state. What stands in it stays as it is.
func (p *program) extend(ctx context.Context, call newCall, to destination) error {
	sh, _, err := shellfile.Read(call.file, nil)
	if err != nil {
		return badInput(fmt.Errorf("%w\n%s is there already and cannot be added to as it is: mend it, name another file with -o, or add "+
			"--force to write over it", err, call.file))
	}
	loaded, err := parts.Load(ctx, sh, p.workers, nil)
	if err != nil {
		return badInput(err)
	}
	panels, sheets, err := p.newPanels(call, sh)
	if err != nil {
		return badInput(err)
	}
	var all []flange.Sheet
	for _, part := range loaded {
		s := part.Sheet
		s.Name = part.Panel.ID
		all = append(all, s)
	}
	all = append(all, sheets...)
	found, err := p.findAmong(ctx, all)
	if err != nil {
		return err
	}
	var joints []draft.Joint
	each := sketchJoints(found, names(all))
	if len(sh.Joints) > 0 {
		joints = slices.DeleteFunc(slices.Clone(each), func(j draft.Joint) bool { return stated(sh, j) })
	}
	if err := p.writeExtended(call, to, sh, panels, joints, each); err != nil {
		return err
	}
	findings, err := judgeSheets(ctx, all, found, call.unit)
	if err != nil {
		return err
	}
	p.sketchText(joints, findings)
	return verdictOf(findings, "see above")
}

func (p *program) writeExtended(call newCall, to destination, sh *shell.Shell, panels []draft.Panel, joints,
	all []draft.Joint) error {
	if len(panels)+len(joints) == 0 {
		fmt.Fprintf(p.out, "%s: nothing to add: it names every panel of the folder and every joint found\n", call.file)
		return nil
	}
	was, err := os.ReadFile(call.file)
	if err != nil {
		return badInput(fmt.Errorf("file %s: %w", call.file, plain(err)))
	}
	text, err := draft.Extend(was, addition(sh, panels, joints, all))
	if err != nil {
		return badInput(fmt.Errorf("file %s: %w", call.file, err))
	}
	if !bytes.Equal(was, text) {
		if err := p.put(to, text); err != nil {
			return err
		}
	}
	fmt.Fprintf(p.out, "%s: %s and %s added; check what is marked CHECK\n", call.file, many(len(panels), "panel"), many(len(joints), "joint"))
	for _, panel := range panels {
		fmt.Fprintf(p.out, "  panel %s from %s\n", panel.ID, panel.File)
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
func (p *program) newPanels(call newCall, sh *shell.Shell) ([]draft.Panel, []flange.Sheet, error) {
	files, err := panelFiles(call.dir)
	if err != nil {
		return nil, nil, err
	}
	files = slices.DeleteFunc(files, func(name string) bool { return named(sh, filepath.Join(call.dir, name)) })
	if len(files) == 0 {
		return nil, nil, nil
	}
	ids := draft.IDs(files)
	for i, id := range ids {
		for n := 2; taken(sh, ids[i]) || slices.Contains(ids[:i], ids[i]); n++ {
			ids[i] = fmt.Sprintf("%s-%d", id, n)
		}
	}
	panels, sheets, err := p.sketchPanels(call, files, ids)
	if err != nil {
		return nil, nil, err
	}
	for i := range panels {
		panels[i].Unit = call.unit
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
