package shellfile

import (
	"fmt"
	"strings"
	"testing"
)

func TestBrokenValues(t *testing.T) {
	check(t, base, "b.yaml", []broken{
		{"no name", "name: base", "number: n",
			`b.yaml:1: name: missing: name of the shell; add it`},
		{"empty name", "name: base", `name: " "`,
			`b.yaml:1: name: empty: name of the shell; fill it in`},
		{"missing in a list", "  - {id: t, face_mm: 6}", "  - {id: t}",
			`b.yaml:22: tips[0].face_mm: missing: diameter of the face; add it`},
		{"missing place of a clamp", "makes: sub,", "makes: sub, clamps: [{radius_mm: 20}],",
			`b.yaml:15: stations[0].clamps[0].at_mm: missing: middle of the clamp's pad; add it`},
		{"empty list of panels", "panels: [a, b]", "panels: []",
			`b.yaml:18: joints[0].panels: empty: ids of the panels welded together, at least two; fill it in`},
		{"not finite", "thickness_mm: 0.9", "thickness_mm: .inf",
			`b.yaml:4: steels[0].thickness_mm: +Inf is not a finite number; write a number`},
		{"not finite in a place", "at_mm: [0, 0, 0]", "at_mm: [0, .nan, 0]",
			`b.yaml:16: stations[1].hold_points[0].at_mm[1]: NaN is not a finite number; write a number`},
		{"out of range", "thickness_mm: 0.9", "thickness_mm: 900",
			`b.yaml:4: steels[0].thickness_mm: 900 is out of range; it may be 0.1 to 10 mm`},
		{"below zero", "throat_gap_mm: 100", "throat_gap_mm: -100",
			`b.yaml:20: guns[0].throat_gap_mm: -100 is out of range; it may be 10 to 3000 mm`},
		{"out of range, though zero would do", "grade: DC04,", "grade: DC04, tensile_mpa: 0.27,",
			`b.yaml:4: steels[0].tensile_mpa: 0.27 is out of range; it may be 0, 100 to 2000 MPa`},
		{"count of zero", "", "batch: 0\n",
			`b.yaml:25: batch: 0 is out of range; it may be 1 to 100000`},
		{"too far away", "at_mm: [0, 0, 0]", "at_mm: [0, 0, 1e6]",
			`b.yaml:16: stations[1].hold_points[0].at_mm[2]: 1e+06 is out of range; it may be -100000 to 100000 mm`},
		{"unknown surface", "    mesh: c.stl", "    mesh: c.stl\n    surface: middle",
			`b.yaml:11: panels[2].surface: "middle" is not one of mid, skin, solid; the nearest is mid`},
		{"unknown kind", "panels: [a, b]}\nguns", "panels: [a, b], kind: spots}\nguns",
			`b.yaml:18: joints[0].kind: "spots" is not one of spot, roller, spot+roller; the nearest is spot`},
		{"load on a panel of another joint", "panels: [a, b]}\nguns", "panels: [a, b], forces: [{at_mm: [0, 0, 0], on: c}]}\nguns",
			`b.yaml:18: joints[0].forces[0].on: there is no panel of this joint "c"; the nearest is a`},
		{"waiver without a reason", "", "waivers: [{rule: end.least, name: A}]\n",
			`b.yaml:25: waivers[0].reason: missing: why, printed with the finding; add it`},
		{"waiver without a name", "", "waivers: [{rule: end.least, reason: tested, name: ' '}]\n",
			`b.yaml:25: waivers[0].name: empty: who answers for it, printed with the finding; fill it in`},
		{"count of a roller seam", "panels: [a, b]}\nguns", "panels: [a, b], kind: roller, count: 9}\nguns",
			`b.yaml:18: joints[0].count: has no effect on a joint that is rolled; take it out, or make the joint's kind spot+roller`},
		{"rows of a roller seam", "panels: [a, b]}\nguns", "panels: [a, b], kind: roller, rows: 2}\nguns",
			`b.yaml:18: joints[0].rows: has no effect on a joint that is rolled; take it out, or make the joint's kind spot+roller`},
		{"row distance of a roller seam", "panels: [a, b]}\nguns", "panels: [a, b], kind: roller, row_distance_mm: 9}\nguns",
			`b.yaml:18: joints[0].row_distance_mm: has no effect on a joint that is rolled; take it out, or make the joint's kind spot+roller`},
		{"welds by hand of a roller seam", "panels: [a, b]}\nguns",
			"panels: [a, b], kind: roller, welds: [{id: w, along_mm: 5, do: pin}]}\nguns",
			`b.yaml:18: joints[0].welds: has no effect on a joint that is rolled; take it out, or make the joint's kind spot+roller`},
		{"two edits of one name", "panels: [a, b]}\nguns",
			"panels: [a, b], welds: [{id: w, along_mm: 5, do: pin}, {id: w, along_mm: 9, do: pin}]}\nguns",
			`b.yaml:18: joints[0].welds[1].id: "w" names another weld of the joint already; give each edit an id of its own`},
		{"a pinned weld that goes somewhere", "panels: [a, b]}\nguns", "panels: [a, b], welds: [{id: w, along_mm: 5, do: pin, to_mm: 7}]}\nguns",
			`b.yaml:18: joints[0].welds[0].to_mm: only a weld that is moved goes somewhere; leave it out, or write do: move`},
		{"row distance of one row", "panels: [a, b]}\nguns", "panels: [a, b], rows: 1, row_distance_mm: 9}\nguns",
			`b.yaml:18: joints[0].row_distance_mm: has no effect beside rows: 1; take one of the two out`},
		{"a joint as its own twin", "panels: [a, b]}\nguns", "panels: [a, b], mirror_of: j}\nguns",
			`b.yaml:18: joints[0].mirror_of: a joint is not its own twin; name the joint on the other side, or take it out`},
		{"a mirror of a mirror", "panels: [a, b]}\nguns",
			"panels: [a, b]}\n  - {id: k, panels: [a, c], mirror_of: j}\n  - {id: l, panels: [b, c], mirror_of: k}\nguns",
			`b.yaml:20: joints[2].mirror_of: k is itself a mirror of j; name that one, or take one of the two out`},
		{"a twin of another kind", "panels: [a, b]}\nguns", "panels: [a, b], kind: roller}\n  - {id: k, panels: [a, c], mirror_of: j}\nguns",
			`b.yaml:19: joints[1].mirror_of: j is of another kind; give both the same kind, or take it out`},
		{"what a twin decides", "panels: [a, b]}\nguns", "panels: [a, b]}\n  - {id: k, panels: [a, c], kind: spot, mirror_of: j, count: 5}\nguns",
			`b.yaml:19: joints[1].count: has no effect beside mirror_of: the twin decides; take one of the two out`},
		{"a quantity priced twice", "", "offer: {breaks: [{shells: 6}, {shells: 12}, {shells: 6}]}\n",
			`b.yaml:25: offer.breaks[2].shells: 6 shells are priced already; keep one of the two`},
		{"discounts that leave no price", "",
			"offer: {discount_pct: 40, breaks: [{shells: 6, discount_pct: 59}, {shells: 12, discount_pct: 60}]}\n",
			`b.yaml:25: offer.breaks[1].discount_pct: with the offer's 40 % it is 100 %; keep the two together at 99 % or less`},
		{"edge of nothing", "panels: [a, b]}\nguns", "panels: [a, b], edge_of: a}\nguns",
			`b.yaml:18: joints[0].edge_of: has no effect without edge_mm; add edge_mm, or take it out`},
		{"direction of no load", "panels: [a, b]}\nguns", "panels: [a, b], load: {direction: along}}\nguns",
			`b.yaml:18: joints[0].load.direction: has no effect without shear_n or flow_n_per_mm; add the load, or take it out`},
		{"clamps that close less than lies flat", "panels: [a, b]}\nguns", "panels: [a, b], clamp_angle_deg: 3}\nguns",
			`b.yaml:18: joints[0].clamp_angle_deg: 3 is out of range; it may be 0, 8 to 30 degrees`},
		{"approved by nobody", "", "status: approved\nrevision: B\n",
			`b.yaml:25: status: approved, and nobody is named who approved it; name the approver, or leave it a draft`},
		{"approved without a revision", "", "status: approved\napprover: A. Lead\n",
			`b.yaml:25: status: approved, and no revision is named; name the revision, or leave it a draft`},
		{"unknown status", "", "status: final\n",
			`b.yaml:25: status: "final" is not one of draft, approved, demonstration; write one of them`},
		{"waiver of an unknown rule", "", "waivers: [{rule: reach.tlit, reason: tested, name: A}]\n",
			`b.yaml:25: waivers[0].rule: there is no rule "reach.tlit"; the nearest is reach.tilt`},
		{"source for an unknown rule", "", "rules: {use: [{rule: pitch.lest, source: optimum}]}\n",
			`b.yaml:25: rules.use[0].rule: there is no rule "pitch.lest"; the nearest is pitch.least`},
		{"rule book that is not there", "", "rules: {book: works.yaml}\n",
			`b.yaml:25: rules.book: there is no file "works.yaml"; check the name; it starts at the shell file's folder`},
		{"unknown shape", "face_mm: 6", "face_mm: 6, shape: round",
			`b.yaml:22: tips[0].shape: "round" is not one of domed, flat, truncated, narrow-flat; write one of them`},
		{"unknown release", "makes: sub,", "makes: sub, clamps: [{at_mm: [0, 0, 0], release: never}],",
			`b.yaml:15: stations[0].clamps[0].release: "never" is not one of tacks, end; write one of them`},
		{"unknown role", "    mesh: c.stl", "    outline: blank.dxf\n    layers: [{layer: a, role: edge}]",
			`b.yaml:11: panels[2].layers[0].role: "edge" is not one of outline, weld-line, hole, keep-out, ignore; write one of them`},
		{"unknown unit", "unit: mm", "unit: metres",
			`b.yaml:2: unit: "metres" is not one of mm, cm, m, inch, foot; write one of them`},
		{"unit in plural", "unit: mm", "unit: inches",
			`b.yaml:2: unit: "inches" is not one of mm, cm, m, inch, foot; the nearest is inch`},
		{"unprintable", "name: base", `name: "ba\tse"`,
			`b.yaml:1: name: the text "ba\tse" holds a sign that cannot be printed; keep it on one line, without control characters`},
		{"turned text", "name: base", `name: "ba\u202ese"`,
			`b.yaml:1: name: the text "ba\u202ese" holds a sign that cannot be printed; keep it on one line, without control characters`},
		{"twice in a list", "parts: [a, b]", "parts: [a, a]",
			`b.yaml:13: subassemblies[0].parts[1]: "a" stands in this list twice; keep one of the two`},
		{"empty word in a list", "tips: [t]", `tips: [""]`,
			`b.yaml:20: guns[0].tips[0]: this entry is empty; fill it in or take it out`},
		{"mains", "", "supply: {frequency_hz: 55}\n",
			`b.yaml:25: supply.frequency_hz: 55 is no mains frequency; write 50 or 60`},
		{"currency", "", "rates: {currency: euro}\n",
			`b.yaml:25: rates.currency: "euro" is no code after ISO 4217; write three capital letters, such as EUR`},
		{"pitches", "", "rules: {least_pitch_mm: 60, greatest_pitch_mm: 40}\n",
			`b.yaml:25: rules.least_pitch_mm: the least pitch 60 mm is above the greatest 40 mm; turn them round or take one out`},
		{"near", "panels: [a, b]}\nguns", "panels: [a, b], near_mm: [1, 2, 3]}\nguns",
			`b.yaml:18: joints[0].near_mm: 4 numbers are wanted, not 3; write them as [x, y, z, radius]`},
		{"edge of no panel", "panels: [a, b]}\nguns", "panels: [a, b], edge_mm: 8}\nguns",
			`b.yaml:18: joints[0].edge_mm: 8 mm from the edge of which panel is not said; add edge_of with the panel's id`},
		{"near without a radius", "panels: [a, b]}\nguns", "panels: [a, b], near_mm: [1, 2, 3, 0]}\nguns",
			`b.yaml:18: joints[0].near_mm[3]: the radius 0 mm is not above zero; write how far from the place a flange may pass`},
		{"letter", "{id: g, ", "{id: g, letter: GUN, ",
			`b.yaml:20: guns[0].letter: "GUN" does not fit on a map; write one or two letters`},
		{"letter twice", "rollers:\n  - {id: r}", "rollers:\n  - {id: r, letter: X}\n  - {id: q, letter: X}",
			`b.yaml:25: rollers[1].letter: the letter "X" is taken by rollers[0]; give each gun and roller a letter of its own`},
		{"every problem of a step is told", "throat_depth_mm: 200, throat_gap_mm: 100", "throat_depth_mm: 5, throat_gap_mm: 9999",
			"b.yaml:20: guns[0].throat_depth_mm: 5 is out of range; it may be 10 to 3000 mm\n" +
				"b.yaml:20: guns[0].throat_gap_mm: 9999 is out of range; it may be 10 to 3000 mm"},
	})
}

