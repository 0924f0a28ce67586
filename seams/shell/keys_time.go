package shell

import "strings"

// The relaxation allowances follow the example table of the ILO's Introduction to Work Study (from memory). The
// table gives two columns, for men and for women; the larger figure stands here, so that the time holds for
// whoever welds.
const ilo = "ILO, Introduction to Work Study, example of relaxation allowances; memory"

func moneyKeys() []Key {
	pct := func(name, meaning string, value, greatest float64, source string) Key {
		return Key{Name: name, Meaning: meaning, Unit: "%", Default: value, Least: 0, Greatest: greatest, Source: source}
	}
	money := func(name, meaning, unit string, value float64) Key {
		return Key{Name: name, Meaning: meaning, Unit: unit, Default: value, Least: 0, Greatest: 1e7, Source: Practice + ": state your own"}
	}
	return []Key{
		{Name: "rates.currency", Meaning: "code after ISO 4217", Default: "EUR", Source: Choice},
		money("rates.labour_per_hour", "one person", "money/h", 45),
		{Name: "rates.jig_per_hour", Meaning: "jig preparation; 0: as labour", Unit: "money/h", Default: 0.0, Least: 0, Greatest: 1e7,
			Source: Choice},
		{Name: "rates.jig_base_h", Meaning: "making a jig again, its frame, paid as jig preparation: where a jig's work is spread over stations",
			Unit: "h", Default: 24.0, Least: 0, Greatest: 10_000, Source: Practice},
		{Name: "rates.jig_fixture_h", Meaning: "and for each of its clamps and dowels, set and checked", Unit: "h", Default: 3.0, Least: 0,
			Greatest: 1000, Source: Practice},
		{Name: "rates.jig_move_min", Meaning: "rolling a jig on to the next station with what it holds, or back empty, all who push counted: " +
			"where a jig's work is spread over stations and it travels", Unit: "min", Default: 5.0, Least: 0, Greatest: 1000, Source: Practice},
		money("rates.energy_per_kwh", "electricity", "money/kWh", 0.25),
		pct("rates.overhead_pct", "added to labour", 0, 1000, Choice),
		pct("rates.utilisation_pct", "kW of the kVA drawn while current flows: open voltage x current, or the rating", 80, 500, Practice),
		money("rates.coupon_price", "sheet for one test coupon", "money", 0.5),
		{Name: "rates.hours_per_week", Meaning: "worked at each jig", Unit: "h", Default: 38.0, Least: 1, Greatest: 168, Source: Practice},
		{Name: "rates.water_per_m3", Meaning: "cooling water that runs to waste; 0: it goes round and is overhead", Unit: "money/m³", Least: 0,
			Greatest: 1e7},
		{Name: "rates.water_l_per_min", Meaning: "cooling water through a gun or roller in use; counts only with a price", Unit: "l/min",
			Default: 6.0, Least: 0, Greatest: 1000, Source: Practice},

		pct("allowances.personal_pct", "personal needs", 7, 100, ilo+" (5 and 7)"),
		pct("allowances.fatigue_pct", "basic fatigue", 4, 100, ilo+" (4 and 4)"),
		pct("allowances.posture_pct", "standing, bending and the weight of the gun", 10, 200,
			ilo+": standing 2 and 4, awkward 2 and 3, force of 7.5 kg 2 and 3; the sum of the larger, calculated"),
		pct("allowances.contingency_pct", "small delays", 5, 100, Practice),
		pct("allowances.rework_pct", "welds made again", 2, 100, Practice),
		{Name: "allowances.trim_mm", Meaning: "of a panel's blank on every side, to trim away", Unit: "mm", Default: 10.0, Least: 0,
			Greatest: 500, Source: Practice},
		{Name: "allowances.press_mm", Meaning: "of a panel's blank on every side, for the blank holder of the press", Unit: "mm",
			Default: 15.0, Least: 0, Greatest: 500, Source: Practice},
		{Name: "allowances.learning", Meaning: "time left at each doubling of the count, cumulative-average model (Wright 1936); 1: none",
			Default: 0.95, Least: 0.5, Greatest: 1, Source: "half the gain of the 90 % often printed for repetitive welding; memory, no document"},
		{Name: "allowances.shells_before", Meaning: "shells of this kind made before this batch: practice goes on from there", Least: 0,
			Greatest: 100_000},
		{Name: "allowances.plateau_shells", Meaning: "shell, counted from the very first, from which practice shortens nothing more; " +
			"0: it always does", Least: 0, Greatest: 100_000},
	}
}

