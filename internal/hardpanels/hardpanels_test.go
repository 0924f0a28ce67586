package hardpanels

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

var (
	cases     = flag.Int("cases", 0, "how many cases with flanges; 0: two of each class")
	negatives = flag.Int("negatives", 0, "how many without; 0: two of each class")
	seed      = flag.Uint64("seed", 1, "of the cases drawn")
	only      = flag.String("class", "", "only classes whose name contains this")
	write     = flag.String("write", "", "folder for the panels, as STL, of cases that did not come out right")
)

// The shares of the cases that come out right at least, and only named at most. None may be silent, no flange false.
const (
	leastRight = 0.98
	mostNamed  = 0.02
)

func TestHardPanels(t *testing.T) {
	with, without := 0, 0
	for _, c := range Classes() {
		if c.Negative {
			without++
		} else {
			with++
		}
	}
	all := append(Cases(*seed, cmp.Or(*cases, 2*with)), Negatives(*seed, cmp.Or(*negatives, 2*without))...)
	all = slices.DeleteFunc(all, func(c Case) bool { return !strings.Contains(c.Class, *only) })
	grades := gradeAll(all)
	count := map[Verdict]int{}
	for i, g := range grades {
		count[g.Verdict]++
		if g.Verdict != Right {
			t.Logf("%s: %s (%s)", g.Verdict, g.Why, all[i].Name)
			if *write != "" {
				keep(t, all[i])
			}
		}
	}
	t.Logf("by class, of so many right, named, wrong, silent, false; errors in mm, middle and greatest\n%s", table(all, grades))
	n := float64(len(all))
	if right := float64(count[Right]) / n; right < leastRight {
		t.Errorf("%.1f %% right, want %g", 100*right, 100*leastRight)
	}
	if named := float64(count[Named]) / n; named > mostNamed {
		t.Errorf("%.1f %% named only, want %g at most", 100*named, 100*mostNamed)
	}
	if count[Silent] > 0 || count[False] > 0 {
		t.Errorf("%d silent, %d false flanges, want none", count[Silent], count[False])
	}
}

func gradeAll(all []Case) []Grade {
	grades := make([]Grade, len(all))
	var wait sync.WaitGroup
	next := make(chan int)
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for i := range next {
				opt := all[i].Options
				opt.Workers = 1
				found, err := flange.Find(context.Background(), all[i].Sheets, opt)
				grades[i] = all[i].Grade(found, err)
			}
		})
	}
	for i := range all {
		next <- i
	}
	close(next)
	wait.Wait()
	return grades
}

func table(all []Case, grades []Grade) string {
	byClass := map[string][]Grade{}
	for i, c := range all {
		byClass[c.Class] = append(byClass[c.Class], grades[i])
	}
	var b strings.Builder
	for _, name := range slices.Sorted(maps.Keys(byClass)) {
		count := map[Verdict]int{}
		var lengths, widths, lines, gaps []float64
		for _, g := range byClass[name] {
			count[g.Verdict]++
			for _, e := range g.Errors {
				lengths, widths = append(lengths, e.Length), append(widths, e.Width)
				lines, gaps = append(lines, e.Line), append(gaps, e.Gap)
			}
		}
		fmt.Fprintf(&b, "| %s | %d | %d, %d, %d, %d, %d | %s | %s | %s | %s |\n", name, len(byClass[name]), count[Right], count[Named],
			count[Wrong], count[Silent], count[False], spread(lengths), spread(widths), spread(lines), spread(gaps))
	}
	return b.String()
}

// spread is the middle and the greatest of some errors.
func spread(x []float64) string {
	if len(x) == 0 {
		return ""
	}
	slices.Sort(x)
	return fmt.Sprintf("%.3f, %.3f", x[len(x)/2], x[len(x)-1])
}

func keep(t *testing.T, c Case) {
	name, _, _ := strings.Cut(c.Name, ":")
	dir := filepath.Join(*write, strings.NewReplacer(" ", "-", ",", "", "#", "").Replace(name))
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, s := range c.Sheets {
		f, err := os.Create(filepath.Join(dir, s.Name+".stl"))
		if err == nil {
			err = mesh.WriteSTL(f, s.Mesh)
		}
		if err = cmp.Or(err, f.Close()); err != nil {
			t.Fatal(err)
		}
	}
}

// A solid's section is closed, and its volume is that of the sheet.
func TestSolidsAreClosed(t *testing.T) {
	for _, c := range Cases(7, 60) {
		for _, s := range c.Sheets {
			if s.Surface != flange.Solid {
				continue
			}
			if !s.Mesh.Closed() {
				t.Errorf("%s: %s is not closed", c.Name, s.Name)
			}
			if v := s.Mesh.Volume(); !(v > 0) || !(math.Abs(v/(s.Mesh.Area()/2*s.Thickness)-1) <= 0.2) {
				t.Errorf("%s: %s of %g mm has volume %.1f and area %.1f", c.Name, s.Name, s.Thickness, v, s.Mesh.Area())
			}
		}
	}
}