func TestBrokenSheets(t *testing.T) {
	check(t, base, "b.yaml", []broken{
		{"unknown grade", "grade: DC04", "grade: DC02",
			`b.yaml:4: steels[0].grade: the grade "DC02" is not known and has no tensile_mpa; add tensile_mpa; the nearest known grade is DC01`},
		{"no grade", "grade: DC04, ", "",
			`b.yaml:4: steels[0].grade: neither grade nor tensile_mpa is given; write grade: DC04, or the grade that it is`},
		{"yield above tensile", "grade: DC04,", "grade: DC04, yield_mpa: 300,",
			`b.yaml:4: steels[0].yield_mpa: the yield stress 300 MPa is above the tensile strength 270 MPa; check both`},
		{"unknown coating", "coating: Z100", "coating: Z110",
			`b.yaml:5: steels[1].coating: "Z110" is none of the coatings none, Z100, Z140, Z200, Z225, Z275, Z350, Z450, Z600, and has not the ` +
				`form of ZF100, ZE25/25 or ZN25/25; the nearest is Z100`},
		{"zinc grade without coating", ", coating: Z100", "",
			`b.yaml:5: steels[1].coating: the grade DX54D+Z is zinc-coated, but no coating is given; write the one ordered, such as coating: Z100`},
		{"neither mesh nor outline", "    mesh: c.stl\n", "",
			`b.yaml:9: panels[2].mesh: neither mesh nor outline is given; name the panel's STL file, or the DXF or CSV file of its blank`},
		{"mesh and outline", "    mesh: c.stl\n", "    mesh: c.stl\n    outline: blank.dxf\n",
			`b.yaml:11: panels[2].outline: both mesh and outline are given; keep the one that draws the panel`},
		{"layers of a mesh", "    mesh: c.stl\n", "    mesh: c.stl\n    layers: [{layer: x, role: hole}]\n",
			`b.yaml:11: panels[2].layers: a mesh has no layers; take layers out, or name an outline`},
		{"layer twice", "    mesh: c.stl\n", "    outline: blank.dxf\n    layers: [{layer: x, role: hole}, {layer: x, role: outline}]\n",
			`b.yaml:11: panels[2].layers[1].layer: "x" is given twice; keep one role for a layer`},
		{"face of no skin", "    mesh: c.stl\n", "    mesh: c.stl\n    skin: faying\n",
			`b.yaml:11: panels[2].skin: the mesh is no skin; write surface: skin beside it, or take skin out`},
		{"solid outline", "    mesh: c.stl\n", "    outline: blank.dxf\n    surface: solid\n",
			`b.yaml:11: panels[2].surface: an outline is filled as one flat sheet and cannot be solid; write mid or skin`},
		{"no steel among two", "{id: a, mesh: a.stl, steel: s}", "{id: a, mesh: a.stl}",
			`b.yaml:7: panels[0].steel: missing: id of the steel; write one of s, z`},
		{"no steels", "steels:\n  - {id: s, grade: DC04, thickness_mm: 0.9}\n  - {id: z, grade: DX54D+Z, thickness_mm: 1.2, coating: Z100}\n",
			"",
			"b.yaml:1: steels: missing: the sheets' grades and thicknesses; give at least one with id, grade and thickness_mm"},
		{"weld line without a file", "panels: [a, b]}\nguns", "panels: [a, b], weld_line: {width_mm: 12}}\nguns",
			`b.yaml:18: joints[0].weld_line: the weld line names no file; add file, or take weld_line out so that the line is found`},
	})
}

