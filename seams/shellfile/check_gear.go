package shellfile

import (
	"fmt"
	"regexp"

	"seamwright/seams/shell"
)

var (
	currencyCode = regexp.MustCompile(`^[A-Z]{3}$`)
	mapLetter    = regexp.MustCompile(`^[\p{L}\p{N}]{1,2}$`)
)

// checkGear looks after what the table's bounds cannot say about guns, rules, rates and joints.
func (r *reading) checkGear() {
	r.checkLetters()
	sh := r.sh
	if sh.Supply.Frequency != 50 && sh.Supply.Frequency != 60 {
		r.at("supply.frequency_hz", fmt.Sprintf("%g is no mains frequency", sh.Supply.Frequency), "write 50 or 60")
	}
	if !currencyCode.MatchString(sh.Rates.Currency) {
		r.at("rates.currency", quote(sh.Rates.Currency)+" is no code after ISO 4217", "write three capital letters, such as EUR")
	}
	if least, greatest := sh.Rules.LeastPitch, sh.Rules.GreatestPitch; greatest > 0 && least > greatest {
		r.at("rules.least_pitch_mm", fmt.Sprintf("the least pitch %g mm is above the greatest %g mm", least, greatest),
			"turn them round or take one out")
	}
	for i, j := range sh.Joints {
		if j.Edge > 0 && j.EdgeOf == "" {
			r.at(shell.PlaceOf("joints", i, "edge_mm"), fmt.Sprintf("%g mm from the edge of which panel is not said", j.Edge),
				"add edge_of with the panel's id")
		}
		r.checkUnused(i, j)
		r.checkHandWelds(i, j)
		switch {
		case len(j.Near) == 0:
		case len(j.Near) != 4:
			r.at(shell.PlaceOf("joints", i, "near_mm"), fmt.Sprintf("4 numbers are wanted, not %d", len(j.Near)), "write them as [x, y, z, radius]")
		case j.Near[3] <= 0:
			r.at(shell.PlaceOf("joints", i, "near_mm[3]"), fmt.Sprintf("the radius %g mm is not above zero", j.Near[3]),
				"write how far from the place a flange may pass")
		}
	}
}

// checkHandWelds: an edit that says nothing, or the same thing twice.
func (r *reading) checkHandWelds(i int, j shell.Joint) {
	seen := map[string]bool{}
	for k, w := range j.Welds {
		place := fmt.Sprintf("joints[%d].welds[%d]", i, k)
		if seen[w.ID] {
			r.at(place+".id", quote(w.ID)+" names another weld of the joint already", "give each edit an id of its own")
		}
		seen[w.ID] = true
		if w.Do != "move" && w.To != 0 {
			r.at(place+".to_mm", "only a weld that is moved goes somewhere", "leave it out, or write do: move")
		}
	}
}

// checkUnused refuses keys that would do nothing for the joint. What cannot be told before its flanges are found is said then.
func (r *reading) checkUnused(i int, j shell.Joint) {
	refuse := func(key string, stated bool, why, remedy string) {
		if place := shell.PlaceOf("joints", i, key); stated && r.stated(place) {
			r.at(place, "has no effect "+why, remedy)
		}
	}
	if j.Kind == "roller" {
		why, remedy := "on a joint that is rolled", "take it out, or make the joint's kind spot+roller"
		refuse("count", j.Count > 0, why, remedy)
		refuse("rows", j.Rows > 0, why, remedy)
		refuse("row_pitch_mm", j.RowPitch > 0, why, remedy)
		refuse("row_distance_mm", j.RowDistance > 0, why, remedy)
		refuse("welds", len(j.Welds) > 0, why, remedy)
		refuse("mirror_of", j.MirrorOf != "", why, remedy)
	}
	if j.WeldLine.File != "" {
		why, remedy := "on a joint whose weld line is drawn", "take it out, or take weld_line out, so that the line is found"
		refuse("near_mm", len(j.Near) > 0, why, remedy)
		refuse("clamp_gap_mm", j.ClampGap > 0, why, remedy)
		refuse("clamp_angle_deg", j.ClampAngle > 0, why, remedy)
	}
	refuse("row_distance_mm", j.RowDistance > 0 && j.Rows == 1, "beside rows: 1", "take one of the two out")
	refuse("edge_of", j.EdgeOf != "" && j.Edge == 0, "without edge_mm", "add edge_mm, or take it out")
	refuse("load.direction", j.Load.Direction != "" && j.Load.Shear == 0 && j.Load.Flow == 0, "without shear_n or flow_n_per_mm",
		"add the load, or take it out")
}

// checkMirror refuses a twin that cannot be followed, and keys of the twin that follows which the other decides.
func (r *reading) checkMirror(i int, j shell.Joint) {
	place := shell.PlaceOf("joints", i, "mirror_of")
	other, _ := r.sh.Joint(j.MirrorOf)
	switch {
	case other.ID == j.ID:
		r.at(place, "a joint is not its own twin", "name the joint on the other side, or take it out")
	case other.MirrorOf != "":
		r.at(place, fmt.Sprintf("%s is itself a mirror of %s", other.ID, other.MirrorOf), "name that one, or take one of the two out")
	case other.Kind != j.Kind && !spotted(*other, j):
		r.at(place, fmt.Sprintf("%s is of another kind", other.ID), "give both the same kind, or take it out")
	}
	for _, key := range []string{"count", "pitch_mm", "rows", "row_distance_mm", "row_pitch_mm"} {
		if at := shell.PlaceOf("joints", i, key); r.stated(at) {
			r.at(at, "has no effect beside mirror_of: the twin decides", "take one of the two out")
		}
	}
}

// spotted reports whether neither joint is rolled.
func spotted(a, b shell.Joint) bool {
	return (a.Kind == "" || a.Kind == "spot") && (b.Kind == "" || b.Kind == "spot")
}

// checkLetters: a map tells guns and rollers apart by their letters.
func (r *reading) checkLetters() {
	taken := map[string]string{}
	check := func(list string, i int, letter string) {
		place := shell.PlaceOf(list, i, "letter")
		if !mapLetter.MatchString(letter) {
			r.at(place, quote(letter)+" does not fit on a map", "write one or two letters")
			return
		}
		if other, again := taken[letter]; again {
			r.at(place, "the letter "+quote(letter)+" is taken by "+other, "give each gun and roller a letter of its own")
			return
		}
		taken[letter] = fmt.Sprintf("%s[%d]", list, i)
	}
	for i, g := range r.sh.Guns {
		check("guns", i, g.Letter)
	}
	for i, w := range r.sh.Rollers {
		check("rollers", i, w.Letter)
	}
}
