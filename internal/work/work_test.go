package work_test

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"testing"

	"pgregory.net/rapid"

	"seamwright/internal/work"
)

// Each piece is done once, and the error is that of the first that fails, whatever the number of workers.
func TestEach(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, workers := rapid.IntRange(0, 40).Draw(t, "pieces"), rapid.IntRange(0, 9).Draw(t, "workers")
		bad := rapid.SliceOfDistinct(rapid.IntRange(0, 60), func(i int) int { return i }).Draw(t, "that fail")
		first := n
		fails := map[int]bool{}
		for _, i := range bad {
			fails[i] = true
			if i < first {
				first = i
			}
		}
		times := make([]atomic.Int64, n)
		err := work.Each(context.Background(), workers, n, func(i int) error {
			times[i].Add(1)
			if fails[i] {
				return fmt.Errorf("piece %d", i)
			}
			return nil
		})
		if want := fmt.Sprintf("piece %d", first); (err == nil) != (first == n) || err != nil && err.Error() != want {
			t.Fatalf("%v, want %s", err, want)
		}
		for i := range times {
			if k := times[i].Load(); k > 1 || k == 0 && i <= first {
				t.Fatalf("piece %d of %d was done %d times", i, n, k)
			}
		}
	})
}

func TestEachStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	done := 0
	err := work.Each(ctx, 1, 10, func(i int) error {
		done++
		if i == 2 {
			stop()
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) || done != 3 {
		t.Errorf("%v after %d", err, done)
	}
	if err := work.Each(ctx, 1, 0, nil); err != nil {
		t.Errorf("nothing to do: %v", err)
	}
}

func TestFault(t *testing.T) {
	err := work.Each(context.Background(), 3, 5, func(i int) error {
		if i == 3 {
			panic("sheet without a normal")
		}
		return nil
	})
	fault := new(work.Fault)
	if !errors.As(err, &fault) || fault.Value != "sheet without a normal" || len(fault.Stack) == 0 {
		t.Errorf("%v", err)
	}
}

func ExampleEach() {
	squares := make([]int, 4)
	err := work.Each(context.Background(), 2, len(squares), func(i int) error {
		squares[i] = i * i
		return nil
	})
	fmt.Println(squares, err)
	// Output: [0 1 4 9] <nil>
}
