package wide

import (
	"fmt"
	"hash/fnv"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// tree is the shell file for a group of bays.
func (m *maker) tree(group []bay) table {
	t := table{"name": fmt.Sprintf("Small shell %d", m.number), "unit": "mm", "batch": pick(m, 1, 4, 10, 24, 37, 60)}
	m.heading(t)
	var joints []table
	for i, b := range group {
		for k, j := range b.joints {
			m.demand(j, b, k, i)
		}
		joints = append(joints, b.joints...)
	}
	m.gear(t)
	m.jigs(t, group)
	panels := []table{}
	for _, b := range group {
		panels = append(panels, b.panels...)
	}
	t["panels"], t["joints"], t["steels"] = panels, joints, m.steels
	if crews := t["people"].(int); crews == 0 {
		delete(t, "people")
	} else {
		largest := 1
		for _, s := range t["stations"].([]table) {
			crew, _ := s["crew"].(int)
			largest = max(largest, crew)
		}
		t["people"] = largest + crews - 1
	}
	m.mixed(t)
	m.rules(t, joints)
	m.money(t)
	m.measured(t, group)
	return t
}

// heading fills in the title block, and how the works is staffed.
func (m *maker) heading(t table) {
	for key, value := range map[string]any{"number": "W-1", "owner": "Tarn Cabs", "creator": "planning", "issued": "2026-03-02"} {
		if m.number%2 == len(key)%2 {
			t[key] = value
		}
	}
	if m.chance(.5) {
		t["revision"] = pick(m, "A", "C", "12")
	}
	if m.chance(.3) {
		t["status"] = "demonstration"
	}
	t["people"] = m.rng.IntN(5) // and as many more as the largest crew
	if m.chance(.3) {
		t["shifts"] = 1 + m.rng.IntN(3)
	}
	if m.chance(.3) {
		t["gap_limit_mm"] = pick(m, .2, .5, .8)
	}
}

// demand draws what is asked of a joint.
func (m *maker) demand(j table, b bay, k, number int) {
	for range 1 + m.rng.IntN(4) {
		m.ask(j, b, k, number)
	}
	if b.joints[len(b.joints)-1]["mirror_of"] != nil && j["kind"] == "roller" {
		j["kind"] = "spot+roller"
	}
	if j["mirror_of"] != nil { // it takes over its twin's
		for _, key := range []string{"pitch_mm", "count", "rows", "row_distance_mm", "edge_of", "edge_mm", "welds", "row_pitch_mm", "kind"} {
			delete(j, key)
		}
		if kind := b.joints[0]["kind"]; kind != nil {
			j["kind"] = kind
		}
	}
	if j["kind"] == "roller" {
		for _, key := range []string{"count", "rows", "row_distance_mm", "row_pitch_mm", "pitch_mm", "sealed", "gun", "tip", "fill",
			"tack_order", "tack_every_mm", "setting_table", "welds"} {
			delete(j, key)
		}
	}
	if j["row_pitch_mm"] != nil {
		for _, key := range []string{"rows", "row_distance_mm", "edge_of", "edge_mm", "welds", "kind", "count"} {
			delete(j, key)
		}
	}
	if j["weld_line"] != nil {
		for _, key := range []string{"clamp_gap_mm", "clamp_angle_deg", "edge_of", "edge_mm", "row_pitch_mm"} {
			delete(j, key)
		}
	}
	if rows, _ := j["rows"].(int); rows < 2 {
		delete(j, "row_distance_mm")
	}
}

// ask adds one thing.
func (m *maker) ask(j table, b bay, k, number int) {
	length := m.between(60, 300)
	panels := j["panels"].([]string)
	switch m.rng.IntN(24) {
	case 0, 1:
		j["pitch_mm"] = m.tenths(16, 60)
	case 2:
		j["count"] = 2 + m.rng.IntN(11)
	case 3, 4:
		load := table{"shear_n": math.Round(m.between(1000, 14000))}
		if m.chance(.6) {
			load["direction"] = pick(m, "along", "across")
		}
		if m.chance(.3) {
			load["tension_n"] = math.Round(m.between(200, 6000))
		}
		j["load"] = load
	case 5:
		j["load"] = table{"flow_n_per_mm": m.tenths(5, 70), "direction": pick(m, "along", "across")}
	case 6:
		if len(b.spots) > k {
			j["forces"] = []table{{"at_mm": xyz(b.spots[k]), "force_n": []float64{math.Round(m.between(-4000, 4000)),
				math.Round(m.between(-3000, 3000)), math.Round(m.between(-1500, 1500))}, "on": panels[0]},
				{"at_mm": xyz(b.spots[0]), "moment_nm": []float64{0, m.tenths(-30, 30), m.tenths(0, 90)}}}
		}
	case 7, 8:
		for range 1 + m.rng.IntN(2) {
			if len(b.spots) == 0 {
				break
			}
			outs, _ := j["keep_outs"].([]table)
			j["keep_outs"] = append(outs, table{"at_mm": xyz(pick(m, b.spots...)), "radius_mm": m.tenths(4, 26),
				"why": pick(m, "bolt", "", "trim clip")})
		}
	case 9:
		j["rows"] = 1 + m.rng.IntN(4)
		if m.chance(.4) {
			j["row_distance_mm"] = m.tenths(8, 16)
		}
	case 10:
		j["edge_of"], j["edge_mm"] = pick(m, panels...), m.tenths(5, 10)
	case 11:
		at := m.tenths(10, length)
		of := table{"id": "w1", "along_mm": at, "do": pick(m, "pin", "add", "leave-out", "move")}
		if of["do"] == "move" {
			of["to_mm"] = at + m.tenths(1, 9)
		}
		j["welds"] = []table{of, {"id": "w2", "along_mm": at + m.tenths(20, 60), "do": pick(m, "pin", "add", "leave-out")}}
	case 12:
		j["tack_every_mm"] = m.tenths(50, 240)
	case 13:
		j["fill"] = pick(m, "skips", "through")
	case 14:
		j["tack_order"] = pick(m, "quarters", "middle-first", "datum-first", "through")
	case 15:
		j["sealed"] = true
	case 16:
		j["compression_mpa"] = m.tenths(30, 190)
	case 17:
		j["kind"] = "roller"
	case 18, 19:
		j["kind"] = "spot+roller"
	case 20:
		j["setting_table"] = pick(m, "optimum", "class-a", "class-b", "class-c", "aws-c1.1")
	case 21:
		j["gun"] = "main"
	case 22:
		j["clamp_gap_mm"] = m.tenths(.2, 2.5)
		if m.chance(.5) {
			j["clamp_angle_deg"] = m.tenths(8, 24)
		}
	case 23:
		j["name"] = fmt.Sprintf("seam %d of bay %d", k+1, number+1)
	}
}

// gear draws guns, tips and rollers: most shells have one that does, some none.
func (m *maker) gear(t table) {
	good := table{"id": "main", "throat_depth_mm": m.tenths(280, 460), "throat_gap_mm": m.tenths(180, 300), "arm_mm": m.tenths(22, 40),
		"stroke_mm": m.tenths(40, 90), "force_n": m.tenths(2600, 6500), "power_kva": m.tenths(40, 90), "current_a": m.tenths(12500, 19000),
		"voltage_v": m.tenths(5, 9), "mass_kg": m.tenths(12, 36)}
	if m.number%7 == 3 {
		good["throat_depth_mm"], good["throat_gap_mm"] = m.tenths(45, 110), m.tenths(45, 110)
	}
	guns := []table{good}
	for i := range m.rng.IntN(4) {
		g := table{"id": fmt.Sprintf("gun%d", i+2), "throat_depth_mm": m.tenths(60, 420), "throat_gap_mm": m.tenths(70, 280),
			"arm_mm": m.tenths(16, 60)}
		for key, value := range map[string]float64{"stroke_mm": m.tenths(8, 100), "force_n": m.tenths(900, 5500), "power_kva": m.tenths(5, 80),
			"current_a": m.tenths(4000, 19000), "voltage_v": m.tenths(3, 12), "mass_kg": m.tenths(6, 60)} {
			g[key] = value
		}
		for _, key := range []string{"stroke_mm", "force_n", "power_kva", "current_a", "voltage_v", "mass_kg"} {
			if m.chance(.3) {
				delete(g, key)
			}
		}
		if m.chance(.4) {
			g["letter"], g["name"] = string(rune('P'+i)), fmt.Sprintf("gun number %d", i+2)
		}
		guns = append(guns, g)
	}
	tips := []table{{"id": "dome", "face_mm": pick(m, 5.5, 6, 6.2), "length_mm": m.tenths(30, 80)}}
	for i := range m.rng.IntN(3) {
		tip := table{"id": fmt.Sprintf("tip%d", i+2), "shape": pick(m, "domed", "flat", "truncated", "narrow-flat"), "face_mm": m.tenths(4, 9)}
		m.within(tip, .7, map[string][2]float64{"shank_mm": {6, 24}, "shank_long_mm": {10, 26}, "length_mm": {12, 90}, "price": {3, 20}})
		if m.chance(.5) {
			tip["dress_every"], tip["dressings"] = 20+m.rng.IntN(200), m.rng.IntN(12)
		}
		tips = append(tips, tip)
	}
	if len(guns) > 1 && len(tips) > 1 && m.chance(.4) {
		guns[1]["tips"] = []string{tips[1]["id"].(string)}
	}
	rollers := []table{{"id": "wheel", "current_a": 20000, "voltage_v": 6}}
	if m.chance(.6) {
		rollers = append(rollers, table{"id": "small", "wheel_width_mm": m.tenths(3, 7), "wheel_diameter_mm": m.tenths(50, 200),
			"least_radius_mm": m.tenths(20, 300), "dress_every_m": m.tenths(1, 60), "wheel_life_m": m.tenths(20, 900)})
	}
	if m.chance(.3) {
		rollers[0]["speed_m_per_min"] = m.tenths(.4, 3)
	}
	t["guns"], t["tips"], t["rollers"] = guns, tips, rollers
	if m.chance(.4) {
		t["supply"] = table{"frequency_hz": pick(m, 50, 60), "kind": pick(m, "ac", "mfdc")}
	}
}

// jigs draws one to three stations, each taking in what the one before made.
func (m *maker) jigs(t table, group []bay) {
	n := min(1+m.rng.IntN(3), len(group))
	stations := make([]table, n)
	made := make([][]string, n)
	var subs []table
	for k := range stations {
		id := fmt.Sprintf("st%d", k+1)
		stations[k] = table{"id": id}
		if k > 0 {
			made[k] = append(made[k], fmt.Sprintf("sub%d", k))
		}
		for i, b := range group {
			for p, panel := range b.panels {
				at := i * n / len(group)
				if b.late > 0 && p >= len(b.panels)-b.late && (m.number+i)%3 == 0 {
					at = min(at+1, n-1)
				}
				if at == k {
					made[k] = append(made[k], panel["id"].(string))
				}
			}
		}
		if n > 1 {
			stations[k]["makes"] = fmt.Sprintf("sub%d", k+1)
			subs = append(subs, table{"id": fmt.Sprintf("sub%d", k+1), "parts": slices.Clone(made[k])})
		}
		arrives := slices.Clone(made[k])
		if m.chance(.5) {
			m.rng.Shuffle(len(arrives), func(a, b int) { arrives[a], arrives[b] = arrives[b], arrives[a] })
		}
		stations[k]["arrives"] = arrives
		var own []bay
		for i, b := range group {
			if i*n/len(group) == k {
				own = append(own, b)
			}
		}
		m.jig(t, stations[k], own, arrives, k)
	}
	t["stations"] = stations
	if len(subs) > 0 {
		t["subassemblies"] = subs
	}
}

// jig draws what stands at a station.
func (m *maker) jig(t table, s table, own []bay, arrives []string, k int) {
	if m.chance(.5) {
		s["crew"] = 1 + m.rng.IntN(3)
	}
	if m.chance(.3) {
		s["name"], s["jig"] = fmt.Sprintf("Station %d", k+1), "J"+fmt.Sprint(k+1)
	}
	if m.chance(.4) {
		s["prepare_min"], s["changeover_min"] = m.tenths(20, 300), m.tenths(0, 90)
	}
	guns := t["guns"].([]table)
	if m.chance(.4) {
		var at []any
		for i, g := range guns {
			if i == 0 || m.chance(.6) {
				at = append(at, table{"id": g["id"], "count": 1 + m.rng.IntN(2)})
			}
		}
		s["guns"] = at
	}
	var spots, ends []r3s
	var joints []string
	for _, b := range own {
		for _, p := range b.spots {
			spots = append(spots, xyz(p))
		}
		for _, p := range b.ends {
			ends = append(ends, xyz(p))
		}
		for _, j := range b.joints {
			joints = append(joints, j["id"].(string))
		}
	}
	m.fixtures(s, spots)
	m.gauges(s, spots, ends, joints, arrives)
	m.work(s, joints, arrives)
}

type r3s = []float64

func (m *maker) fixtures(s table, spots []r3s) {
	var clamps, dowels []table
	for _, p := range spots {
		near := []float64{p[0] + m.tenths(-6, 6), p[1] + m.tenths(-6, 6), p[2]}
		switch {
		case m.chance(.3):
			c := table{"at_mm": near}
			if m.chance(.7) {
				c["radius_mm"] = m.tenths(8, 30)
			}
			if m.chance(.25) {
				c["release"] = "end"
			}
			if m.chance(.3) {
				c["id"] = fmt.Sprintf("K%d", len(clamps)+1)
			}
			clamps = append(clamps, c)
		case m.chance(.2):
			d := table{"at_mm": near}
			if m.chance(.5) {
				d["radius_mm"] = m.tenths(3, 12)
			}
			dowels = append(dowels, d)
		}
	}
	if len(clamps) > 0 {
		s["clamps"] = clamps
		if m.chance(.4) {
			s["clamps_open"] = "one-by-one"
		}
	}
	if len(dowels) > 0 {
		s["dowels"] = dowels
	}
}

func (m *maker) gauges(s table, spots, ends []r3s, joints, arrives []string) {
	var points []table
	distance := func(a, b r3s) float64 {
		return math.Round(10*math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])) / 10
	}
	if len(ends) > 1 && m.chance(.6) {
		h := table{"id": "H1", "text": "length over all", "at_mm": ends[0], "to_mm": ends[1], "value_mm": distance(ends[0], ends[1])}
		if m.chance(.6) {
			h["tolerance_mm"] = m.tenths(.5, 3)
		}
		points = append(points, h)
		if len(ends) > 3 && m.chance(.6) {
			points = append(points, table{"id": "H2", "text": "the same on the other side", "kind": "symmetry", "with": "H1", "at_mm": ends[2],
				"to_mm": ends[3], "value_mm": distance(ends[2], ends[3]), "tolerance_mm": m.tenths(1, 3)})
		}
	}
	if m.chance(.5) && len(spots) > 0 {
		g := table{"text": "gauge drops in", "at_mm": pick(m, spots...)}
		switch m.rng.IntN(4) {
		case 0:
			g["before"] = "tacks"
		case 1:
			g["before"] = []string{pick(m, joints...)}
		case 2:
			g["before"] = []string{pick(m, arrives...)}
		}
		points = append(points, g)
	}
	if len(points) > 0 {
		s["hold_points"] = points
	}
}

