package flange

import (
	"fmt"

	"seamwright/geometry/contact"
	"seamwright/geometry/scan"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// Candidates returns the strips of a single panel that could be flanges: faces that end at a free edge and at a
// bend, or at two free edges, no wider than a flange is. They have one sheet, and no gap. A noisy scan is cleaned and faired first, as
// by Find, and told.
func Candidates(sheet Sheet, opt Options) (*Found, error) {
	opt = opt.withDefaults()
	var done scan.Done
	sheet.Mesh, done = scan.Alone(sheet.Mesh, opt.scanLimits())
	h := new(contact.Workspace).Host(stackup.Alone(sheet, surface.Whole{Scan: done.Is, Topo: done.Topo}, opt.limits()), 0)
	on, p := onHost{Host: h, opt: opt}, h.Panels[0]
	var found Found
	for _, face := range p.Faces() {
		if area, border := p.FaceSize(face); area < opt.LeastLength*opt.LeastWidth || area > patchWidth*border/2 {
			continue // too small or too broad for a flange
		}
		lap, err := contact.FaceOf(h, face)
		if err != nil {
			return nil, fmt.Errorf("candidate flanges of panel %s: %w", sheet.Name, err)
		}
		for _, fl := range on.strips(lap) {
			if !fl.Patch && fl.alongFreeEdge() {
				found.Flanges = append(found.Flanges, fl)
			}
		}
	}
	out := collect([]Found{found})
	if done.Is {
		out.Scans = []Scan{{0, done.Cleaning, done.Fairing}}
	}
	return out, nil
}

// alongFreeEdge says whether most of the strip has a free edge beside it.
func (fl *Flange) alongFreeEdge() bool {
	free := 0
	for _, s := range fl.Line {
		if s.LeftEdge == FreeEdge || s.RightEdge == FreeEdge {
			free++
		}
	}
	return 2*free > len(fl.Line)
}
