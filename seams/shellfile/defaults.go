package shellfile

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"seamwright/seams/shell"
)

// fillDefaults puts the table's defaults where nothing is stated. A stated zero stays.
func (r *reading) fillDefaults() {
	var money []string
	r.walk(func(l shell.Leaf) {
		k := r.keys[l.Key]
		if k.Default == nil || r.stated(l.Place) || !l.Value.IsZero() {
			return
		}
		l.Value.Set(reflect.ValueOf(k.Default).Convert(l.Value.Type()))
		// Water costs nothing until its price is stated, and a jig is made again only where stations shares its work out, which says so.
		silent := []string{"rates.water_l_per_min", "rates.jig_base_h", "rates.jig_fixture_h", "rates.jig_move_min"}
		if strings.HasPrefix(l.Key, "rates.") && k.Source != shell.Choice && !slices.Contains(silent, l.Key) {
			money = append(money, fmt.Sprintf("%s %v", l.Key, k.Default))
		}
	})
	if len(money) > 0 {
		r.note("money: not stated and taken from the table of defaults: %s; state your own", strings.Join(money, ", "))
	}
	unstated := func(p shell.Panel) bool { return p.Unit == "" }
	if r.sh.Unit == "" && slices.ContainsFunc(r.sh.Panels, unstated) {
		r.note("unit: not stated; each file's own unit counts, and millimetres where a file has none")
	}
	r.fillNames()
}

// fillNumbers gives clamps, dowels and hold points without an id their number within the station. It comes before
// the overrides, which may name them.
func (r *reading) fillNumbers() {
	for i := range r.sh.Stations {
		s := &r.sh.Stations[i]
		for j := range s.Clamps {
			orElse(&s.Clamps[j].ID, fmt.Sprintf("C%d", j+1))
		}
		for j := range s.Dowels {
			orElse(&s.Dowels[j].ID, fmt.Sprintf("D%d", j+1))
		}
		for j := range s.HoldPoints {
			orElse(&s.HoldPoints[j].ID, fmt.Sprintf("H%d", j+1))
		}
	}
}

// fillNames gives what has no longer name its id, and panels without a steel the only one.
func (r *reading) fillNames() {
	sh := r.sh
	for i := range sh.Panels {
		p := &sh.Panels[i]
		orElse(&p.Name, p.ID)
		if p.Steel == "" && len(sh.Steels) == 1 {
			p.Steel = sh.Steels[0].ID
		}
	}
	for i := range sh.Subassemblies {
		orElse(&sh.Subassemblies[i].Name, sh.Subassemblies[i].ID)
	}
	for i := range sh.Stations {
		orElse(&sh.Stations[i].Name, sh.Stations[i].ID)
		for j := range sh.Stations[i].Work {
			orElse(&sh.Stations[i].Work[j].Name, sh.Stations[i].Work[j].ID)
		}
	}
	for i := range sh.Joints {
		orElse(&sh.Joints[i].Name, sh.Joints[i].ID)
	}
	for i := range sh.Guns {
		orElse(&sh.Guns[i].Name, sh.Guns[i].ID)
	}
	for i := range sh.Tips {
		orElse(&sh.Tips[i].Name, sh.Tips[i].ID)
	}
	for i := range sh.Rollers {
		orElse(&sh.Rollers[i].Name, sh.Rollers[i].ID)
	}
}

func orElse(s *string, other string) {
	if *s == "" {
		*s = other
	}
}

// addGear lets the stand-in tips, guns and roller step in where the file names none.
func (r *reading) addGear() {
	sh := r.sh
	ownTips := len(sh.Tips) > 0
	if !ownTips {
		sh.Tips = shell.StandInTips()
		r.note("tips: none in the file; a domed and a narrow flat tip stand in (%s)", shell.Practice)
	}
	if len(sh.Guns) == 0 {
		sh.Guns = shell.StandInGuns()
		if !ownTips {
			for i := range sh.Guns {
				sh.Guns[i].Tips = []string{sh.Tips[i].ID}
			}
		}
		r.note("guns: none in the file; an ordinary and a slim gun stand in (%s)", shell.Practice)
	}
	if len(sh.Rollers) == 0 {
		sh.Rollers = shell.StandInRollers()
		r.note("rollers: none in the file; one roller head stands in (%s)", shell.Practice)
	}
	for i := range sh.Guns {
		if len(sh.Guns[i].Tips) == 0 {
			for _, t := range sh.Tips {
				sh.Guns[i].Tips = append(sh.Guns[i].Tips, t.ID)
			}
		}
	}
}

// letter gives guns and rollers without a letter the first free one: guns from A, rollers from R.
func (r *reading) letter() {
	var taken []string
	for _, g := range r.sh.Guns {
		taken = append(taken, g.Letter)
	}
	for _, w := range r.sh.Rollers {
		taken = append(taken, w.Letter)
	}
	next := func(letter *string, from int) {
		for n := from; *letter == ""; n++ {
			if try := mapLetters(n); !slices.Contains(taken, try) {
				*letter, taken = try, append(taken, try)
			}
		}
	}
	for i := range r.sh.Guns {
		next(&r.sh.Guns[i].Letter, 0)
	}
	for i := range r.sh.Rollers {
		next(&r.sh.Rollers[i].Letter, 'R'-'A')
	}
}

// mapLetters counts A to Z, AA to AZ, BA and so on.
func mapLetters(n int) string {
	s := ""
	for n >= 0 {
		s = string(rune('A'+n%26)) + s
		n = n/26 - 1
	}
	return s
}

// addStation puts a single jig where the file has no stations.
func (r *reading) addStation() {
	if len(r.sh.Stations) == 0 {
		r.sh.Stations = []shell.Station{{ID: "main-jig", Name: "main jig"}}
		r.note("stations: none in the file; one jig, main-jig, takes all panels")
	}
}

// fillStations lets what a station makes and what arrives there stand in for each other.
func (r *reading) fillStations() {
	sh := r.sh
	for i := range sh.Stations {
		s := &sh.Stations[i]
		made, _ := sh.Subassembly(s.Makes)
		switch {
		case len(s.Arrives) > 0 && made != nil && len(made.Parts) == 0:
			made.Parts = slices.Clone(s.Arrives)
		case len(s.Arrives) == 0 && made != nil:
			s.Arrives = slices.Clone(made.Parts)
		case len(s.Arrives) == 0 && len(sh.Stations) == 1:
			for _, p := range sh.Panels {
				s.Arrives = append(s.Arrives, p.ID)
			}
		}
	}
}

// fillEnds gives a gauge at one place the same second end. It comes after the checks, which would otherwise tell
// of the same place twice.
func (r *reading) fillEnds() {
	for i := range r.sh.Stations {
		s := &r.sh.Stations[i]
		for j := range s.HoldPoints {
			if !r.stated(fmt.Sprintf("stations[%d].hold_points[%d].to_mm", i, j)) {
				s.HoldPoints[j].To = s.HoldPoints[j].At
			}
		}
	}
}
