// Package strength works out what spot welds carry: single welds by published rules, the number of welds that a
// joint needs, and groups of welds under force and moment.
//
//	r := strength.Eurocode(strength.Spot{Thin: 1.0, Thick: 1.0, Tensile: 360, End: 15})
//	fmt.Printf("%.0f N in shear, by %s\n", r.Design, r.Mode)
//
// Millimetres, newtons, MPa (N/mm²). A value outside a rule's range of validity comes with a Problem, never silently.
package strength

import (
	"math"

	"seamwright/seams/rule"
)

// Sources of the rules here.
const (
	EurocodeSource = "EN 1993-1-3:2006 clause 8.4, Table 8.5 (replaced by the 2024 edition, which was not seen)"
	AISISource     = "AISI S100 resistance welds in shear (AS/NZS 4600 5.2.7 the same)"
	AWSSource      = "AWS D8.1M least shear-tension and cross-tension strength of one weld"
	// RatioSource is where the ratio of cross tension to lap shear comes from: its abstract was read.
	RatioSource = "cross tension is 74 % of lap shear: Chao 2003, J. Eng. Mater. Technol. 125, abstract"
)

// EurocodeTensile is the strength in MPa of the strongest steel that EN 1993-1-3 lists: S700MC of EN 10149-2 in its Table
// 3.1b. Memory.
const EurocodeTensile = 750.0

// CrossTensionRatio is cross tension over lap shear of the same weld, both as tested (Chao 2003, abstract: read).
const CrossTensionRatio = 0.74

// GammaM2 is the partial factor of EN 1993-1-3 for connections (recommended value; certainty: memory).
const GammaM2 = 1.25

// Mode is a way for a weld to fail in shear.
type Mode string

// The modes of EN 1993-1-3 Table 8.5.
const (
	Tearing    Mode = "tearing and bearing"
	End        Mode = "end of the sheet"
	NetSection Mode = "net section"
	WeldShear  Mode = "shear of the weld"
)

// Spot is one resistance or fusion spot between two sheets, with its distances. A distance that is zero is not
// known: its mode and its range are then left out, and Unchecked names them.
type Spot struct {
	Thin     float64 // mm, the thinner sheet
	Thick    float64 // mm, the thicker sheet
	Tensile  float64 // MPa, f_u
	Diameter float64 // mm, d_s; 0: 5 root t for resistance, 0.5 t + 5 for fusion
	Fusion   bool
	End      float64 // mm, e1: weld centre to the sheet's end in the direction of the load
	Edge     float64 // mm, e2: to the edge across the load
	Pitch    float64 // mm, p1: to the next weld in the direction of the load
	Row      float64 // mm, p2: to the next weld across the load
	NetArea  float64 // mm², A_net of the sheet, shared by Sharing welds
	Sharing  int     // welds that share the net section; 0 means 1
	Factor   float64 // gamma_M2; 0: 1.25
}

// Resistance is what one weld carries in shear, N. Values are design values; a mode that was not asked for is zero.
type Resistance struct {
	Diameter  float64 // mm, d_s
	Tearing   float64
	End       float64
	Net       float64 // of the whole net section
	Shear     float64
	Capped    Mode    // how the tearing value was limited when the thicker sheet is above 2.5 t: "" for not
	Design    float64 // the least, of one weld
	Mode      Mode    // that gives Design
	Problems  []rule.Problem
	Unchecked []string // what could not be checked because a distance is not known
	Source    string
	Certainty rule.Certainty
}

// The limits that Capped names.
const (
	CapDiameter Mode = "0.7 d_s² f_u"
	CapBearing  Mode = "3.1 t d_s f_u"
)

// Eurocode gives the design resistance of one spot in shear by EN 1993-1-3:2006 clause 8.4, Table 8.5 (clause read in
// part, table from memory). A spot without thicknesses or strength gives zero resistance and a broken problem.
func Eurocode(w Spot) Resistance {
	r := Resistance{Source: EurocodeSource, Certainty: rule.Memory}
	if p, ok := w.sound(); !ok {
		r.Problems = append(r.Problems, p)
		return r
	}
	w = w.complete()
	r.Diameter = w.Diameter
	r.Tearing, r.Capped = w.tearing()
	r.Shear = float64(math.Pi/4*w.Diameter*w.Diameter) * w.Tensile / w.Factor
	r.Design, r.Mode = r.Tearing, Tearing
	if r.Shear < r.Design {
		r.Design, r.Mode = r.Shear, WeldShear
	}
	if w.End > 0 {
		r.End = 1.4 * w.Thin * w.End * w.Tensile / w.Factor
		if r.End < r.Design {
			r.Design, r.Mode = r.End, End
		}
	}
	if w.NetArea > 0 {
		r.Net = w.NetArea * w.Tensile / w.Factor
		if each := r.Net / float64(w.Sharing); each < r.Design {
			r.Design, r.Mode = each, NetSection
		}
	}
	w.inRange(&r)
	w.ductility(&r)
	return r
}