func (m *maker) work(s table, joints, arrives []string) {
	if m.chance(.6) {
		return
	}
	w := table{"id": "prime", "name": "brush primer on", "time_min": m.tenths(1, 9)}
	switch m.rng.IntN(3) {
	case 0:
		w["before"] = pick(m, joints...)
	case 1:
		w["after"] = pick(m, arrives...)
	}
	list := []table{w}
	if m.chance(.5) {
		w := table{"id": "seal", "time_min": m.tenths(.5, 6), "after": pick(m, joints...), "source": "timed on five shells"}
		if s["crew"] != nil {
			w["crew"] = s["crew"]
		}
		list = append(list, w)
	}
	s["work"] = list
}

// mixed adds a joint that names sheets in another order, or leaves the joints to be found.
func (m *maker) mixed(t table) {
	joints := t["joints"].([]table)
	drawn := slices.ContainsFunc(joints, func(j table) bool { return j["weld_line"] != nil })
	if m.number%11 == 5 && len(t["stations"].([]table)) == 1 && !drawn {
		delete(t, "joints")
		s := t["stations"].([]table)[0]
		delete(s, "hold_points")
		delete(s, "work")
	}
}

// rules draws figures over the book, sources of it, and waivers.
func (m *maker) rules(t table, joints []table) {
	r := table{}
	m.within(r, .15, map[string][2]float64{"least_pitch_mm": {14, 24}, "greatest_pitch_mm": {30, 70}, "edge_distance_mm": {4, 8},
		"end_distance_mm": {4, 14}, "bend_clearance_mm": {1, 4}, "tack_every_mm": {60, 220}, "weld_tolerance_mm": {.5, 4},
		"tension_factor": {1, 2}})
	if m.chance(.3) {
		var use []table
		for _, of := range rule.Book() {
			own := m.own(of.ID)
			if len(of.Sources) > 1 && own.chance(.35) {
				use = append(use, table{"rule": of.ID, "source": pick(own, of.Sources[1:]...).ID})
			}
		}
		if use != nil {
			r["use"] = use
		}
	}
	m.drawnKeys(r, "rules.", .2)
	if m.chance(.2) {
		m.files["book.yaml"] = []byte(fmt.Sprintf("rules:\n  - {id: pitch.greatest, value: %d}\n  - {id: end.least, value: %d}\n",
			26+m.rng.IntN(20),
			5+m.rng.IntN(9)))
		r["book"] = "book.yaml"
	}
	if len(r) > 0 {
		t["rules"] = r
	}
	var waivers []table
	for _, id := range []string{"pitch.greatest", "count.load.least", "end.greatest", "edge.least", "reach.free.least", "gap.greatest"} {
		if known := slices.ContainsFunc(rule.Book(), func(r rule.Rule) bool { return r.ID == id }); known && m.chance(.12) {
			w := table{"rule": id, "reason": "peel tested", "name": "A. Welder"}
			if m.chance(.6) && t["joints"] != nil {
				w["where"] = pick(m, joints...)["id"]
			}
			waivers = append(waivers, w)
		}
	}
	if waivers != nil {
		t["waivers"] = waivers
	}
}

