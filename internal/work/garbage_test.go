package work_test

import (
	"runtime/debug"
	"testing"

	"seamwright/internal/work"
)

func TestLittleGarbage(t *testing.T) {
	for env, want := range map[string]int{"": 50, "80": 70} {
		t.Setenv("GOGC", env)
		was := debug.SetGCPercent(70)
		restore := work.LittleGarbage()
		is := debug.SetGCPercent(want)
		restore()
		if after := debug.SetGCPercent(was); is != want || after != 70 {
			t.Errorf("GOGC=%q: %d, and %d after it", env, is, after)
		}
	}
}
