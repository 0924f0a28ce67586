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
	var mu sync.Mutex
	next, failed, err := 0, n, error(nil)
	take := func() (i int, more bool) {
		mu.Lock()
		defer mu.Unlock()
		if next >= failed || ctx.Err() != nil {
			return 0, false
		}
		next++
		return next - 1, true
	}
	for range min(workers, n) {
		group.Go(func() {
			for i, more := take(); more; i, more = take() {
				if e := guarded(i, do); e != nil {
					mu.Lock()
					if i < failed {
						failed, err = i, e
					}
					mu.Unlock()
				}
			}
		})
	}
	group.Wait()
	if err == nil && next < n {
		return context.Cause(ctx)
	}
	return err
}

func guarded(i int, do func(int) error) (err error) {
	defer func() {
		if v := recover(); v != nil {
			err = &Fault{v, debug.Stack()}
		}
	}()
	return do(i)
}
