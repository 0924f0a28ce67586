package quote

import (
	"seamwright/seams/shell"
)

// practice is where every spread comes from that the shell file does not state.
const practice = "common practice, no source"

// Spread is how far one figure of an estimate may be off.
type Spread struct {
	ID     string  `json:"id" about:"key of the shell file"`
	Pct    float64 `json:"pct" about:"one standard deviation, of the value"`
	Source string  `json:"source" about:"shell file, or the program's default"`
}

// Name is what it is stated for, in a few words.
func (s Spread) Name() string { return shell.SpreadName(s.ID) }

// defaults are one standard deviation in per cent: what is done by a machine or at each of a thousand welds is known
// best, what depends on how panels fit least.
var defaults = map[string]float64{
	"load_panel_s": 30, "load_per_kg_s": 30, "dowel_s": 30, "clamp_s": 30, "release_s": 30, "gauge_s": 40,
	"squeeze_s": 10, "position_s": 20, "open_s": 20, "move_mm_per_s": 25, "take_gun_s": 30, "tip_change_s": 30, "setting_change_s": 30,
	"hand_over_s": 30,
	"dressing_s":  30, "cap_change_s": 30, "roller_start_s": 40, "wheel_change_s": 30, "lift_out_s": 30, "inspect_s": 30,
	"coupon_s": 30, "mark_s_per_m": 30, "start_run_s": 35, "posture_s": 35, "fit_s_per_m": 40,
	"prepare_min": 25, "learning": 2, "rework_pct": 50,
	"common": 15, // what all times have in common: how well this works knows its own pace
}

// Spreads lists one spread for each figure that may be off, in the order of the shell file's keys: as the shell file
// states it, else the program's own.
func Spreads(sh *shell.Shell) []Spread {
	var out []Spread
	for _, id := range shell.SpreadIDs() {
		s := Spread{ID: id, Pct: defaults[id], Source: practice}
		for _, stated := range sh.Spreads {
			if stated.ID == id {
				s.Pct, s.Source = stated.Pct, "shell file: spreads"
			}
		}
		out = append(out, s)
	}
	return out
}