func TestBrokenIDs(t *testing.T) {
	check(t, base, "b.yaml", []broken{
		{"no id", "{id: r}", "{name: r}",
			`b.yaml:24: rollers[0].id: missing: name within this file; add it`},
		{"id twice", "{id: b, mesh: b.stl, steel: z}", "{id: a, mesh: b.stl, steel: z}",
			`b.yaml:8: panels[1].id: the id "a" is already that of panels[0]; give each an id that differs in more than letter case`},
		{"ids that differ in case only", "{id: b, mesh: b.stl, steel: z}", "{id: A, mesh: b.stl, steel: z}",
			`b.yaml:8: panels[1].id: the id "A" is already that of panels[0]; give each an id that differs in more than letter case`},
		{"ids that differ in width only", "{id: b, mesh: b.stl, steel: z}", "{id: ａ, mesh: b.stl, steel: z}",
			`b.yaml:8: panels[1].id: the id "ａ" is already that of panels[0]; give each an id that differs in more than letter case`},
		{"panel and sub-assembly", "{id: sub,", "{id: c,",
			`b.yaml:13: subassemblies[0].id: the id "c" is already that of panels[2]; give each an id that differs in more than letter case`},
		{"clamps of one station", "makes: sub,", "makes: sub, clamps: [{id: C2, at_mm: [0, 0, 0]}, {at_mm: [1, 1, 1]}],",
			`b.yaml:15: stations[0].clamps[1].id: the id "C2" is already that of stations[0].clamps[0]; give each an id that differs in more ` +
				`than letter case`},
		{"spaces in an id", "{id: r}", "{id: my roller}",
			`b.yaml:24: rollers[0].id: "my roller" does not do as an id; use at most 64 letters, digits, - _ + and ., beginning with a letter or ` +
				`digit`},
		{"a path as id", "{id: r}", "{id: ../r}",
			`b.yaml:24: rollers[0].id: "../r" does not do as an id; use at most 64 letters, digits, - _ + and ., beginning with a letter or digit`},
		{"long id", "{id: r}", "{id: " + strings.Repeat("r", 65) + "}",
			`b.yaml:24: rollers[0].id: "` + strings.Repeat("r", 60) +
				`…" does not do as an id; use at most 64 letters, digits, - _ + and ., beginning with a letter or digit`},
	})
}

