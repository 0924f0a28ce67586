package tarn

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"
)

// WeldLine is one stretch of true weld line in millimetres, in the cab's frame. It runs in the middle of the strip
// where all its sheets lie on each other, from one end of the strip to the other, and midway between the
// facing skins of the first and the last sheet.
type WeldLine struct {
	Joint  string      `json:"joint"`  // id in shell.yaml
	Panels []string    `json:"panels"` // the sheets of the stack, in stack order
	Closed bool        `json:"closed"` // a closed line does not repeat its first point
	Width  float64     `json:"width"`  // mm across the strip
	Points []r3.Vector `json:"-"`
}

// stretch is a weld line of which the points have still to be taken: a joint's part of a seam.
type stretch struct {
	joint    string
	seam     *seam
	from, to float64 // both 0: the whole seam
	panels   []string
}

// stretches lists all stretches, sorted by joint.
func (l *lines) stretches() []stretch {
	out := []stretch{
		{joint: "scuttle-front", seam: l.scuttleFront, panels: []string{"front-panel", "scuttle"}},
		{joint: "front-foot", seam: l.frontFoot, panels: []string{"floor", "front-panel"}},
		{joint: "rear-rail-top", seam: l.railTop, panels: []string{"rear-panel", "rear-rail"}},
		{joint: "rear-rail-foot", seam: l.railBottom, panels: []string{"rear-panel", "rear-rail"}},
		{joint: "rear-foot", seam: l.rearFoot, panels: []string{"floor", "rear-panel"}},
		{joint: "gutter", seam: l.gutter, panels: []string{"roof-frame", "roof"}},
	}
	for i, member := range []string{"cross-front", "cross-middle", "cross-rear"} {
		for k := range 2 {
			out = append(out, stretch{joint: member, seam: l.cross[i][k], panels: []string{member, "floor"}})
		}
	}
	for _, s := range slices.Concat(l.leftBetweenSkins(), l.leftElsewhere()) {
		out = append(out, s, s.otherHand())
	}
	slices.SortStableFunc(out, func(a, b stretch) int { return strings.Compare(a.joint, b.joint) })
	return out
}

// leftBetweenSkins are the left side's stretches where its inner and outer skin meet.
func (l *lines) leftBetweenSkins() []stretch {
	two := []string{"side-inner-l", "side-outer-l"}
	three := []string{"side-inner-l", "pillar-stiffener-l", "side-outer-l"}
	return []stretch{
		{joint: "door-l", seam: l.door, from: l.doorStiff[1], to: l.door.length() + l.doorStiff[0], panels: two},
		{joint: "door-stiff-l", seam: l.door, from: l.doorStiff[0], to: l.doorStiff[1], panels: three},
		{joint: "quarter-l", seam: l.quarter, panels: two},
		{joint: "screen-low-l", seam: l.screen, to: l.screenStiff[0], panels: two},
		{joint: "screen-stiff-l", seam: l.screen, from: l.screenStiff[0], to: l.screenStiff[1], panels: three},
		{joint: "screen-high-l", seam: l.screen, from: l.screenStiff[1], to: l.screen.length(), panels: two},
		{joint: "rear-window-l", seam: l.rearWindow, panels: two},
		{joint: "cantrail-l", seam: l.cantrail, panels: []string{"side-inner-l", "roof-frame", "side-outer-l"}},
	}
}

// leftElsewhere are the other stretches that have a mirror image on the right.
func (l *lines) leftElsewhere() []stretch {
	return []stretch{
		{joint: "sill-inner-l", seam: l.sillInner, panels: []string{"sill-l", "floor"}},
		{joint: "sill-outer-l", seam: l.sillOuter, panels: []string{"sill-l", "floor", "side-inner-l"}},
		{joint: "lamp-l", seam: l.lamp, panels: []string{"lamp-bucket-l", "front-panel"}},
		{joint: "arch-l", seam: l.arch, panels: []string{"wheelhouse-l", "side-outer-l"}},
		{joint: "wheelhouse-foot-l", seam: l.wheelFoot, panels: []string{"floor", "wheelhouse-l"}},
		{joint: "front-side-l", seam: l.frontSide, panels: []string{"front-panel", "side-outer-l"}},
		{joint: "scuttle-end-l", seam: l.scuttleEnd, panels: []string{"scuttle", "side-outer-l"}},
		{joint: "rear-side-l", seam: l.rearSide, panels: []string{"rear-panel", "side-outer-l"}},
	}
}

// otherHand is the mirror image of a left stretch: ids that end in -l end in -r instead.
func (s stretch) otherHand() stretch {
	right := func(id string) string {
		if base, left := strings.CutSuffix(id, "-l"); left {
			return base + "-r"
		}
		return id
	}
	out := stretch{joint: right(s.joint), seam: s.seam.mirrored(), from: s.from, to: s.to}
	for _, p := range s.panels {
		out.panels = append(out.panels, right(p))
	}
	return out
}

func (s stretch) whole() stretch {
	if s.to == 0 {
		s.to = s.seam.length()
	}
	return s
}

// closed reports whether the stretch is all of a closed seam.
func (s stretch) closed() bool { return s.seam.closed && s.from == 0 && s.to == s.seam.length() }

func (s stretch) line() WeldLine {
	s = s.whole()
	at := s.seam.steps(s.from, s.to, 5, 0.004)
	if s.closed() {
		at = at[:len(at)-1]
	}
	w := WeldLine{Joint: s.joint, Panels: s.panels, Closed: s.closed(), Width: 2 * s.seam.half}
	for _, x := range at {
		w.Points = append(w.Points, s.seam.point(x))
	}
	return w
}

// Truth returns the weld lines that the panels were built round, sorted by joint. Points are at most 5 mm apart and
// within 0.01 mm of the curve.
func Truth() []WeldLine {
	var out []WeldLine
	for _, s := range newLines().stretches() {
		out = append(out, s.line())
	}
	return out
}

// truthFile is Truth as JSON, to a ten-thousandth of a millimetre.
func truthFile(lines []WeldLine) ([]byte, error) {
	type row struct {
		WeldLine
		Points [][3]float64 `json:"points"`
	}
	var b bytes.Buffer
	b.WriteString("{\"units\":\"mm\",\"lines\":[\n")
	for i, l := range lines {
		r := row{WeldLine: l}
		for _, p := range l.Points {
			r.Points = append(r.Points, [3]float64{fourPlaces(p.X), fourPlaces(p.Y), fourPlaces(p.Z)})
		}
		text, err := json.Marshal(r)
		if err != nil {
			return nil, err
		}
		if i > 0 {
			b.WriteString(",\n")
		}
		b.Write(text)
	}
	b.WriteString("\n]}\n")
	return b.Bytes(), nil
}

func fourPlaces(x float64) float64 { return math.Round(x*1e4)/1e4 + 0 }
