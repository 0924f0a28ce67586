// Package stations puts the jigs in the order of work, says which panels lie in each, gives every joint its
// station, and writes the work at each as steps in words.
//
//	a, err := stations.Arrange(sh, finding.By(book))       // order, what is present; errors: what cannot be
//	station, finding := a.Place("roof-left", "", []string{"roof", "left-side"})
//	plan.Stations = a.Stations
//	plan.Stations[i].Steps = stations.Steps(plan, i, sh.Elements.InspectEvery) // once runs and rollers are known
//
// A station waits for the stations that make what arrives at it. What a works can mend on paper (a panel that
// arrives nowhere, a joint stated where its panels are not) becomes a finding and the plan goes on; what makes no
// order of work at all (stations that wait for each other, a part loaded twice) is an error.
package stations