func TestBrokenReferences(t *testing.T) {
	check(t, base, "b.yaml", []broken{
		{"steel of a panel", "mesh: a.stl, steel: s}", "mesh: a.stl, steel: zz}",
			`b.yaml:7: panels[0].steel: there is no steel "zz"; the nearest is z`},
		{"panel of a joint", "panels: [a, b]", "panels: [a, d]",
			`b.yaml:18: joints[0].panels[1]: there is no panel "d"; the nearest is a`},
		{"joint of one panel", "panels: [a, b]", "panels: [a]",
			`b.yaml:18: joints[0].panels: a joint of one panel; name the panels that are welded together`},
		{"joint of a sub-assembly", "panels: [a, b]", "panels: [a, sub]",
			`b.yaml:18: joints[0].panels[1]: there is no panel "sub"; the nearest is b`},
		{"edge of another panel", "panels: [a, b]}\nguns", "panels: [a, b], edge_of: c, edge_mm: 8}\nguns",
			`b.yaml:18: joints[0].edge_of: there is no panel of this joint "c"; the nearest is a`},
		{"station of a joint", "panels: [a, b]}\nguns", "panels: [a, b], station: frist}\nguns",
			`b.yaml:18: joints[0].station: there is no station "frist"; the nearest is first`},
		{"parts", "parts: [a, b]", "parts: [a, bb]",
			`b.yaml:13: subassemblies[0].parts[1]: there is no panel or sub-assembly "bb"; the nearest is b`},
		{"arrives", "arrives: [sub, c]", "arrives: [sub, cc]",
			`b.yaml:16: stations[1].arrives[1]: there is no panel or sub-assembly "cc"; the nearest is c`},
		{"makes", "makes: sub", "makes: sup",
			`b.yaml:15: stations[0].makes: there is no sub-assembly "sup"; the nearest is sub`},
		{"guns of a station", "makes: sub,", "makes: sub, guns: [G],",
			`b.yaml:15: stations[0].guns[0]: there is no gun "G"; the nearest is g`},
		{"hold point before one of several", "before: j,", "before: [j, k],",
			`b.yaml:16: stations[1].hold_points[0].before[1]: there is no joint "k"; the nearest is j`},
		{"symmetry with nothing", "before: j,", "before: j, kind: symmetry,",
			`b.yaml:16: stations[1].hold_points[0].kind: a symmetry that is compared with nothing; name the other hold point under with`},
		{"symmetry without a tolerance", "before: j,", "before: j, kind: symmetry, with: H1,",
			`b.yaml:16: stations[1].hold_points[0].kind: a symmetry without a tolerance; say under tolerance_mm how far the two may differ`},
		{"symmetry with itself", "before: j,", "before: j, kind: symmetry, with: H1, tolerance_mm: 1,",
			`b.yaml:16: stations[1].hold_points[0].with: there is no other hold point of this station "H1", the file ` +
				`has none; add it, or take the name out`},
		{"with, but no symmetry", "before: j,", "before: j, with: H1,",
			`b.yaml:16: stations[1].hold_points[0].with: it is compared with another hold point, but is no symmetry; ` +
				`write kind: symmetry, or take it out`},
		{"dimension without a value", "before: j,", "before: tacks, kind: dimension,",
			`b.yaml:16: stations[1].hold_points[0].kind: a dimension without a value; state value_mm, or write kind: gauge`},
		{"work without its time", "makes: sub,", "makes: sub, work: [{id: w}],",
			`b.yaml:15: stations[0].work[0].time_min: missing: how long they take on one shell of the batch; ` +
				`allowances come on top, practice does not; add it`},
		{"work after nothing known", "makes: sub,", "makes: sub, work: [{id: w, after: jj, time_min: 1}],",
			`b.yaml:15: stations[0].work[0].after: there is no joint, part, hold point or work "jj"; the nearest is j`},
		{"work before itself", "makes: sub,", "makes: sub, work: [{id: w, before: [w], time_min: 1}],",
			`b.yaml:15: stations[0].work[0]: it would wait for itself: w before w; take one of these out of before or after`},
		{"work in a circle", "makes: sub,", "makes: sub, work: [{id: v, after: j, time_min: 1}, {id: w, after: v, before: j, time_min: 1}],",
			`b.yaml:15: stations[0].work[0]: it would wait for itself: v before w before j before v; take one of these out of before or after`},
		{"work for more than there are", "makes: sub,", "makes: sub, work: [{id: w, crew: 2, time_min: 1}],",
			`b.yaml:15: stations[0].work[0].crew: 2 people, and the station's crew is 1; give the station a larger crew`},
		{"guns of a station with their number", "makes: sub,", "makes: sub, guns: [{id: g, count: 0}],",
			`b.yaml:15: stations[0].guns[0].count: 0 is out of range; it may be 1 to 50`},
		{"gun without its id", "makes: sub,", "makes: sub, guns: [{count: 2}],",
			`b.yaml:15: stations[0].guns[0].id: missing: id of a gun at hand; add it`},
		{"gun of a station twice", "makes: sub,", "makes: sub, guns: [g, {id: g, count: 2}],",
			`b.yaml:15: stations[0].guns[1]: gun g is named twice; name it once, with its number: {id: g, count: 2}`},
		{"rollers of a station", "makes: sub,", "makes: sub, rollers: [x],",
			`b.yaml:15: stations[0].rollers[0]: there is no roller "x"; the nearest is r`},
		{"tips of a gun", "tips: [t]", "tips: [u]",
			`b.yaml:20: guns[0].tips[0]: there is no tip "u"; the nearest is t`},
		{"element of a spread", "guns:", "spreads: [{id: gage_s, pct: 30}]\nguns:",
			`b.yaml:19: spreads[0].id: there is no element "gage_s"; the nearest is gauge_s`},
		{"before of a hold point", "before: j", "before: k",
			`b.yaml:16: stations[1].hold_points[0].before: there is no joint "k"; the nearest is j`},
	})
}

