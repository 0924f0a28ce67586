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

// Each of pieces made of pieces is done once, never by more at a time than the crew is large, each by a number of its own, and the
// error is that of the first piece that fails, whatever the size.
func TestCrew(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		size := rapid.IntRange(1, 6).Draw(t, "size")
		inner := rapid.SliceOfN(rapid.IntRange(0, 12), 0, 8).Draw(t, "pieces of each piece")
		bad := rapid.IntRange(0, 9).Draw(t, "piece that fails")
		crew := work.NewCrew(size)
		done := make([]atomic.Int64, len(inner))
		var here [6]atomic.Int64
		err := crew.Each(context.Background(), len(inner), func(who, i int) error {
			if here[who].Add(1) > 1 {
				return errors.New("two of one number at work")
			}
			defer here[who].Add(-1)
			var within [6]atomic.Int64
			if err := crew.Each(context.Background(), inner[i], func(who, _ int) error {
				if within[who].Add(1) > 1 {
					return errors.New("two of one number at work within")
				}
				defer within[who].Add(-1)
				done[i].Add(1)
				return nil
			}); err != nil {
				return err
			}
			if i == bad {
				return fmt.Errorf("piece %d", i)
			}
			return nil
		})
		want := "<nil>"
		if bad < len(inner) {
			want = fmt.Sprintf("piece %d", bad)
		}
		if fmt.Sprint(err) != want {
			t.Fatalf("%v, want %s", err, want)
		}
		for i := range done {
			if n := done[i].Load(); n != int64(inner[i]) && (i <= bad || n != 0) {
				t.Fatalf("of piece %d %d pieces were done, want %d", i, n, inner[i])
			}
		}
	})
}

// A piece's own pieces are taken up by a worker whose last one has ended.
func TestCrewHelps(t *testing.T) {
	crew := work.NewCrew(2)
	helped := make(chan bool)
	err := crew.Each(context.Background(), 2, func(_, i int) error {
		if i == 0 {
			return nil
		}
		return crew.Each(context.Background(), 1<<30, func(who, _ int) error {
			if who == 1 {
				close(helped)
				return errors.New("enough")
			}
			select {
			case <-helped:
			default:
			}
			return nil
		})
	})
	if err == nil || err.Error() != "enough" {
		t.Error(err)
	}
}

func TestCrewStops(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	var none *work.Crew
	done := 0
	err := none.Each(ctx, 10, func(who, i int) error {
		if done++; i == 2 || who != 0 {
			stop()
		}
		return nil
	})
	if !errors.Is(err, context.Canceled) || done != 3 || none.Size() != 1 {
		t.Errorf("%v after %d of %d", err, done, none.Size())
	}
	if none.Idles() || work.NewCrew(1).Idles() || !work.NewCrew(2).Idles() {
		t.Error("who is idle in crews of none, of one and of two is told wrongly")
	}
	fault := new(work.Fault)
	if err := work.NewCrew(3).Each(context.Background(), 5, func(_, i int) error { panic(i) }); !errors.As(err, &fault) || fault.Value != 0 {
		t.Errorf("%v, want the fault of the first", err)
	}
}

// Do does all pieces, and a panic in one goes on with who called.
func TestCrewDoes(t *testing.T) {
	var none *work.Crew
	for _, crew := range []*work.Crew{none, work.NewCrew(3)} {
		var sum atomic.Int64
		crew.Do(100, func(i int) { sum.Add(int64(i)) })
		if sum.Load() != 99*100/2 {
			t.Errorf("crew of %d: %d", crew.Size(), sum.Load())
		}
		func() {
			defer func() {
				if fault, ok := recover().(*work.Fault); !ok || fault.Value != 3 {
					t.Errorf("crew of %d: the panic does not go on", crew.Size())
				}
			}()
			crew.Do(5, func(i int) {
				if i == 3 {
					panic(i)
				}
			})
		}()
	}
}

func ExampleCrew() {
	crew := work.NewCrew(2)
	sums := make([]int, 3)
	err := crew.Each(context.Background(), len(sums), func(_, i int) error {
		parts := make([]int, 4)
		err := crew.Each(context.Background(), len(parts), func(_, k int) error {
			parts[k] = 10*i + k
			return nil
		})
		for _, p := range parts {
			sums[i] += p
		}
		return err
	})
	fmt.Println(sums, err)
	// Output: [6 46 86] <nil>
}
