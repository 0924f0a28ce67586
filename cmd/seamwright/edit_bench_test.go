package main

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"testing"
	"time"

	"seamwright/internal/cache"
	"seamwright/internal/tarn"
	"seamwright/layout"
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
	p := &program{out: io.Discard, err: io.Discard, opened: true, kept: cache.New(), writer: new(layout.Writer)}
	plan := func(joint string, pitch float64) planned {
		p.set = []string{fmt.Sprintf("joints.%s.pitch_mm=%g", joint, pitch)}
		done, err := p.planWith(ctx, filepath.Join(dir, "shell.yaml"), changes.Changes{}, func(string, int, int) {})
		if err != nil {
			b.Fatal(err)
		}
		return done
	}
	draw := func(done planned, station string) {
		panels, err := done.panels(ctx)
		if err != nil {
			b.Fatal(err)
		}
		opt := sheet.Options{Hash: sheet.HashOf(done.made.Text), Pictures: pictures}
		if _, err := sheet.Station(ctx, done.plan, panels, station, opt); err != nil {
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