func TestBrokenAssembly(t *testing.T) {
	check(t, base, "b.yaml", []broken{
		{"part of itself", "parts: [a, b]", "parts: [a, b, sub]",
			`b.yaml:13: subassemblies[0].parts: a sub-assembly is within itself: sub in sub; take one of them out of the other's parts`},
		{"circle", "  - {id: sub, parts: [a, b]}", "  - {id: sub, parts: [a, b, y]}\n  - {id: x, parts: [sub]}\n  - {id: y, parts: [x]}",
			`b.yaml:13: subassemblies[0].parts: a sub-assembly is within itself: sub in x in y in sub; take one of them out of the other's parts`},
		{"part of two", "  - {id: sub, parts: [a, b]}", "  - {id: sub, parts: [a, b]}\n  - {id: x, parts: [b, c]}",
			`b.yaml:14: subassemblies[1].parts[0]: b is already a part of sub; keep it in one sub-assembly`},
		{"panel at two stations", "arrives: [sub, c]", "arrives: [sub, c, a]",
			`b.yaml:16: stations[1].arrives[2]: a arrives at first already; let it arrive at one station; if it comes on from first, let that ` +
				`make a sub-assembly`},
		{"panel at two stations, once within a bought sub-assembly", "{id: first, makes: sub, arrives", "{id: first, arrives",
			"b.yaml:16: stations[1].arrives[0]: a arrives at first already; let it arrive at one station; if it comes on from first, let that " +
				"make a sub-assembly\n" +
				"b.yaml:16: stations[1].arrives[0]: b arrives at first already; let it arrive at one station; if it comes on from first, let that " +
				"make a sub-assembly"},
		{"panel at no station", "arrives: [sub, c]", "arrives: [sub]",
			`b.yaml:9: panels[2].id: c arrives at no station; add it to the arrives list of first, main`},
		{"arrives, but is no part", "parts: [a, b]", "parts: [a]",
			`b.yaml:15: stations[0].arrives[1]: b arrives where sub is made, but is not one of its parts; add it to the parts of sub, or take it ` +
				`out here`},
		{"part that does not arrive", "makes: sub, arrives: [a, b]", "makes: sub, arrives: [a]",
			"b.yaml:8: panels[1].id: b arrives at no station; add it to the arrives list of first, main\n" +
				`b.yaml:15: stations[0].arrives: b is a part of sub, but does not arrive where that is made; add it to arrives, or take it out of ` +
				`the parts`},
		{"made twice", "{id: main, arrives", "{id: main, makes: sub, arrives",
			`b.yaml:16: stations[1].makes: sub is already made at first; let each sub-assembly leave one station`},
		{"nothing arrives", "{id: first, makes: sub, arrives: [a, b]}", "{id: first, makes: sub, arrives: [a, b]}\n  - {id: empty}",
			`b.yaml:16: stations[1].arrives: nothing arrives at empty; name the panels and sub-assemblies that are loaded there, or take the ` +
				`station out`},
	})
}