// own draws for one key or rule by itself, so that another one more does not change them all.
func (m *maker) own(name string) *maker {
	h := fnv.New64a()
	h.Write([]byte(name)) // never fails
	return &maker{rng: rand.New(rand.NewPCG(uint64(m.number), h.Sum64())), number: m.number}
}

// within states some of the keys, each by chance, at a value between two.
func (m *maker) within(t table, chance float64, of map[string][2]float64) {
	for _, key := range slices.Sorted(maps.Keys(of)) {
		if m.chance(chance) {
			t[key] = m.tenths(of[key][0], of[key][1])
		}
	}
}

// drawnKeys states keys below a prefix at random: words, and numbers about their defaults.
func (m *maker) drawnKeys(t table, prefix string, p float64) {
	for _, k := range shell.Keys() {
		name, ok := strings.CutPrefix(k.Name, prefix)
		own := m.own(k.Name)
		if !ok || strings.ContainsAny(name, ".[") || t[name] != nil || !own.chance(p) {
			continue
		}
		scale := math.Exp(own.between(-.7, .7))
		switch d := k.Default.(type) {
		case float64:
			t[name] = math.Round(100*min(k.Greatest, max(k.Least, d*scale))) / 100
		case int:
			t[name] = int(min(k.Greatest, max(k.Least, math.Round(float64(d)*scale))))
		default:
			if len(k.Words) > 0 {
				t[name] = pick(own, k.Words...)
			}
		}
	}
}

