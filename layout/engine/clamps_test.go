package engine

import (
	"reflect"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

// What clamps close is said of each two sheets of a joint that states it, once, and of no other.
func TestClampsOf(t *testing.T) {
	var loaded []parts.Part
	for _, id := range []string{"a", "b", "c", "d"} {
		loaded = append(loaded, parts.Part{Panel: shell.Panel{ID: id}})
	}
	sh := &shell.Shell{Joints: []shell.Joint{
		{ID: "plain", Panels: []string{"a", "b"}},
		{ID: "gap", Panels: []string{"d", "b", "a"}, ClampGap: 2},
		{ID: "angle", Panels: []string{"c", "d"}, ClampAngle: 15},
	}}
	want := []flange.Clamps{{Sheets: [2]int{0, 1}, Gap: 2}, {Sheets: [2]int{0, 3}, Gap: 2}, {Sheets: [2]int{1, 3}, Gap: 2},
		{Sheets: [2]int{2, 3}, Angle: 15}}
	if got := clampsOf(sh, loaded); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v, want %+v", got, want)
	}
}
