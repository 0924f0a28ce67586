package main

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"
)

type verdict string

const (
	noticed  verdict = "noticed"
	harmless verdict = "harmless" // listed with the reason why it changes nothing
	survived verdict = "SURVIVED"
	late     verdict = "timeout"
	unbuilt  verdict = "unbuilt"
	unjudged verdict = "unjudged"
)

// second are further tests for what the tests of a package do not notice.
type second struct {
	below    string // the files that they are for begin so
	packages []string
	flags    []string      // of go test
	most     time.Duration // of processor time: packages whose tests take more are left out; 0 for any
}

func secondOf(text string) second {
	var s second
	if below, args, ok := strings.Cut(text, "="); ok && !strings.ContainsAny(below, " -") {
		s.below, text = below, args
	}
	words := strings.Fields(text)
	for i, w := range words {
		if strings.HasPrefix(w, "-") {
			s.flags = words[i:]
			break
		}
		s.packages = append(s.packages, w)
	}
	return s
}

// bench is where breaks are judged: a folder with the woven files, and the tests that were compiled with them.
type bench struct {
	dir      string
	limit    time.Duration
	then     []second
	overlay  string                     // flag that lays the woven files over the tree
	programs map[string]string          // by package: its tests, compiled, or "" where it has none
	whole    map[string]error           // by tests: what they said of the unbroken tree
	took     map[string]time.Duration   // and how much processor time they took
	used     map[string]map[string]bool // by tests: the folders of what they use
	seen     map[string]map[int]string  // by tests: the breaks whose functions they call, and the first that does
	footings map[int]footing            // of constants in the sample
	harmless map[string]bool
}

func newBench(dir string, limit time.Duration, then []second, harmless map[string]bool) *bench {
	return &bench{dir: dir, limit: limit, then: then, harmless: harmless, programs: map[string]string{}, whole: map[string]error{},
		took: map[string]time.Duration{}, used: map[string]map[string]bool{}, seen: map[string]map[int]string{}, footings: map[int]footing{}}
}

// weave lays the sample over the tree, and returns by its number in the sample what cannot be woven, and what does not compile.
func (b *bench) weave(ctx context.Context, sample []broken) (alone, unbuilt map[int]bool, err error) {
	alone, unbuilt = map[int]bool{}, map[int]bool{}
	for {
		wrong, err := b.build(ctx, sample, alone, unbuilt)
		if err != nil || len(wrong) == 0 {
			return alone, unbuilt, err
		}
		for _, number := range wrong {
			unbuilt[number] = true
		}
	}
}

// build compiles the tree with the sample in it, but for some, and returns the numbers of the breaks that do not compile.
func (b *bench) build(ctx context.Context, sample []broken, alone, unbuilt map[int]bool) ([]int, error) {
	byFile := map[string]map[int]broken{}
	for i, at := range sample {
		if alone[i+1] || unbuilt[i+1] || b.harmless[at.key()] {
			continue
		}
		if byFile[at.File] == nil {
			byFile[at.File] = map[int]broken{}
		}
		byFile[at.File][i+1] = at
	}
	replace := map[string]string{}
	lines := map[string]map[int][2]int{}
	constants := map[int]string{}
	for i, name := range sorted(byFile) {
		source, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		w, not, err := weave(name, source, byFile[name], b.footings)
		if err != nil {
			return nil, err
		}
		for _, number := range not {
			alone[number] = true
		}
		maps.Copy(constants, w.constants)
		lines[fmt.Sprintf("woven%d.go", i)] = w.lines // the compiler names the file that was laid over
		replace[name] = filepath.Join(b.dir, fmt.Sprintf("woven%d.go", i))
		called := filepath.Join(filepath.Dir(name), "broken_number.go")
		replace[called] = filepath.Join(b.dir, fmt.Sprintf("caller%d.go", i))
		if err := os.WriteFile(replace[name], w.text, 0o600); err != nil {
			return nil, err
		}
		if err := os.WriteFile(replace[called], []byte(caller(packageOf(source), b.number(), len(sample))), 0o600); err != nil {
			return nil, err
		}
	}
	overlay, err := b.lay(replace)
	if err != nil {
		return nil, err
	}
	b.overlay = overlay
	said, err := exec.CommandContext(ctx, "go", "build", overlay, "./...").CombinedOutput()
	if err == nil {
		return nil, nil
	}
	var wrong []int
	for _, m := range place.FindAllSubmatch(said, -1) {
		line, _ := strconv.Atoi(string(m[2]))
		for number, of := range lines[filepath.Base(string(m[1]))] {
			if of[0] <= line && line <= of[1] {
				wrong = append(wrong, number)
			}
		}
	}
	if len(wrong) == 0 && len(constants) > 0 {
		b.refoot(constants, string(said))
		return b.build(ctx, sample, alone, unbuilt)
	}
	if len(wrong) == 0 {
		return nil, fmt.Errorf("the tree with the sample in it does not compile, and none of the breaks is named: %w\n%s", err, said)
	}
	return wrong, nil
}

