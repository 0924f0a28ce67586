package sheet

import (
	"slices"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/paper"
)

// textsOf are the words of a page.
func textsOf(p *page) []string {
	var out []string
	for _, l := range p.paper.Layers {
		for _, it := range l.Items {
			if it.Kind == paper.Text {
				out = append(out, it.Text)
			}
		}
	}
	return out
}

// checkFollowed holds a station's sheets to what one needs who follows them step by step: the steps of a view on its sheet, the setting on
// every call-out, panels named, a start for every strip, and nothing that is the engineer's.
func checkFollowed(t *testing.T, d drawing) {
	t.Helper()
	j := d.pages[0].job
	starts := 0
	for _, p := range d.pages {
		texts := textsOf(p)
		for _, l := range p.paper.Layers {
			if strings.HasPrefix(l.Name, "view ") && strings.HasSuffix(l.Name, " starts") {
				for _, it := range l.Items {
					if it.Kind == paper.Polygon {
						starts++
					}
				}
			}
		}
		for _, f := range p.figures {
			for i, w := range j.set.Here.Welds {
				if j.set.Shown(i) != f {
					continue
				}
				k := slices.IndexFunc(j.set.Here.Runs, func(r layout.Run) bool { return r.ID == w.Run })
				r := j.set.Here.Runs[k]
				if want := words.Span(r.From, r.To) + " " + strings.TrimSpace(words.Gun(j.index, r.Gun)+" "+r.Setting); r.Count > 2 &&
					!slices.Contains(texts, want) {
					t.Errorf("view %s: no call-out says %q", f.Letter, want)
				}
				if p.set.several() {
					checkStepBeside(t, p, texts, w)
				}
			}
		}
		for _, id := range p.drawn.Named {
			if listed := strings.Join(texts, " "); !strings.Contains(listed, id) {
				t.Errorf("panel %s has a balloon and no name", id)
			}
		}
		for _, f := range j.set.Here.Findings {
			if !p.office && slices.Contains(texts, f.Rule) {
				t.Errorf("%s is for the engineer, but stands on a sheet for the jig", f.Rule)
			}
		}
	}
	if want := len(j.set.Starts()); starts != want {
		t.Errorf("%d starts of strips, want %d", starts, want)
	}
	for _, r := range j.set.Here.Seams {
		if !j.set.StartSeen(r) {
			t.Errorf("no view shows the start of %s", r.ID)
		}
	}
}

// checkStepBeside looks for the step of a weld on the sheet that numbers it.
func checkStepBeside(t *testing.T, p *page, texts []string, w layout.Weld) {
	t.Helper()
	j := p.job
	i := slices.IndexFunc(j.station.Steps, func(s layout.Step) bool { return slices.Contains(s.Runs, w.Run) })
	if i < 0 {
		t.Fatalf("weld %d is in no step", w.Number)
	}
	if want := words.Welds(j.index, j.station.Steps[i].Runs); !slices.Contains(texts, want) {
		t.Errorf("weld %d is shown on a sheet without its step %d, welds %s", w.Number, i+1, want)
	}
}

// checkFaces holds marking strips to the side that the map looks at: of a flange's two outer panels, the one that its strip lies on is the
// nearer one to the viewer at most of its welds.
func checkFaces(t *testing.T, d drawing) {
	t.Helper()
	j := d.pages[0].job
	for _, fl := range j.set.Here.Flanges {
		face, other := d.sheets[0].Faces[fl.ID], fl.Panels[0]
		if other == face {
			other = fl.Panels[len(fl.Panels)-1]
		}
		nearer, all := 0, 0
		for i, w := range j.set.Here.Welds {
			if w.Flange != fl.ID {
				continue
			}
			look := j.set.Shown(i).Dir.Look
			depth := func(id string) float64 {
				k := slices.IndexFunc(demo.parts, func(p demoPart) bool { return p.Panel.ID == id })
				hit, _ := demo.parts[k].Shape.Tree().Closest(w.Position.R3(), 20)
				return hit.Point.Dot(look)
			}
			if all++; depth(face) < depth(other) {
				nearer++
			}
		}
		if 2*nearer < all {
			t.Errorf("strip of %s lies on %s, which is nearer at %d of %d welds only", fl.ID, face, nearer, all)
		}
	}
}