// money draws rates, times, prices and an offer.
func (m *maker) money(t table) {
	rates := table{"currency": pick(m, "EUR", "GBP", "USD", "SEK", "JPY")}
	m.drawnKeys(rates, "rates.", .4)
	if m.chance(.3) {
		rates["water_per_m3"] = m.tenths(1, 4)
	}
	if m.chance(.5) {
		rates["labour_per_hour"], rates["overhead_pct"], rates["energy_per_kwh"] = m.tenths(30, 70), m.tenths(0, 60), m.tenths(.1, .4)
	}
	elements, allowances := table{}, table{}
	m.drawnKeys(elements, "elements.", .25)
	m.drawnKeys(allowances, "allowances.", .3)
	for key, of := range map[string][2]float64{"rework_pct": {0, 8}, "learning": {.8, 1}, "trim_mm": {0, 15}, "press_mm": {0, 25}} {
		if m.number%4 == len(key)%4 {
			allowances[key] = math.Round(100*(of[0]+of[1])/2) / 100
		}
	}
	if m.chance(.2) {
		allowances["shells_before"], allowances["plateau_shells"] = m.rng.IntN(40), m.rng.IntN(60)
	}
	t["rates"], t["elements"], t["allowances"] = rates, elements, allowances
	var material []table
	seen := map[string]bool{}
	for _, s := range m.steels {
		key := fmt.Sprint(s["grade"], s["thickness_mm"], s["coating"])
		if seen[key] || m.chance(.3) {
			continue
		}
		seen[key] = true
		of := table{"grade": s["grade"], "thickness_mm": s["thickness_mm"], "price_per_kg": m.tenths(.8, 2)}
		if s["coating"] != nil {
			of["coating"] = s["coating"]
		}
		material = append(material, of)
	}
	if material != nil {
		t["material"] = material
	}
	if m.chance(.4) {
		t["spreads"] = []table{{"id": "position_s", "pct": m.tenths(5, 60)}, {"id": "common", "pct": m.tenths(2, 20)}}
	}
	if m.chance(.6) {
		m.offer(t)
	}
}