// refoot tries another footing for the constants that the compiler names, or for all where it names none.
func (b *bench) refoot(constants map[int]string, said string) {
	named := maps.Clone(constants)
	maps.DeleteFunc(named, func(_ int, name string) bool { return !regexp.MustCompile(`\b` + name + `\b`).MatchString(said) })
	if len(named) == 0 {
		named = constants
	}
	for number := range named {
		b.footings[number]++
	}
}

var (
	place       = regexp.MustCompile(`(?m)^(\S+\.go):(\d+):\d+: `)
	packageLine = regexp.MustCompile(`(?m)^package (\w+)`)
)

func packageOf(source []byte) string { return string(packageLine.FindSubmatch(source)[1]) }

func (b *bench) number() string { return filepath.Join(b.dir, "number") }

// lay writes which files stand for which, and returns the flag that says so.
func (b *bench) lay(replace map[string]string) (string, error) {
	text, err := json.Marshal(map[string]map[string]string{"Replace": replace})
	if err != nil {
		return "", err
	}
	list, err := os.CreateTemp(b.dir, "overlay*.json")
	if err != nil {
		return "", err
	}
	_, err = list.Write(text)
	return "-overlay=" + list.Name(), errors.Join(err, list.Close())
}

// judge judges a break by its number with tests compiled at on, where it lies; b holds the whole tree. What is known to be quick comes
// first, then the further tests in their order: a package's own may take a minute, and must be known to pass before they count. Tests that
// do not call what is broken are passed over, and those of every package where it would be compiled anew for them.
func (b *bench) judge(ctx context.Context, at broken, number int, on *bench) (verdict, error) {
	dir := filepath.Dir(at.File)
	var all []tests
	for _, s := range b.then {
		for _, pkg := range s.packages {
			if strings.HasPrefix(short(at.File), s.below) && full(pkg) != dir && b.uses(ctx, full(pkg), dir) {
				all = append(all, tests{full(pkg), s.flags, s.most})
			}
		}
	}
	all = append(all, tests{dir: dir})
	slices.SortStableFunc(all, func(x, y tests) int { return cmp.Compare(b.time(x), b.time(y)) })
	v := unjudged
	for _, t := range all {
		if t.most > 0 && on != b || b.sound(ctx, t) != nil {
			continue
		}
		v = survived
		first, calls := b.seen[t.key()][number]
		if on == b && !calls {
			continue
		}
		quick := tests{dir: t.dir, flags: []string{"-run", "^" + first + "$"}}
		ask := on == b && first != "" && t.flags == nil && b.time(t) > long && b.sound(ctx, quick) == nil
		if ask && on.run(ctx, number, quick, b.time(t)) != nil {
			return noticed, ctx.Err()
		}
		if err := on.run(ctx, number, t, b.time(t)); errors.Is(err, context.DeadlineExceeded) {
			return late, ctx.Err()
		} else if err != nil {
			return noticed, ctx.Err()
		}
	}
	return v, ctx.Err()
}

// long is how much processor time tests may take before the first of them that calls what is broken is asked alone.
const long = 3 * time.Second

// time is how much processor time tests took on the whole tree, or for ever where they have not been run.
func (b *bench) time(t tests) time.Duration {
	if took, ok := b.took[t.key()]; ok {
		return took
	}
	return math.MaxInt64
}

// judgeAlone judges a break that cannot be woven: all that depends on it is compiled anew.
func (b *bench) judgeAlone(ctx context.Context, at broken) (verdict, error) {
	source, err := os.ReadFile(at.File)
	if err != nil {
		return "", err
	}
	changed := filepath.Join(b.dir, "alone.go")
	if err := os.WriteFile(changed, at.applied(source), 0o600); err != nil {
		return "", err
	}
	on := newBench(b.dir, b.limit, nil, nil)
	on.took = b.took
	if on.overlay, err = b.lay(map[string]string{at.File: changed}); err != nil {
		return "", err
	}
	if _, err := on.program(ctx, filepath.Dir(at.File)); err != nil {
		return unbuilt, ctx.Err()
	}
	return b.judge(ctx, at, 1, on)
}

// uses reports whether the tests of a package have anything to do with another.
func (b *bench) uses(ctx context.Context, dir, other string) bool {
	if b.used[dir] == nil {
		b.used[dir] = map[string]bool{}
		cmd := exec.CommandContext(ctx, "go", "list", "-deps", "-test", "-f", "{{.Dir}}", ".")
		cmd.Dir = dir
		said, _ := cmd.Output() // what cannot be listed does not compile, which is told
		for _, name := range strings.Fields(string(said)) {
			b.used[dir][name] = true
		}
	}
	return len(b.used[dir]) == 0 || b.used[dir][other]
}

