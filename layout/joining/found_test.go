package joining

import (
	"slices"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

// A panel of loose strips on both sides of another makes one joint of the two panels, whose stack has three sheets
// where both strips lie, and two where one does.
func TestPanelOnBothSidesIsOneJoint(t *testing.T) {
	all := []parts.Part{{Panel: shell.Panel{ID: "blade"}}, {Panel: shell.Panel{ID: "strips"}}}
	line := []flange.LinePoint{{}, {S: 100}}
	found := []flange.Flange{{Sheets: []int{0, 1}, Line: line}, {Sheets: []int{1, 0, 1}, Line: line},
		{Sheets: []int{1, 0, 1}, Hem: true, Line: line}}
	joints := FoundJoints(all, found)
	if len(joints) != 1 || !slices.Equal(joints[0].Panels, []string{"blade", "strips"}) {
		t.Fatalf("%+v", joints)
	}
	if owner := owners(all, found, joints); !slices.Equal(owner, []int{0, 0, -1}) {
		t.Errorf("owners %v: both stretches belong to the joint, the hem does not", owner)
	}
	joints[0].Count = 5
	if owner := owners(all, found, joints); !slices.Equal(owner, []int{0, 0, 0}) {
		t.Errorf("owners %v: a count claims the hem", owner)
	}
}