func TestBrokenFiles(t *testing.T) {
	check(t, base, "b.yaml", []broken{
		{"no such mesh", "mesh: a.stl", "mesh: parts/a.stl",
			`b.yaml:7: panels[0].mesh: there is no file "parts/a.stl"; check the name; it starts at the shell file's folder`},
		{"backslashes", "mesh: a.stl", `mesh: parts\a.stl`,
			`b.yaml:7: panels[0].mesh: there is no file "parts\\a.stl"; write folders with forward slashes: parts/a.stl`},
		{"nothing is expanded", "mesh: a.stl", `mesh: $HOME/~/%61.stl`,
			`b.yaml:7: panels[0].mesh: there is no file "$HOME/~/%61.stl"; check the name; it starts at the shell file's folder`},
		{"folder", "mesh: a.stl", "mesh: folder.stl",
			`b.yaml:7: panels[0].mesh: "folder.stl" is not a file; name the file itself`},
		{"drawing as mesh", "mesh: a.stl", "mesh: blank.dxf",
			`b.yaml:7: panels[0].mesh: "blank.dxf" is no .stl file; name a drawing under outline`},
		{"mesh as outline", "mesh: a.stl", "outline: a.stl",
			`b.yaml:7: panels[0].outline: "a.stl" is no .dxf or .csv file; name a mesh under mesh`},
		{"text as weld line", "panels: [a, b]}\nguns", "panels: [a, b], weld_line: {file: notes.txt}}\nguns",
			`b.yaml:18: joints[0].weld_line.file: "notes.txt" is no .dxf or .csv file; save it as one`},
		{"no such weld line", "panels: [a, b]}\nguns", "panels: [a, b], weld_line: {file: lines.csv}}\nguns",
			`b.yaml:18: joints[0].weld_line.file: there is no file "lines.csv"; check the name; it starts at the shell file's folder`},
	})
}

