package work

import (
	"context"
	"runtime"
	"sync"
)

// Crew is workers that share pieces of work, of which some are made of smaller ones: whoever does a large piece has the small ones done
// by all that have nothing else to do at that time. The nil Crew is one worker.
type Crew struct {
	mu   sync.Mutex
	size int
	idle int // workers without work; below zero, more are at work for a while than there are
}

// NewCrew is a crew of so many; 0 workers are one for each processor. Who calls its Each is one of them.
func NewCrew(workers int) *Crew {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	return &Crew{size: workers, idle: workers - 1}
}

// Size is how many workers there are.
func (c *Crew) Size() int {
	if c == nil {
		return 1
	}
	return c.size
}

// Idles says whether one of them has nothing to do just now.
func (c *Crew) Idles() bool {
	if c == nil {
		return false
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.idle > 0
}

// Each is the package's Each on those of the crew that are idle, now or before the pieces are all begun. do is told which of them does a
// piece, from 0, the caller, to Size-1: no two that are at work for one call have one number. It may call Each itself.
func (c *Crew) Each(ctx context.Context, n int, do func(who, i int) error) error {
	q := queue{ctx: ctx, n: n, failed: n}
	var group sync.WaitGroup
	var take func(who int)
	helpers := 0
	take = func(who int) {
		for {
			i, more := q.take()
			if !more {
				return
			}
			q.mu.Lock()
			if helpers < c.Size()-1 && q.next < n && c.start() {
				helpers++
				is := helpers
				group.Go(func() {
					take(is)
					c.stop()
				})
			}
			q.mu.Unlock()
			q.note(i, guarded(i, func(i int) error { return do(who, i) }))
		}
	}
	take(0)
	c.stop() // while it waits another may work
	group.Wait()
	c.again()
	return q.result()
}

// Do is Each for pieces that cannot fail, all of which are done: a panic in one goes on in who calls.
func (c *Crew) Do(n int, do func(i int)) {
	if err := c.Each(context.Background(), n, func(_, i int) error { do(i); return nil }); err != nil {
		panic(err)
	}
}

// start is one more at work, if one is idle.
func (c *Crew) start() bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.idle <= 0 {
		return false
	}
	c.idle--
	return true
}

func (c *Crew) stop() { c.add(1) }

func (c *Crew) again() { c.add(-1) }

func (c *Crew) add(idle int) {
	if c != nil {
		c.mu.Lock()
		c.idle += idle
		c.mu.Unlock()
	}
}