// sound asks once what tests say of the unbroken tree, and how long they take to: where they fail they notice nothing.
func (b *bench) sound(ctx context.Context, t tests) error {
	key := t.key()
	if _, ok := b.whole[key]; !ok {
		b.whole[key] = b.note(ctx, t)
	}
	return b.whole[key]
}

// note runs tests on the unbroken tree, and notes how long they take, and which breaks they come to.
func (b *bench) note(ctx context.Context, t tests) error {
	list := b.number() + ".seen"
	if err := os.Remove(list); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	begun := &begun{}
	limit := b.limit
	if t.most > 0 {
		limit = min(limit, t.most)
	}
	if err := b.start(ctx, -1, t, limit, begun); err != nil {
		return err
	}
	b.took[t.key()] = begun.took
	b.seen[t.key()] = map[int]string{}
	text, err := os.ReadFile(list)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	for _, line := range strings.Split(strings.TrimSpace(string(text)), "\n") {
		var number int
		var at int64
		if _, err := fmt.Sscan(line, &number, &at); err != nil {
			continue // nothing was noted
		}
		if _, ok := b.seen[t.key()][number]; !ok {
			b.seen[t.key()][number] = begun.at(at)
		}
	}
	return nil
}

// begun listens to what verbose tests print, and keeps when each began.
type begun struct {
	line  []byte
	names []string
	times []int64
	took  time.Duration
}

func (g *begun) Write(text []byte) (int, error) {
	g.line = append(g.line, text...)
	for {
		line, rest, ok := bytes.Cut(g.line, []byte("\n"))
		if !ok {
			return len(text), nil
		}
		g.line = rest
		words := strings.Fields(string(line))
		if len(words) == 3 && words[0] == "===" && (words[1] == "RUN" || words[1] == "CONT") {
			name, _, _ := strings.Cut(words[2], "/")
			g.names, g.times = append(g.names, name), append(g.times, time.Now().UnixNano())
		}
	}
}

// heardLate is how much later than a test begins this is heard of. Chosen; a wrong guess costs a run of another test.
const heardLate = 2 * time.Millisecond

// at is the test that began last before a time, or "" where none had.
func (g *begun) at(when int64) string {
	when += heardLate.Nanoseconds()
	i := sort.Search(len(g.times), func(i int) bool { return g.times[i] > when })
	if i == 0 {
		return ""
	}
	return g.names[i-1]
}

// tests are a package's, or some of them by flags of go test.
type tests struct {
	dir   string
	flags []string
	most  time.Duration // of processor time, or 0
}

func (t tests) key() string {
	words := append([]string{t.dir}, t.flags...)
	if t.most > 0 {
		words = append(words, briefly)
	}
	return strings.Join(words, " ")
}

// briefly marks tests that are left out where they take long.
const briefly = "(if brief)"

// run runs tests with a break awake, by its number. Processor time ends them, if they have a few times what the whole tree takes,
// so that a break that hangs is told soon, however busy the machine is.
func (b *bench) run(ctx context.Context, number int, t tests, whole time.Duration) error {
	limit := b.limit
	if whole < limit {
		limit = min(limit, 20*time.Second+5*whole)
	}
	return b.start(ctx, number, t, limit, nil)
}

func (b *bench) start(ctx context.Context, number int, t tests, limit time.Duration, listener *begun) error {
	program, err := b.program(ctx, t.dir)
	if err != nil || program == "" {
		return err
	}
	if err := os.WriteFile(b.number(), []byte(strconv.Itoa(number)), 0o600); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(ctx, b.limit)
	defer cancel()
	args := []string{"-c", `ulimit -t "$0" && exec "$@"`, strconv.Itoa(int(limit.Seconds())), program, "-test.failfast",
		"-test.timeout=" + b.limit.String()}
	for _, f := range t.flags {
		if strings.HasPrefix(f, "-") {
			f = "-test." + strings.TrimPrefix(f, "-")
		}
		args = append(args, f)
	}
	cmd := exec.CommandContext(ctx, "sh", args...)
	cmd.Dir, cmd.WaitDelay = t.dir, 5*time.Second
	if listener != nil {
		cmd.Args = append(cmd.Args, "-test.v")
		cmd.Stdout = listener
	}
	err = cmd.Run()
	if listener != nil && cmd.ProcessState != nil {
		listener.took = cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime()
	}
	return cmp.Or(ctx.Err(), err)
}

// program is the compiled tests of a package.
func (b *bench) program(ctx context.Context, dir string) (string, error) {
	if name, ok := b.programs[dir]; ok {
		return name, nil
	}
	folder, err := os.MkdirTemp(b.dir, "tests")
	if err != nil {
		return "", err
	}
	name := filepath.Join(folder, "tests")
	cmd := exec.CommandContext(ctx, "go", "test", "-c", "-vet=off", b.overlay, "-o", name, ".")
	cmd.Dir = dir
	if said, err := cmd.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w\n%s", err, said)
	}
	if _, err := os.Stat(name); err != nil { // there are none
		name = ""
	}
	b.programs[dir] = name
	return name, nil
}
