// Command breaks asks how much the tests notice: it breaks one line of the program at a time, at random, and runs the tests of
// that line's package. A break that no test notices names a line that could be wrong without a word.
//
//	go run ./internal/breaks -n 40 -seed 1
//	go run ./internal/breaks -n 20 ./layout/labour ./seams/...
//	go run ./internal/breaks -then "geometry/=./geometry/flange" -then "./cmd/seamwright -run TestDemo$" -list earlier.log
//
// The tree is never touched: the broken copy is laid over the file for one run of go test, its vet included. A break is a
// comparison turned round, a constant made a tenth larger, a term of a sum dropped, or two neighbouring arguments or indices
// swapped. What does not compile is drawn again and not counted; a test that hangs has noticed. Survivors are for reading: those
// that change nothing go into harmless.txt with the reason, and are counted apart.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"time"
)

func main() {
	seed := flag.Uint64("seed", 1, "seed of the sample: the same seed on the same source draws the same breaks")
	n := flag.Int("n", 40, "how many breaks to judge")
	skip := flag.Int("skip", 0, "breaks of the sample to pass over, to go on where another run ended")
	limit := flag.Duration("timeout", time.Minute, "longest run of one package's tests; longer counts as noticed")
	var then []second
	flag.Func("then", "arguments of a further go test, for what the package's own tests do not notice, behind PREFIX= for files below PREFIX "+
		"alone; may be given again", func(text string) error {
		then = append(then, secondOf(text))
		return nil
	})
	list := flag.String("list", "", "file of breaks to judge instead of a sample: the survivors among lines that this program printed")
	flag.Parse()
	patterns := flag.Args()
	if len(patterns) == 0 {
		patterns = []string{"./geometry/...", "./seams/...", "./layout/...", "./render/..."}
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := run(ctx, patterns, *list, *seed, *skip, *n, bench{limit: *limit, then: then}); err != nil {
		fmt.Fprintln(os.Stderr, "breaks:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, patterns []string, list string, seed uint64, skip, n int, b bench) error {
	var sample []broken
	what := fmt.Sprintf("seed %d", seed)
	if list != "" {
		again, err := survivorsOf(list)
		if err != nil {
			return err
		}
		sample, n, what = again, len(again), "of "+list
	} else {
		lines, err := listed(ctx, patterns)
		if err != nil {
			return err
		}
		sample = drawn(lines, seed)
		sample = sample[min(skip, len(sample)):]
	}
	dir, err := os.MkdirTemp("", "breaks")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }() // a temporary folder
	b.dir, b.whole = dir, map[string]error{}
	if b.harmless, err = readHarmless(harmlessText); err != nil {
		return err
	}
	for _, key := range stale(b.harmless) {
		fmt.Printf("stale     harmless.txt: no line of today offers %s: take it out, or write it anew\n", strings.ReplaceAll(key, "\t", " | "))
	}
	count := map[verdict]int{}
	for _, at := range sample {
		if judged(count) == n {
			break
		}
		v, err := b.judge(ctx, at)
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
	return count[noticed] + count[later] + count[survived] + count[late] + count[harmless]
}

func report(count map[verdict]int, n int, what string, whole map[string]error) {
	for dir, err := range whole {
		if err != nil {
			fmt.Printf("not judged: %s: its tests do not pass unbroken within the timeout: %v\n", short(dir), err)
		}
	}
	all := judged(count)
	if all < n {
		fmt.Printf("only %d of the %d breaks asked for could be judged\n", all, n)
	}
	fmt.Printf("%d of %d survived (%.0f %%), %s; %d change nothing (harmless.txt); %d noticed by the second tests alone, %d by the timeout; "+
		"%d more did not compile, %d were not judged\n", count[survived], all, 100*float64(count[survived])/float64(max(1, all)), what,
		count[harmless], count[later], count[late], count[unbuilt], count[unjudged])
}

// listed is what each line of the packages offers, in the order of the files.
func listed(ctx context.Context, patterns []string) ([][]broken, error) {
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

type verdict string

const (
	noticed  verdict = "noticed"
	later    verdict = "later"    // by the second tests alone
	harmless verdict = "harmless" // listed with the reason why it changes nothing
	survived verdict = "SURVIVED"
	late     verdict = "timeout"
	unbuilt  verdict = "unbuilt"
	unjudged verdict = "unjudged"
)

// second is a further go test for what the tests of a package do not notice.
type second struct {
	below string // the files that it is for begin so
	args  []string
}

func secondOf(text string) second {
	if below, args, ok := strings.Cut(text, "="); ok && !strings.ContainsAny(below, " -") {
		return second{below, strings.Fields(args)}
	}
	return second{"", strings.Fields(text)}
}

type bench struct {
	dir      string
	limit    time.Duration
	then     []second
	whole    map[string]error // by directory or second tests: what they said of the unbroken tree
	harmless map[string]bool
}

func (b *bench) judge(ctx context.Context, at broken) (verdict, error) {
	if b.harmless[at.key()] {
		return harmless, nil
	}
	dir := filepath.Dir(at.File)
	if _, ok := b.whole[dir]; !ok {
		b.whole[dir] = b.goes(ctx, "test", dir, "-count=1", ".")
	}
	if b.whole[dir] != nil {
		return unjudged, ctx.Err()
	}
	overlay, err := b.overlay(at)
	if err != nil {
		return "", err
	}
	if b.goes(ctx, "build", dir, overlay, ".") != nil {
		return unbuilt, ctx.Err()
	}
	err = b.goes(ctx, "test", dir, overlay, "-count=1", "-failfast", ".")
	for _, s := range b.then {
		if err != nil || !strings.HasPrefix(short(at.File), s.below) || b.unsound(ctx, s) {
			continue
		}
		wrong := b.goes(ctx, "test", full("."), append([]string{overlay, "-count=1", "-failfast"}, s.args...)...)
		if errors.Is(wrong, context.DeadlineExceeded) {
			return late, ctx.Err()
		}
		if wrong != nil {
			return later, ctx.Err()
		}
	}
	switch {
	case ctx.Err() != nil:
		return "", ctx.Err()
	case err == nil:
		return survived, nil
	case errors.Is(err, context.DeadlineExceeded):
		return late, nil
	}
	return noticed, nil
}

// unsound reports whether second tests fail, or do not end, on the unbroken tree: they then notice nothing.
func (b *bench) unsound(ctx context.Context, s second) bool {
	key := strings.Join(s.args, " ")
	if _, ok := b.whole[key]; !ok {
		b.whole[key] = b.goes(ctx, "test", full("."), append([]string{"-count=1"}, s.args...)...)
	}
	return b.whole[key] != nil
}

// overlay writes the broken copy beside the tree and returns the flag that lays it over the file.
func (b *bench) overlay(at broken) (string, error) {
	source, err := os.ReadFile(at.File)
	if err != nil {
		return "", err
	}
	changed, list := filepath.Join(b.dir, "broken.go"), filepath.Join(b.dir, "overlay.json")
	if err := os.WriteFile(changed, at.applied(source), 0o600); err != nil {
		return "", err
	}
	text, err := json.Marshal(map[string]map[string]string{"Replace": {at.File: changed}})
	if err != nil {
		return "", err
	}
	return "-overlay=" + list, os.WriteFile(list, text, 0o600)
}

// goes runs the go command on a package within the limit. On the limit go test is interrupted, so that it ends the test as well.
func (b *bench) goes(ctx context.Context, verb, dir string, flags ...string) error {
	ctx, cancel := context.WithTimeout(ctx, b.limit)
	defer cancel()
	if verb == "test" {
		flags = append([]string{"-timeout=" + b.limit.String()}, flags...)
	}
	cmd := exec.CommandContext(ctx, "go", append([]string{verb}, flags...)...)
	cmd.Dir, cmd.WaitDelay = dir, 5*time.Second
	cmd.Cancel = func() error { return cmd.Process.Signal(os.Interrupt) }
	err := cmd.Run()
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return err
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
