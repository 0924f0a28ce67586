package planner

import (
	"slices"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

// A panel of loose strips on both sides of another makes one joint of the two panels, whose stack has three sheets
// where both strips lie, and two where one does.
func TestPanelOnBothSidesIsOneJoint(t *testing.T) {
	b := &builder{plan: &layout.Plan{}}
	for _, id := range []string{"blade", "strips"} {
		b.Parts = append(b.Parts, parts.Part{Panel: shell.Panel{ID: id}})
	}
	line := []flange.LinePoint{{}, {S: 100}}
	b.Found = &flange.Found{Flanges: []flange.Flange{{Sheets: []int{0, 1}, Line: line}, {Sheets: []int{1, 0, 1}, Line: line},
		{Sheets: []int{1, 0, 1}, Hem: true, Line: line}}}
	joints := b.foundJoints()
	if len(joints) != 1 || !slices.Equal(joints[0].Panels, []string{"blade", "strips"}) {
		t.Fatalf("%+v", joints)
	}
	if owner := b.owners(joints); !slices.Equal(owner, []int{0, 0, -1}) {
		t.Errorf("owners %v: both stretches belong to the joint, the hem does not", owner)
	}
	joints[0].Count = 5
	if owner := b.owners(joints); !slices.Equal(owner, []int{0, 0, 0}) {
		t.Errorf("owners %v: a count claims the hem", owner)
	}
}
