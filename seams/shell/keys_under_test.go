package shell

import (
	"slices"
	"testing"
)

func TestKeysUnder(t *testing.T) {
	for _, c := range []struct {
		begin string
		want  []string
	}{
		{"joints[].load.s", []string{"joints[].load.shear_n"}},
		{"joints.load.s", []string{"joints[].load.shear_n"}},
		{"row_pitch_mm", []string{"joints[].row_pitch_mm"}}, // no key begins so, but the last part of one
		{"status", []string{"status"}},                      // one does: last parts are not looked at
		{"whirl", nil},                                      // neither
	} {
		var got []string
		for _, k := range KeysUnder(c.begin) {
			got = append(got, k.Name)
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.begin, got, c.want)
		}
	}
}
