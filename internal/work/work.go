// Package work does many pieces of work at once, so that what comes out does not depend on which was done first.
//
//	err := work.Each(ctx, workers, len(panels), func(i int) (err error) {
//		out[i], err = read(panels[i])
//		return err
//	})
package work

import (
	"context"
	"fmt"
	"runtime"
	"runtime/debug"
	"sync"
)

// Fault is a panic in a piece of work, as an error of the whole.
type Fault struct {
	Value any
	Stack []byte
}

func (f *Fault) Error() string { return fmt.Sprintf("a fault of the program: %v", f.Value) }

// Each does the pieces 0 to n-1 in this order, up to so many at once; 0 workers are one for each processor. After a piece that
// fails none is begun, and the error is that of the first in order: it is the same for any number of workers. A panic is a
// *Fault. Once the context is cancelled no piece is begun, and where some were left the error is the context's cause.
func Each(ctx context.Context, workers, n int, do func(i int) error) error {
	if workers <= 0 {
		workers = runtime.GOMAXPROCS(0)
	}
	var group sync.WaitGroup
	q := queue{ctx: ctx, n: n, failed: n}
	for range min(workers, n) {
		group.Go(func() {
			for i, more := q.take(); more; i, more = q.take() {
				q.note(i, guarded(i, do))
			}
		})
	}
	group.Wait()
	return q.result()
}

// queue is pieces of work that are taken in order.
type queue struct {
	ctx    context.Context
	n      int
	mu     sync.Mutex
	next   int
	failed int // the first piece that has failed, or n
	err    error
}

func (q *queue) take() (i int, more bool) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.next >= q.failed || q.ctx.Err() != nil {
		return 0, false
	}
	q.next++
	return q.next - 1, true
}

// note takes in how a piece ended.
func (q *queue) note(i int, err error) {
	if err == nil {
		return
	}
	q.mu.Lock()
	defer q.mu.Unlock()
	if i < q.failed {
		q.failed, q.err = i, err
	}
}

// result is the whole's, once nobody is at work.
func (q *queue) result() error {
	if q.err == nil && q.next < q.n {
		return context.Cause(q.ctx)
	}
	return q.err
}

func guarded(i int, do func(int) error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = &Fault{v, debug.Stack()}
		}
	}()
	return do(i)
}
