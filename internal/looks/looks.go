// Package looks tells how often work looks at its context, and cancels it at any of these looks, for tests that what takes long can
// be stopped.
//
//	c := looks.CancelledAt(3)
//	err := work(c) // context.Canceled, and c.Count() is 3 if it ended there
package looks

import (
	"context"
	"math"
	"sync"
	"sync/atomic"
)

// Context is cancelled as it is asked for its error for the at-th time, and goes on counting.
type Context struct {
	context.Context
	count atomic.Int64
	at    int
	once  sync.Once
	done  chan struct{}
}

// CancelledAt is cancelled at a look, from 1.
func CancelledAt(at int) *Context {
	return &Context{Context: context.Background(), at: at, done: make(chan struct{})}
}

// Never is not cancelled: it counts.
func Never() *Context { return CancelledAt(math.MaxInt) }

// Count is how often it was asked.
func (c *Context) Count() int { return int(c.count.Load()) }

// Done is closed at the look that finds it cancelled.
func (c *Context) Done() <-chan struct{} { return c.done }

// Err counts.
func (c *Context) Err() error {
	if c.count.Add(1) < int64(c.at) {
		return nil
	}
	c.once.Do(func() { close(c.done) })
	return context.Canceled
}
