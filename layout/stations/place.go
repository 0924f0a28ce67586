package stations

import (
	"fmt"
	"strings"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/seams/rule"
)

// PanelStation is the id of the station where the panel is first loaded, by itself or within a sub-assembly;
// empty when the shell has no such panel.
func (a *Arrangement) PanelStation(panel string) string {
	i, ok := a.panel[panel]
	if !ok {
		return ""
	}
	return a.Stations[i].ID
}

// Meet is the id of the earliest station where all the panels lie. Panels that come within a sub-assembly met
// where it was made, so that is where they are welded.
func (a *Arrangement) Meet(panels []string) (station string, ok bool) {
	for i := range a.Stations {
		if len(panels) > 0 && a.missing(i, panels) == "" {
			return a.Stations[i].ID, true
		}
	}
	return "", false
}

// Place gives a joint its station: the stated one, or the earliest where all its panels lie. A joint whose panels
// never meet gets none and a broken finding; one stated where a panel is missing goes to where they meet, with
// a broken finding.
func (a *Arrangement) Place(joint, stated string, panels []string) (station string, finding *layout.Finding) {
	meet, ok := a.Meet(panels)
	if !ok {
		return "", a.broken(joint, fmt.Sprintf("Panels %s never lie in one station: check arrives and the sub-assemblies' parts.",
			strings.Join(panels, ", ")))
	}
	if stated == "" || stated == meet {
		return meet, nil
	}
	for i := range a.Stations {
		if a.Stations[i].ID != stated {
			continue
		}
		panel := a.missing(i, panels)
		if panel == "" {
			return stated, nil
		}
		return meet, a.broken(joint, fmt.Sprintf("Stated at %s, where panel %s does not lie: welded at %s, where all its panels first meet.",
			stated, panel, meet))
	}
	return meet, a.broken(joint, fmt.Sprintf("Stated at %q, which is no station: welded at %s, where all its panels first meet.", stated,
		meet))
}

// missing is the first of the panels that does not lie in station i, or empty.
func (a *Arrangement) missing(i int, panels []string) string {
	for _, p := range panels {
		if !a.present[i][p] {
			return p
		}
	}
	return ""
}

func (a *Arrangement) broken(joint, remedy string) *layout.Finding {
	f := a.make.Of(rule.Problem{Rule: "joint.meet", Remedy: remedy}, finding.About{Joint: joint}, joint)
	return &f
}