// elementKeys are the times of a first shell: practice over the batch shortens hand work. At these times, with 35 mm
// pitch, a weld within a run takes 6.6 s on the first shell and 5.3 s averaged over 24, against the 4 to 7 s of a
// portable gun, moving included (memory, no document). The rest is what surrounds the welds: fetching, fitting,
// clamping, walking, turning the gun, gauging and looking. The start of a run within a jig, with the way to it, then comes
// to 10 to 20 s (common practice, no source).
func elementKeys() []Key {
	sec := func(name, meaning, unit string, value float64) Key {
		return Key{Name: "elements." + name, Meaning: meaning, Unit: unit, Default: value, Least: 0, Greatest: 36_000, Source: Practice}
	}
	position := sec("position_s", "aim the gun at one weld", "s", 5)
	position.Source = "most of the 4 to 7 s a weld, moving included, that a portable gun takes: memory, no document"
	squeeze := sec("squeeze_s", "close the tips and build up force", "s", 0.4)
	squeeze.Source = "common practice, no source: above the least of 17 cycles at 50 Hz (0.34 s) that teaching slides give a pneumatic gun"
	return []Key{
		sec("load_panel_s", "fetch one panel or sub-assembly, wipe its flanges and set it in the jig", "s", 120),
		sec("load_per_kg_s", "and for each kilogram of it", "s/kg", 3),
		sec("dowel_s", "put one dowel in", "s", 10),
		sec("clamp_s", "close one clamp and see that the sheets seat", "s", 12),
		sec("release_s", "open one clamp", "s", 5),
		sec("gauge_s", "one hold point: measure, set, measure again", "s", 300),
		squeeze,
		position,
		sec("open_s", "let the tips open and draw the gun off one weld", "s", 0.6),
		{Name: "elements.move_mm_per_s", Meaning: "speed of the gun from weld to weld", Unit: "mm/s", Default: 150.0, Least: 1, Greatest: 10_000,
			Source: Practice},
		sec("take_gun_s", "put one gun down and take another", "s", 40),
		sec("hand_over_s", "give a gun to somebody else at the station, with its cables and hoses", "s", 10),
		sec("tip_change_s", "change to another tip", "s", 120),
		sec("setting_change_s", "choose another setting on the timer of the same gun", "s", 15),
		sec("dressing_s", "dress one pair of tips", "s", 45),
		sec("cap_change_s", "change one pair of caps", "s", 120),
		sec("roller_start_s", "bring the roller head up, set it on the seam and turn the water on", "s", 180),
		sec("wheel_change_s", "change one pair of roller wheels", "s", 900),
		sec("lift_out_s", "open the jig, lift out and put on a trolley", "s", 300),
		sec("inspect_s", "look at one weld and note it", "s", 12),
		{Name: "elements.inspect_every", Meaning: "one in so many welds is looked at", Default: 10, Least: 1, Greatest: 1_000_000,
			Source: Practice},
		sec("coupon_s", "weld one test coupon, peel or chisel it and measure the button", "s", 300),
		{Name: "elements.coupons", Meaning: "test coupons for a shell, by station and gun", Default: 1.0, Least: 0, Greatest: 1000,
			Source: Practice},
		sec("mark_s_per_m", "mark out a metre of weld line on one shell", "s/m", 40),
		sec("start_run_s", "at each run: grip the hanging gun and find the line; the way there is moving", "s", 6),
		sec("posture_s", "at a run whose first weld asks for another posture than the weld before: turn the gun, kneel, rise, step round",
			"s", 8),
		sec("fit_s_per_m", "pull a metre of flange together with hand clamps, look for gaps, take them off again", "s/m", 120),
	}
}

// spreadKeys say how far the estimate's inputs may be off.
func spreadKeys() []Key {
	return []Key{
		{Name: "material[].grade", Meaning: "grade of sheet that is bought", Required: true},
		{Name: "material[].thickness_mm", Meaning: "its nominal thickness", Unit: "mm", Required: true, Least: 0.1, Greatest: 10},
		{Name: "material[].coating", Meaning: "its coating, as of the steels; left out: none"},
		{Name: "material[].price_per_kg", Meaning: "its price a kilogram, in rates.currency", Unit: "money", Required: true, Least: 0,
			Greatest: 1e6},
		{Name: "spreads[].id", Meaning: "key of an element without the table's name, or prepare_min, learning, rework_pct, or common: all " +
			"times together", Required: true},
		{Name: "spreads[].pct", Meaning: "one standard deviation, of the value; a quote's range comes from these, and elements that are not " +
			"listed have the program's", Unit: "%", Least: 0, Greatest: 200},
	}
}

// SpreadIDs are what a spread may be stated for.
func SpreadIDs() []string {
	var out []string
	for _, k := range elementKeys() {
		if strings.Contains(k.Name, "_s") {
			out = append(out, strings.TrimPrefix(k.Name, "elements."))
		}
	}
	return append(out, "prepare_min", "learning", "rework_pct", "common")
}

// spreadNames are short enough to stand before a bar; the keys' meanings say more.
var spreadNames = map[string]string{
	"load_panel_s":     "fetch and load a panel",
	"load_per_kg_s":    "load a panel, by its kilograms",
	"dowel_s":          "put a dowel in",
	"clamp_s":          "close a clamp",
	"release_s":        "open a clamp",
	"gauge_s":          "gauge a hold point",
	"squeeze_s":        "close the tips and build up force",
	"position_s":       "aim the gun at a weld",
	"open_s":           "draw the gun off a weld",
	"move_mm_per_s":    "speed of the gun from weld to weld",
	"take_gun_s":       "take another gun",
	"hand_over_s":      "hand a gun over",
	"tip_change_s":     "change to another tip",
	"setting_change_s": "choose another setting",
	"dressing_s":       "dress a pair of tips",
	"cap_change_s":     "change a pair of caps",
	"roller_start_s":   "set the roller head on a seam",
	"wheel_change_s":   "change a pair of roller wheels",
	"lift_out_s":       "open the jig and lift out",
	"inspect_s":        "look at a weld and note it",
	"coupon_s":         "weld and peel a test coupon",
	"mark_s_per_m":     "mark out a metre of weld line",
	"start_run_s":      "begin a run: grip the gun, find the line",
	"posture_s":        "take up another posture",
	"fit_s_per_m":      "fit a metre of flange together",
	"prepare_min":      "get a jig ready for the batch",
	"learning":         "practice over the batch",
	"rework_pct":       "welds made again",
	"common":           "the works' own pace: all times together",
}

// SpreadName is in a few words what a spread is stated for; what has no name is called by its id.
func SpreadName(id string) string {
	if name, ok := spreadNames[id]; ok {
		return name
	}
	return id
}
