package quote

import (
	"testing"

	"seamwright/seams/shell"
)

// Work never grows with practice, nor halves with each doubling of the shells made: drawn rates stay from 0.5 to 1.
func TestDrawnLearningRates(t *testing.T) {
	for _, c := range []struct{ stated, factor, want float64 }{
		{0.9, 1, 0.9}, {0.9, 1.05, 0.945}, {0.9, 1.2, 1}, {0.52, 1, 0.52}, {0.52, 0.9, 0.5}, {0.9, 0.01, 0.5}, {1, 0.9, 1}, {0, 0.9, 1},
	} {
		m := model{shell: &shell.Shell{Allowances: shell.Allowances{Learning: c.stated}}, learning: 0}
		if got := m.rate([]float64{c.factor}); got < c.want-1e-12 || got > c.want+1e-12 {
			t.Errorf("stated %v, drawn %v of it: %v, want %v", c.stated, c.factor, got, c.want)
		}
	}
}
