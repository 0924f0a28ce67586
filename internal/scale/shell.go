package main

import (
	"bytes"
	"fmt"
	"strings"
)

const gear = `guns:
  - {id: light, letter: A, name: light C gun, throat_depth_mm: 260, throat_gap_mm: 240, arm_mm: 28, stroke_mm: 60, force_n: 3200,
    power_kva: 45, mass_kg: 17, tips: [domed, flat]}
  - {id: small, letter: D, name: small C gun, throat_depth_mm: 150, throat_gap_mm: 150, arm_mm: 24, stroke_mm: 40, force_n: 2800,
    power_kva: 35, mass_kg: 11, tips: [domed, flat]}
  - {id: deep, letter: B, name: deep-throat gun, throat_depth_mm: 640, throat_gap_mm: 260, arm_mm: 50, stroke_mm: 80, force_n: 3600,
    power_kva: 75, mass_kg: 38, tips: [domed, flat]}
tips:
  - {id: domed, shape: domed, face_mm: 5.5, shank_mm: 16, length_mm: 70, dress_every: 200, dressings: 15, price: 5.5}
  - {id: flat, shape: flat, face_mm: 8, shank_mm: 16, length_mm: 70, dress_every: 300, dressings: 12, price: 6}
supply: {frequency_hz: 50}
rates: {currency: EUR, labour_per_hour: 46, jig_per_hour: 52, energy_per_kwh: 0.24, overhead_pct: 35}
`

// shell is the shell file: a jig for each band, and main jigs in a row to each of which one more band comes.
func (h *hull) shell() []byte {
	var b bytes.Buffer
	p := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	joints := h.around*h.bands + h.around*(h.bands-1)
	pitch := float64(joints) * (2*h.x.from - 10) / float64(h.welds)
	p("name: Scale %dx%d\nnumber: SCALE-1\nrevision: A\nbatch: 24\nunit: mm\ngap_limit_mm: 0.5\nissued: \"2026-03-02\"", h.around, h.bands)
	p("steels:\n  - {id: s10, grade: DC04, thickness_mm: %g}\npanels:", sheet)
	bands := make([][]string, h.bands)
	for k := range bands {
		for i := range h.around {
			p("  - {id: %s, mesh: panels/%[1]s.stl, steel: s10}", tray(i, k))
			bands[k] = append(bands[k], tray(i, k))
		}
	}
	p("subassemblies:")
	for k, trays := range bands {
		p("  - {id: band-%02d, parts: [%s]}", k, strings.Join(trays, ", "))
	}
	for k := 1; k < h.bands; k++ {
		p("  - {id: body-%02d, parts: [%s, band-%02d]}", k, body(k-1), k)
	}
	p("stations:")
	for k, trays := range bands {
		p("  - {id: jig-%02d, name: Band %[1]d, makes: band-%02[1]d, arrives: [%s], guns: [light, small, deep], prepare_min: 240, clamps: [%s],",
			k, strings.Join(trays, ", "), h.clamps(1, edge/2+5, (float64(k)+.3)*edge))
		p("    hold_points: [{id: H1, text: Gauge drops in, at_mm: %s}]}", h.point(0, 0, (float64(k)+.5)*edge, 0))
	}
	for k := 1; k < h.bands; k++ {
		p("  - {id: main-%02d, name: Main %[1]d, crew: 2, makes: body-%02[1]d, arrives: [%s, band-%02[1]d], guns: [light, small, deep], "+
			"prepare_min: 480, clamps: [%[3]s]}", k, body(k-1), h.clamps(2, 100, float64(k)*edge))
	}
	p("joints:")
	for k := range bands {
		for i := range h.around {
			p("  - {id: l%02d-%02d, panels: [%s, %s], station: jig-%02d, pitch_mm: %.2f}", i, k, tray(i, k), tray((i+1)%h.around, k), k, pitch)
		}
	}
	for k := 1; k < h.bands; k++ {
		for i := range h.around {
			p("  - {id: h%02d-%02d, panels: [%s, %s], station: main-%02d, pitch_mm: %.2f}", i, k, tray(i, k-1), tray(i, k), k, pitch)
		}
	}
	b.WriteString(gear)
	return b.Bytes()
}

// body is what comes out of a main jig; into the first goes the first band.
func body(k int) string {
	if k == 0 {
		return "band-00"
	}
	return fmt.Sprintf("body-%02d", k)
}

func (h *hull) clamps(step int, x, along float64) string {
	var out []string
	for i := 0; i < h.around; i += step {
		out = append(out, fmt.Sprintf("{id: C%d, at_mm: %s, radius_mm: 20}", i+1, h.point(i, x, along, 14)))
	}
	return strings.Join(out, ", ")
}

func (h *hull) point(i int, x, along, z float64) string {
	v := h.place(i, 0, x, 0, z)
	return fmt.Sprintf("[%.1f, %.1f, %.1f]", along, v[1], v[2])
}
