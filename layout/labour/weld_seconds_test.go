package labour

import (
	"math"
	"testing"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// A run's minutes count each weld's squeeze once: the setting's own, or the shell file's where the setting states none.
func TestWeldSecondsCountTheSqueeze(t *testing.T) {
	e := &estimator{
		shell: &shell.Shell{Elements: shell.Elements{Position: 2, Open: 0.5, Squeeze: 0.4, MoveSpeed: 200}},
		settings: map[string]layout.Setting{
			"own": {Squeeze: 0.3, Weld: 0.2, Hold: 0.1}, "none": {Weld: 0.25, Hold: 0.15},
		},
	}
	for _, test := range []struct {
		setting    string
		move, want float64
	}{{"own", 0, 3.1}, {"none", 0, 3.3}, {"own", 100, 3.6}} {
		w := weld{move: test.move}
		w.Setting = test.setting
		if got := e.weldSeconds(w); !(math.Abs(got-test.want) <= 1e-12) {
			t.Errorf("setting %s, %v mm of way: %v s, want %v", test.setting, test.move, got, test.want)
		}
	}
}
