// Command breaks asks how much the tests notice: it breaks one line of the program at a time, at random, and runs the tests of
// that line's package. A break that no test notices names a line that could be wrong without a word.
//
//	go run ./internal/breaks -n 40 -seed 1
//	go run ./internal/breaks -n 20 ./layout/labour ./seams/...
//	go run ./internal/breaks -then "geometry/=./geometry/flange" -then "./internal/recorded -run TestDemo$" -list earlier.log
//
// The tree is never touched: what is broken is laid over its file when the tests are compiled. A break is a
// comparison turned round, a constant made a tenth larger, a term of a sum dropped, or two neighbouring arguments or indices
// swapped. What does not compile is drawn again and not counted; a test that hangs has noticed. Survivors are for reading: those
// that change nothing go into harmless.txt with the reason, and are counted apart.
package main

import (
	"cmp"
	"context"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

func main() {
	seed := flag.Uint64("seed", 1, "seed of the sample: the same seed on the same source draws the same breaks")
	n := flag.Int("n", 40, "how many breaks to judge")
	skip := flag.Int("skip", 0, "breaks of the sample to pass over, to go on where another run ended")
	limit := flag.Duration("timeout", 10*time.Minute, "longest run of one package's tests; longer counts as noticed")
	var then []second
	flag.Func("then", "packages of further tests, and flags for them, for what the package's own tests do not notice, behind PREFIX= for "+
		"files below PREFIX alone; may be given again", func(text string) error {
		then = append(then, secondOf(text))
		return nil
	})
	every := flag.Duration("every", 0, "run the tests of every package that call what is broken and take at most this much processor time")
	list := flag.String("list", "", "file of breaks to judge instead of a sample: the survivors among lines that this program printed")
	flag.Parse()
	patterns := flag.Args()
	if len(patterns) == 0 {
		patterns = []string{"./geometry/...", "./seams/...", "./layout/...", "./render/..."}
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, patterns, *list, *seed, *skip, *n, *limit, *every, then); err != nil {
		fmt.Fprintln(os.Stderr, "breaks:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, patterns []string, list string, seed uint64, skip, n int, limit, every time.Duration, then []second) error {
	var sample []broken
	what := fmt.Sprintf("seed %d", seed)
	if list != "" {
		again, err := survivorsOf(list)
		if err != nil {
			return err
		}
		sample, n, what = again, len(again), "of "+list
	} else {
		lines, err := offered(ctx, patterns)
		if err != nil {
			return err
		}
		sample = drawn(lines, seed)
		sample = sample[min(skip, len(sample)):]
	}
	dir := filepath.Join(os.TempDir(), fmt.Sprintf("seamwright-breaks-%d", seed)) // by the seed, so that what was compiled is known again
	if err := os.Mkdir(dir, 0o700); err != nil {
		return fmt.Errorf("%w: where no other run of this seed is at work, remove it", err)
	}
	defer func() { _ = os.RemoveAll(dir) }() // a temporary folder
	listed, err := readHarmless(harmlessText)
	if err != nil {
		return err
	}
	for _, key := range stale(listed) {
		fmt.Printf("stale     harmless.txt: no line of today offers %s: take it out, or write it anew\n", strings.ReplaceAll(key, "\t", " | "))
	}
	sample = sample[:min(len(sample), n+n/3+5)] // some will not compile
	if every > 0 {
		tested, err := tested(ctx)
		if err != nil {
			return err
		}
		then = append(then, second{packages: tested, most: every})
	}
	b := newBench(dir, limit, then, listed)
	alone, wrong, err := b.weave(ctx, sample)
	if err != nil {
		return err
	}
	fmt.Printf("%d breaks drawn, %d of them compiled alone\n", len(sample), len(alone))
	count := map[verdict]int{}
	for i, at := range sample {
		if judged(count) == n {
			break
		}
		v, err := unbuilt, error(nil)
		switch {
		case b.harmless[at.key()]:
			v = harmless
		case alone[i+1]:
			v, err = b.judgeAlone(ctx, at)
		case !wrong[i+1]:
			v, err = b.judge(ctx, at, i+1, b)
		}
		if err != nil {
			return err
		}
		count[v]++
		if v != unbuilt {
			fmt.Printf("%-9s %s\n", v, at)
		}
	}
	report(count, n, what, b.whole)
	return nil
}

func judged(count map[verdict]int) int {
	return count[noticed] + count[survived] + count[late] + count[harmless]
}

func report(count map[verdict]int, n int, what string, whole map[string]error) {
	for dir, err := range whole {
		if err != nil && !strings.HasSuffix(dir, briefly) {
			fmt.Printf("not judged: %s: its tests do not pass unbroken within the timeout: %v\n", short(dir), err)
		}
	}
	all := judged(count)
	if all < n {
		fmt.Printf("only %d of the %d breaks asked for could be judged\n", all, n)
	}
	fmt.Printf("%d of %d survived (%.0f %%), %s; %d change nothing (harmless.txt); %d noticed by the timeout alone; "+
		"%d more did not compile, %d were not judged\n", count[survived], all, 100*float64(count[survived])/float64(max(1, all)), what,
		count[harmless], count[late], count[unbuilt], count[unjudged])
}

// tested are the packages with tests.
func tested(ctx context.Context) ([]string, error) {
	cmd := exec.CommandContext(ctx, "go", "list", "-f", "{{if or .TestGoFiles .XTestGoFiles}}{{.Dir}}{{end}}", "./...")
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w", err)
	}
	return strings.Fields(string(out)), nil
}

// offered is what each line of the packages offers, in the order of the files.
func offered(ctx context.Context, patterns []string) ([][]broken, error) {
	format := `{{$d := .Dir}}{{range .GoFiles}}{{$d}}/{{.}}{{"\n"}}{{end}}`
	cmd := exec.CommandContext(ctx, "go", append([]string{"list", "-f", format}, patterns...)...)
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return nil, fmt.Errorf("go list %s: %w", strings.Join(patterns, " "), err)
	}
	var lines [][]broken
	for _, name := range strings.Fields(string(out)) {
		breaks, err := find(name)
		if err != nil {
			return nil, err
		}
		at := map[int]int{}
		for _, b := range breaks {
			i, ok := at[b.Line]
			if !ok {
				i = len(lines)
				at[b.Line], lines = i, append(lines, nil)
			}
			lines[i] = append(lines[i], b)
		}
	}
	return lines, nil
}

// drawn puts the lines in a random order and takes one break of each.
func drawn(lines [][]broken, seed uint64) []broken {
	r := rand.New(rand.NewPCG(seed, 0))
	r.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
	out := make([]broken, len(lines))
	for i, of := range lines {
		out[i] = of[r.IntN(len(of))]
	}
	return out
}

func oneLine(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > 100 {
		return string(r[:100]) + "…"
	}
	return s
}

// full is the path of a file named from the folder of the module.
func full(name string) string {
	if here, err := os.Getwd(); err == nil && !filepath.IsAbs(name) {
		return filepath.Join(here, name)
	}
	return name
}

func short(path string) string {
	here, err := os.Getwd()
	if err != nil {
		return path
	}
	if rel, err := filepath.Rel(here, path); err == nil {
		return rel
	}
	return path
}

func sorted[K cmp.Ordered, V any](m map[K]V) []K { return slices.Sorted(maps.Keys(m)) }