// sound reports a spot that nothing can be worked out for. The two sheets may be given in either order.
func (w Spot) sound() (rule.Problem, bool) {
	for _, v := range []float64{w.Thin, w.Thick, w.Tensile} {
		if !(v > 0) || math.IsInf(v, 0) {
			return rule.Problem{Rule: "strength.input", Severity: rule.Broken, Value: v, Source: EurocodeSource,
				Remedy: "give both thicknesses and the tensile strength", Certainty: rule.Stated}, false
		}
	}
	for _, v := range []float64{w.Diameter, w.End, w.Edge, w.Pitch, w.Row, w.NetArea, w.Factor} {
		if !(v >= 0) || math.IsInf(v, 0) {
			return rule.Problem{Rule: "strength.input", Severity: rule.Broken, Value: v, Source: EurocodeSource,
				Remedy: "give every distance as a finite number, or 0 where it is not known", Certainty: rule.Stated}, false
		}
	}
	return rule.Problem{}, true
}

func (w Spot) complete() Spot {
	if w.Thick < w.Thin {
		w.Thin, w.Thick = w.Thick, w.Thin
	}
	if w.Diameter == 0 {
		w.Diameter = Diameter(w.Thin, w.Fusion)
	}
	if w.Factor == 0 {
		w.Factor = GammaM2
	}
	w.Sharing = max(w.Sharing, 1)
	return w
}

// Diameter is d_s of EN 1993-1-3 8.4, mm: 5 root t for a resistance weld, 0.5 t + 5 for a fusion weld. Memory.
func Diameter(thin float64, fusion bool) float64 {
	if fusion {
		return float64(0.5*thin) + 5
	}
	return 5 * math.Sqrt(thin)
}

// tearing is F_tb,Rd and the cap that governs it, if one does.
func (w Spot) tearing() (float64, Mode) {
	full := 2.7 * math.Sqrt(w.Thin) * w.Diameter * w.Tensile / w.Factor
	if w.Thick <= 2.5*w.Thin {
		return full, ""
	}
	byDiameter := 0.7 * w.Diameter * w.Diameter * w.Tensile / w.Factor
	byBearing := 3.1 * w.Thin * w.Diameter * w.Tensile / w.Factor
	switch least := min(full, byDiameter, byBearing); least {
	case full:
		return least, ""
	case byDiameter:
		return least, CapDiameter
	default:
		return least, CapBearing
	}
}

// bound is one limit of the rule's range of validity.
type bound struct {
	id     string
	name   string
	value  float64
	least  float64 // 0: none
	most   float64 // 0: none
	unit   string
	remedy string
}

// inRange checks the range of validity. Thicknesses: clause read in the prestandard; distances: memory. Distances go by the
// clause's own d_s, not by a smaller weld that the strength counts on: a small weld may not stand nearer to an edge.
func (w Spot) inRange(r *Resistance) {
	d := max(w.Diameter, Diameter(w.Thin, w.Fusion))
	move := "move the weld, or show the strength by test"
	for _, b := range []bound{
		{"strength.en.tensile", "f_u", w.Tensile, 0, EurocodeTensile, "MPa", "show the strength by test"},
		{"strength.en.thin", "t", w.Thin, 0, 3.0, "mm", "show the strength by test"},
		{"strength.en.thick", "t1", w.Thick, 0, 4.0, "mm", "show the strength by test"},
		{"strength.en.e1", "e1", w.End, 2 * d, 6 * d, "mm", move},
		{"strength.en.e2", "e2", w.Edge, 0, 4 * d, "mm", move},
		{"strength.en.p1", "p1", w.Pitch, 3 * d, 8 * d, "mm", move},
		{"strength.en.p2", "p2", w.Row, 3 * d, 6 * d, "mm", move},
	} {
		if b.value == 0 {
			r.Unchecked = append(r.Unchecked, b.name)
			continue
		}
		if limit, broken := b.broken(); broken {
			p := rule.Problem{Rule: b.id, Severity: rule.Doubt, Value: b.value, Limit: limit, Unit: b.unit,
				Source: EurocodeSource + ", range of validity", Remedy: b.remedy, Certainty: rule.Memory}
			if b.name == "t" || b.name == "t1" {
				p.Certainty = rule.Read
			}
			r.Problems = append(r.Problems, p)
		}
	}
	if w.NetArea == 0 {
		r.Unchecked = append(r.Unchecked, string(NetSection))
	}
}

// broken lets the last bits of a product pass: 2 d_s exactly is within the range.
func (b bound) broken() (limit float64, yes bool) {
	slack := 1e-9 * max(1, b.value)
	if b.least > 0 && b.value < b.least-slack {
		return b.least, true
	}
	if b.most > 0 && b.value > b.most+slack {
		return b.most, true
	}
	return 0, false
}

// ductility: the weld itself must not be what fails: F_v >= 1.25 F_tb, or 1.25 F_e, or the sum of F_v >= 1.25 F_n.
func (w Spot) ductility(r *Resistance) {
	need := 1.25 * r.Tearing
	if r.End > 0 {
		need = min(need, 1.25*r.End)
	}
	if r.Net > 0 {
		need = min(need, 1.25*r.Net/float64(w.Sharing))
	}
	if r.Shear < need*(1-1e-12) {
		r.Problems = append(r.Problems, rule.Problem{Rule: "strength.en.ductility", Severity: rule.Doubt, Value: r.Shear, Limit: need, Unit: "N",
			Source: EurocodeSource + ", F_v at least 1.25 times the sheet's resistance",
			Remedy: "aim at a larger weld, or show the strength by test", Certainty: rule.Memory})
	}
}