// At most twenty problems are told one by one; the rest are counted.
func TestProblemsAreCapped(t *testing.T) {
	var b strings.Builder
	b.WriteString("name: many\n")
	for i := range 33 {
		fmt.Fprintf(&b, "key_%d: 1\n", i)
	}
	_, _, err := Read(put(t, "many.yaml", b.String()), nil)
	if err == nil {
		t.Fatal("accepted")
	}
	lines := strings.Split(err.Error(), "\n")
	if len(lines) != 21 || !strings.Contains(lines[19], "many.yaml:21: key_19: ") || lines[20] != "and 13 more problems; mend these first" {
		t.Errorf("%d lines, the last %q", len(lines), lines[len(lines)-1])
	}
}

// Whatever text a file holds, each problem stays on one line.
func TestProblemsAreOneLine(t *testing.T) {
	hostile := "a\\nb\\u2028c\\u0085\\e[31m"
	_, _, err := Read(put(t, "h.yaml", "name: \""+hostile+"\"\n\""+hostile+"\": 1\nunit: \""+hostile+"\"\n"), nil)
	if err == nil {
		t.Fatal("accepted")
	}
	if got := err.Error(); strings.Count(got, "\n") != 0 || strings.ContainsAny(got, "\u2028\u0085\x1b") {
		t.Errorf("%q", got)
	}
}
