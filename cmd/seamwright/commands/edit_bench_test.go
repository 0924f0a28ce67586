//go:build unix

package commands

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/cache"
	"seamwright/internal/tarn"
	"seamwright/render/sheet"
	"seamwright/render/view"
	"seamwright/seams/changes"
)

// BenchmarkEdit is what somebody waits for at the local page who drags a pitch and looks at the sheet of that jig.
func BenchmarkEdit(b *testing.B) {
	dir := b.TempDir()
	if err := tarn.Write(dir); err != nil {
		b.Fatal(err)
	}
	ctx := context.Background()
	pictures := view.NewPictures(25 << 20)
	p := program.NewCall(io.Discard, io.Discard)
	p.KeepIn(cache.New())
	plan := func(joint string, pitch float64) program.Planned {
		p.Set = []string{fmt.Sprintf("joints.%s.pitch_mm=%g", joint, pitch)}
		done, err := p.PlanWith(ctx, filepath.Join(dir, "shell.yaml"), changes.Changes{}, func(string, int, int) {})
		if err != nil {
			b.Fatal(err)
		}
		return done
	}
	draw := func(done program.Planned, station string) {
		panels, err := done.Panels(ctx)
		if err != nil {
			b.Fatal(err)
		}
		opt := sheet.Options{Hash: sheet.HashOf(done.Made.Text), Pictures: pictures}
		if _, err := sheet.Station(ctx, done.Plan, panels, station, opt); err != nil {
			b.Fatal(err)
		}
	}
	pitch := 34.0
	for _, c := range []struct{ station, joint string }{{"main-jig", "rear-foot"}, {"front-jig", "scuttle-front"}} {
		draw(plan(c.joint, pitch), c.station)
		b.Run(c.station+"/plan", func(b *testing.B) {
			b.ReportAllocs()
			from := processorTime()
			for b.Loop() {
				pitch -= 0.01
				plan(c.joint, pitch)
			}
			processorUsed(b, from)
		})
		b.Run(c.station+"/plan and sheet", func(b *testing.B) {
			b.ReportAllocs()
			from := processorTime()
			for b.Loop() {
				pitch -= 0.01
				draw(plan(c.joint, pitch), c.station)
			}
			processorUsed(b, from)
		})
	}
}

// processorUsed gives the processor time as well: the clock tells little on a machine that does other things.
func processorUsed(b *testing.B, from time.Duration) {
	b.ReportMetric(float64((processorTime()-from).Milliseconds())/float64(b.N), "processor-ms/op")
}

func processorTime() time.Duration {
	var used syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &used); err != nil {
		return 0
	}
	return time.Duration(used.Utime.Nano() + used.Stime.Nano())
}
