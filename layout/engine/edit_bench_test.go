package engine_test

import (
	"context"
	"fmt"
	"path/filepath"
	"sort"
	"strings"
	"testing"
	"time"

	"seamwright/internal/cache"
	"seamwright/internal/tarn"
	"seamwright/layout/engine"
	"seamwright/layout/planfile"
	"seamwright/seams/shellfile"
)

// BenchmarkEdit is what somebody waits for who drags a pitch: the shell file read with the change and planned again, in a
// process that has planned it before. The milliseconds of each stage are told beside.
func BenchmarkEdit(b *testing.B) {
	dir := b.TempDir()
	if err := tarn.Write(dir); err != nil {
		b.Fatal(err)
	}
	kept := cache.New()
	spent := map[string]time.Duration{}
	e := engine.Engine{Cache: kept, Writer: new(planfile.Writer), Stage: func(name string) func() {
		from := time.Now()
		return func() { spent[name] += time.Since(from) }
	}}
	plan := func(joint string, pitch float64) {
		from := time.Now()
		sh, notes, err := shellfile.Read(filepath.Join(dir, "shell.yaml"), map[string]string{"joints." + joint + ".pitch_mm": fmt.Sprint(pitch)})
		if err != nil {
			b.Fatal(err)
		}
		spent["read shell file"] += time.Since(from)
		if _, err := e.Plan(context.Background(), engine.Input{Shell: sh, Notes: notes}); err != nil {
			b.Fatal(err)
		}
	}
	for _, c := range []struct{ name, joint string }{{"main jig", "rear-foot"}, {"front jig", "scuttle-front"}} {
		b.Run(c.name, func(b *testing.B) {
			pitch := 34.0
			plan(c.joint, pitch)
			clear(spent)
			b.ReportAllocs()
			b.ResetTimer()
			for b.Loop() {
				pitch -= 0.01
				plan(c.joint, pitch)
			}
			var names []string
			for name := range spent {
				names = append(names, name)
			}
			sort.Slice(names, func(i, k int) bool { return spent[names[i]] > spent[names[k]] })
			for _, name := range names {
				b.ReportMetric(spent[name].Seconds()*1000/float64(b.N), strings.ReplaceAll(name, " ", "-")+"-ms")
			}
		})
	}
}