func (m *maker) offer(t table) {
	o := table{"margin_pct": m.tenths(0, 30), "discount_pct": m.tenths(0, 10), "vat_pct": pick(m, 0., 21), "subcontract_pct": m.tenths(0, 12)}
	lines := []table{{"id": "press", "what": "press the panels", "price": m.tenths(20, 200), "by": "subcontract"},
		{"id": "dies", "what": "make the dies", "price": m.tenths(500, 9000), "per": "batch", "quantity": pick(m, 1., 2.5)},
		{"id": "paint", "what": "prime and paint", "price": m.tenths(10, 90), "quantity": pick(m, 1., 3)}}
	o["lines"] = lines[:m.rng.IntN(len(lines)+1)]
	if m.chance(.5) {
		o["breaks"] = []table{{"shells": 3}, {"shells": 20, "discount_pct": m.tenths(1, 6)}, {"shells": 90, "discount_pct": m.tenths(2, 9)}}
	}
	for key, value := range map[string]any{"number": "Q-7", "date": "2026-03-09", "customer": "Orchard Machines, Mill Lane 4",
		"valid_days":     30,
		"delivery_weeks": 8.5, "terms": "Delivered unpacked. Paid in 30 days, without deduction, to the account that stands on the invoice."} {
		if m.number%3 == len(key)%3 {
			o[key] = value
		}
	}
	if m.chance(.3) {
		o["steel"] = "customer"
	}
	t["offer"] = o
}

// measured gives a joint the points of a survey, in some shells.
func (m *maker) measured(t table, group []bay) {
	if m.number%9 != 4 || t["joints"] == nil {
		return
	}
	for _, b := range group {
		j := b.joints[0]
		if len(b.spots) < 3 || len(b.joints) > 1 || j["weld_line"] != nil || j["kind"] != nil || j["row_pitch_mm"] != nil {
			continue
		}
		for _, key := range []string{"count", "pitch_mm", "rows", "row_distance_mm", "edge_of", "edge_mm", "welds", "load", "forces", "sealed"} {
			delete(j, key)
		}
		text := "x,y,z,joint\n"
		for _, p := range b.spots {
			text += fmt.Sprintf("%.2f,%.2f,%.2f,%s\n", p.X, p.Y, p.Z, j["id"])
		}
		m.files["points.csv"] = []byte(text)
		t["survey"] = table{"file": "points.csv"}
		return
	}
}
