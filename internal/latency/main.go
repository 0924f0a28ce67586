// Command latency plans a shell and draws its sheets again and again, each time cancelled at a random moment, and prints how long
// each stage went on after that: internal/latency SHELL [TIMES]. It is run by hand, on a machine that has nothing else to do.
package main

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"strconv"
	"sync"
	"time"

	"seamwright/layout/engine"
	"seamwright/render/sheet"
	"seamwright/render/view"
	"seamwright/seams/shellfile"
)

func main() {
	if err := run(os.Args[1:]); err != nil {
		fmt.Fprintln(os.Stderr, "latency:", err)
		os.Exit(1)
	}
}

func run(args []string) error {
	if len(args) == 0 {
		return errors.New("write latency SHELL [TIMES]")
	}
	times := 20
	if len(args) > 1 {
		var err error
		if times, err = strconv.Atoi(args[1]); err != nil {
			return err
		}
	}
	sh, notes, err := shellfile.Read(args[0], nil)
	if err != nil {
		return err
	}
	in := engine.Input{Shell: sh, Notes: notes}
	from := time.Now()
	if _, err := planned(context.Background(), in, new(stage)); err != nil {
		return err
	}
	whole := time.Since(from)
	rng := rand.New(rand.NewPCG(1, 1))
	for range times {
		ctx, cancel := context.WithCancel(context.Background())
		at := new(stage)
		var asked time.Time
		var in0 string
		timer := time.AfterFunc(time.Duration(rng.Int64N(int64(whole))), func() {
			in0, asked = at.now(), time.Now()
			cancel()
		})
		_, err := planned(ctx, in, at)
		stopped := !timer.Stop()
		cancel()
		if stopped && errors.Is(err, context.Canceled) {
			fmt.Printf("%6.0f ms  %s\n", float64(time.Since(asked).Microseconds())/1000, in0)
		}
	}
	return nil
}

// stage is what is being done.
type stage struct {
	mu   sync.Mutex
	name string
}

func (s *stage) now() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.name
}

func (s *stage) begin(name string) func() {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.name = name
	return func() {}
}

// planned plans the shell and draws all its sheets.
func planned(ctx context.Context, in engine.Input, at *stage) ([][]sheet.Sheet, error) {
	e := engine.Engine{Stage: at.begin}
	done, err := e.Plan(ctx, in)
	if err != nil {
		return nil, err
	}
	at.begin("panels to draw")
	loaded, err := done.Parts(ctx)
	if err != nil {
		return nil, err
	}
	var panels []view.Panel
	for _, p := range loaded {
		panels = append(panels, view.NewPanel(p.Panel.ID, p.Shape, p.Steel.Thickness))
	}
	at.begin("sheets")
	return sheet.Stations(ctx, done.Plan, panels, sheet.Options{Hash: sheet.HashOf(done.Text)})
}
