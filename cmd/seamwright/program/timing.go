package program

import (
	"fmt"
	"io"
	"runtime"
	"sync"
	"time"
)

// timing is what the stages of a call took. A nil one measures nothing.
type timing struct {
	mu     sync.Mutex
	begun  time.Time
	stages []stageTime
}

type stageTime struct {
	name      string
	wall      time.Duration
	processor time.Duration // of the whole process meanwhile
	allocated uint64        // bytes
	heap      uint64        // bytes in use at the end
}

func newTiming() *timing { return &timing{begun: time.Now()} }

// Stage begins to measure a stage, and returns what ends it.
func (p *Call) Stage(name string) (done func()) {
	t := p.Timing
	if t == nil {
		return func() {}
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	begun, processor := time.Now(), processorTime()
	return func() {
		s := stageTime{name: name, wall: time.Since(begun), processor: processorTime() - processor}
		runtime.ReadMemStats(&after)
		s.allocated, s.heap = after.TotalAlloc-before.TotalAlloc, after.HeapAlloc
		t.mu.Lock()
		t.stages = append(t.stages, s)
		t.mu.Unlock()
	}
}

func (t *timing) print(w io.Writer) {
	if t == nil {
		return
	}
	const mib = 1 << 20
	fmt.Fprintf(w, "%-20s %8s %12s %13s %10s\n", "stage", "wall s", "processor s", "allocated MiB", "heap MiB")
	for _, s := range t.stages {
		fmt.Fprintf(w, "%-20s %8.3f %12.3f %13.1f %10.1f\n", s.name, s.wall.Seconds(), s.processor.Seconds(), float64(s.allocated)/mib,
			float64(s.heap)/mib)
	}
	fmt.Fprintf(w, "%-20s %8.3f %12.3f\n", "all", time.Since(t.begun).Seconds(), processorTime().Seconds())
}
