package layout

import "slices"

// GunCount is how many of a gun are at hand at the station; a plan that does not say has one.
func (s Station) GunCount(gun string) int {
	if i := slices.Index(s.Guns, gun); i >= 0 && i < len(s.GunCounts) {
		return s.GunCounts[i]
	}
	return 1
}
