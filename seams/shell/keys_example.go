package shell

import (
	"fmt"
	"math"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v3"
)

// examples are values by the end of a key's name, the longest end first that fits; keys with a default or a choice of
// words show those.
var examples = map[string]any{
	"name": "Tarn orchard-tractor cab", "number": "TARN-CAB-100", "revision": "A", "owner": "Tarn Cabs", "creator": "Body shop planning",
	"approver": "Body shop lead", "issued": "2026-03-02", "gap_limit_mm": 0.5,
	"steels[].id": "dc04-09", "steels[].grade": "DC04", "steels[].tensile_mpa": 270, "steels[].yield_mpa": 140,
	"panels[].id": "roof", "panels[].name": "roof skin", "panels[].mesh": "panels/roof.stl", "panels[].outline": "panels/floor.dxf",
	"panels[].steel": "dc04-09", "panels[].mass_kg": 11.5, "mirror_y": true, "turn_deg": [3]float64{0, 0, 90},
	"move_mm": [3]float64{0, 0, 850}, "layers[].layer": "HOLES", "subassemblies[].id": "rear-frame", "subassemblies[].name": "rear frame",
	"parts":         []string{"rear-panel", "rear-rail"},
	"stations[].id": "main-jig", "stations[].name": "main jig", "stations[].jig": "J1", "stations[].makes": "rear-frame",
	"arrives": []string{"floor", "sill-l"}, "stations[].guns[].id": "deep", "stations[].rollers": []string{"gutter-roller"},
	"changeover_min": 12, "clamps[].id": "C1", "dowels[].id": "P1", "hold_points[].id": "H1", "at_mm": [3]float64{120, 450, 900},
	"to_mm": [3]float64{120, -450, 900}, "hold_points[].text": "door opening, diagonal",
	"hold_points[].before": []string{"gutter-left"}, "hold_points[].with": "H1", "work[].id": "primer",
	"work[].name": "weld-through primer on the sill", "work[].before": []string{"sill-outer-l"}, "work[].after": []string{"H1"},
	"work[].time_min": 6, "work[].source": "timed on five shells",
	"value_mm": 1250, "tolerance_mm": 1.5, "joints[].id": "gutter-left", "joints[].name": "left gutter",
	"joints[].panels": []string{"roof", "rail-l"}, "joints[].station": "main-jig", "pitch_mm": 35, "count": 24, "shear_n": 4000,
	"flow_n_per_mm": 12, "tension_n": 500, "keep_outs[].radius_mm": 15, "keep_outs[].why": "hinge bolt", "weld_line.file": "gutter.dxf",
	"weld_line.layer": "WELD", "weld_line.width_mm": 16, "near_mm": [4]float64{120, 450, 900, 30}, "tack_every_mm": 150,
	"force_n": [3]float64{0, 0, -1500}, "guns[].force_n": 3000, "moment_nm": [3]float64{0, 40, 0}, "forces[].on": "roof",
	"compression_mpa": 60, "edge_of": "roof", "edge_mm": 8, "row_pitch_mm": 60, "row_distance_mm": 16, "mirror_of": "rail-left",
	"joints[].gun": "deep", "joints[].tip": "domed",
	"welds[].id":     "hinge",
	"welds[].flange": "gutter-left/1",
	"along_mm":       120.0, "joints[].welds[].to_mm": 135.0, "sealed": true, "guns[].id": "deep", "letter": "D",
	"guns[].name": "deep gun", "throat_depth_mm": 400, "throat_gap_mm": 250, "guns[].mass_kg": 18, "tips": []string{"domed"},
	"tips[].id": "domed", "tips[].name": "domed tip", "face_mm": 6, "shank_long_mm": 24, "rollers[].id": "gutter-roller",
	"rollers[].name": "gutter roller", "speed_m_per_min": 1.5, "least_pitch_mm": 20, "greatest_pitch_mm": 60, "edge_distance_mm": 7,
	"end_distance_mm": 10, "bend_clearance_mm": 2, "rules.book": "works.yaml", "use[].rule": "pitch.greatest",
	"use[].source": "en-1993-1-3-table-8.5", "waivers[].rule": "pitch.greatest", "waivers[].where": "gutter-left/1",
	"waivers[].reason": "peel tested at this pitch", "waivers[].name": "A. Welder", "survey.file": "points.csv",
	"water_per_m3": 2.5, "spreads[].id": "elements.position_s", "spreads[].pct": 20, "material[].grade": "DC04",
	"material[].thickness_mm": 0.9, "material[].coating": "Z100", "price_per_kg": 1.15, "people": 4,
	"offer.number": "Q-7", "offer.date": "2026-03-09", "offer.customer": "Orchard Machines, Mill Lane 4", "delivery_weeks": 8.0,
	"lines[].id": "press", "lines[].what": "press the panels", "lines[].price": 180.0, "breaks[].shells": 12,
	"offer.terms": "delivered unpacked",
}

// Example is a line of YAML with a value that the key may have.
func (k Key) Example() string {
	at := strings.LastIndexByte(k.Name, '.') + 1
	text, err := yaml.Marshal(k.exampleValue())
	if err != nil {
		return ""
	}
	value := strings.TrimSpace(string(text))
	if v := reflect.ValueOf(k.exampleValue()); v.Kind() == reflect.Slice || v.Kind() == reflect.Array {
		var items []string
		for i := range v.Len() {
			items = append(items, fmt.Sprint(v.Index(i).Interface()))
		}
		value = "[" + strings.Join(items, ", ") + "]"
	}
	return k.Name[at:] + ": " + value
}

func (k Key) exampleValue() any {
	if k.Default != nil {
		return k.Default
	}
	if len(k.Words) > 0 {
		return k.Words[0]
	}
	for end := k.Name; ; {
		if v, ok := examples[end]; ok {
			return v
		}
		_, rest, more := strings.Cut(end, ".")
		if !more {
			break
		}
		end = rest
	}
	if k.Least < k.Greatest { // a round number well within the bounds
		middle := math.Sqrt(math.Max(k.Least, 1) * math.Max(k.Greatest, 1))
		ten := math.Pow(10, math.Floor(math.Log10(middle)))
		return math.Min(math.Max(math.Floor(middle/ten)*ten, k.Least), k.Greatest)
	}
	return "text"
}
