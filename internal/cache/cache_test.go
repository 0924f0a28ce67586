package cache

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

type made struct {
	Name  string
	Parts []float64
}

func onDisk(t rapid.TB, dir string, limit int64) *Cache {
	t.Helper()
	c, err := OnDisk(dir, limit)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// count makes a result and counts how often.
func count(n *int, out made) func() (made, error) {
	return func() (made, error) {
		*n++
		return out, nil
	}
}

func entries(t rapid.TB, dir string) []string {
	t.Helper()
	files, _, err := list(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, f := range files {
		out = append(out, f.path)
	}
	return out
}

func TestResultIsMadeOnce(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "kept")
	want := made{"roof", []float64{1, 2.5}}
	n := 0
	for range 2 { // the second round finds it on disk alone
		c := onDisk(t, dir, DefaultLimit)
		for range 3 {
			got, err := Get(c, c.KeyOf("stage", Input{"a", 1}), count(&n, want))
			if err != nil || got.Name != want.Name || !slices.Equal(got.Parts, want.Parts) {
				t.Fatalf("%+v, %v", got, err)
			}
		}
	}
	if n != 1 {
		t.Errorf("made %d times", n)
	}
	var none *Cache
	if _, err := Get(none, none.KeyOf("stage", Input{"a", 1}), count(&n, want)); err != nil || n != 2 {
		t.Errorf("without a cache: made %d times, %v", n, err)
	}
	c := New()
	broken := errors.New("broken")
	for range 2 {
		if _, err := Get(c, Key{}, func() (made, error) { n++; return made{}, broken }); !errors.Is(err, broken) {
			t.Error(err)
		}
	}
	if n != 4 {
		t.Errorf("an error was kept")
	}
}

// What is damaged, cut short, of another layout, or no result at all is made again, and is whole afterwards.
func TestDamagedEntryIsMadeAgain(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		dir := t.TempDir()
		c := onDisk(rt, dir, DefaultLimit)
		key, n, want := c.KeyOf("stage", Input{"a", "x"}), 0, made{"rail", []float64{3}}
		if _, err := Get(c, key, count(&n, want)); err != nil {
			rt.Fatal(err)
		}
		path := entries(rt, dir)[0]
		data, err := os.ReadFile(path)
		if err != nil {
			rt.Fatal(err)
		}
		whole := slices.Clone(data)
		switch at := rapid.IntRange(0, len(data)-1).Draw(rt, "at"); rapid.IntRange(0, 2).Draw(rt, "how") {
		case 0:
			data[at] ^= byte(rapid.IntRange(1, 255).Draw(rt, "by"))
		case 1:
			data = data[:at]
		case 2:
			data = append(data, byte(at))
		}
		if err := os.WriteFile(path, data, 0o600); err != nil {
			rt.Fatal(err)
		}
		got, err := Get(onDisk(rt, dir, DefaultLimit), key, count(&n, want))
		if err != nil || got.Name != want.Name || n != 2 {
			rt.Fatalf("%+v, %v, made %d times", got, err, n)
		}
		if data, err = os.ReadFile(path); err != nil || !slices.Equal(data, whole) {
			rt.Fatalf("the entry is not whole again: %v", err)
		}
	})
}

func TestFolderThatCannotBeWrittenDoesNoHarm(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	n := 0
	c := onDisk(t, filepath.Join(file, "kept"), DefaultLimit)
	if got, err := Get(c, Key{}, count(&n, made{Name: "a"})); err != nil || got.Name != "a" {
		t.Errorf("%+v, %v", got, err)
	}
	if err := c.Close(); err != nil {
		t.Error(err)
	}
}

// What was asked for longest goes first, and only as much as must.
func TestLimit(t *testing.T) {
	dir := t.TempDir()
	c := onDisk(t, dir, DefaultLimit)
	n := 0
	var paths []string
	for i := range 8 {
		if _, err := Get(c, c.KeyOf("stage", Input{"i", i}), count(&n, made{Parts: make([]float64, 100+i)})); err != nil {
			t.Fatal(err)
		}
		for _, p := range entries(t, dir) {
			if !slices.Contains(paths, p) {
				paths = append(paths, p)
				if err := os.Chtimes(p, time.Time{}, time.Now().Add(time.Duration(i-100)*time.Hour)); err != nil {
					t.Fatal(err)
				}
			}
		}
	}
	_, size, err := Size(dir)
	if err != nil {
		t.Fatal(err)
	}
	c.disk.limit = size / 2
	if err := c.Close(); err != nil {
		t.Fatal(err)
	}
	left := entries(t, dir)
	slices.Sort(left)
	want := slices.Clone(paths[len(paths)-len(left):])
	slices.Sort(want)
	if len(left) < 3 || len(left) > 4 || !slices.Equal(left, want) {
		t.Errorf("left %d of 8, not the latest", len(left))
	}
}

// Clear takes results alone: a user may have pointed the folder somewhere else.
func TestClearLeavesWhatIsNotItsOwn(t *testing.T) {
	dir := t.TempDir()
	c, n := onDisk(t, dir, DefaultLimit), 0
	if _, err := Get(c, Key{}, count(&n, made{})); err != nil {
		t.Fatal(err)
	}
	own := filepath.Join(dir, "letters", "a.txt")
	if err := os.MkdirAll(filepath.Dir(own), 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(own, []byte("dear"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := Clear(dir); err != nil {
		t.Fatal(err)
	}
	if left := entries(t, dir); len(left) != 1 || left[0] != own {
		t.Errorf("left: %q", left)
	}
	if err := Clear(filepath.Join(dir, "none")); err != nil {
		t.Errorf("a folder that is not there: %v", err)
	}
}

func TestEachMakesWhatIsWanting(t *testing.T) {
	dir := t.TempDir()
	c := onDisk(t, dir, DefaultLimit)
	asked := 0
	each := func(c *Cache, values ...int) []int {
		t.Helper()
		keys := make([]Key, len(values))
		for i, v := range values {
			keys[i] = c.KeyOf("square", Input{"of", v})
		}
		out, err := Each(c, keys, func(wanting []int) ([]int, error) {
			var out []int
			for _, i := range wanting {
				out = append(out, values[i]*values[i])
			}
			asked += len(wanting)
			return out, nil
		})
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	for _, s := range []struct {
		c      *Cache
		values []int
		made   int
	}{
		{c, []int{1, 2, 3}, 3}, {c, []int{3, 4, 1}, 1}, {c, nil, 0}, {onDisk(t, dir, DefaultLimit), []int{1, 2, 3}, 0}, {nil, []int{1, 2}, 2},
	} {
		asked = 0
		for i, got := range each(s.c, s.values...) {
			if got != s.values[i]*s.values[i] {
				t.Errorf("%v: %d at %d", s.values, got, i)
			}
		}
		if asked != s.made {
			t.Errorf("%v: made %d, want %d", s.values, asked, s.made)
		}
	}
}

func TestStopWriting(t *testing.T) {
	dir, n := t.TempDir(), 0
	c := onDisk(t, dir, DefaultLimit)
	key := func(i int) Key { return c.KeyOf("stage", Input{"i", i}) }
	for i := range 2 {
		if _, err := Get(c, key(i), count(&n, made{})); err != nil {
			t.Fatal(err)
		}
		c.StopWriting()
	}
	if left := entries(t, dir); len(left) != 1 {
		t.Errorf("on disk: %q", left)
	}
	for i := range 2 {
		if _, err := Get(c, key(i), count(&n, made{})); err != nil || n != 2 {
			t.Errorf("%d made, %v", n, err)
		}
	}
	(*Cache)(nil).StopWriting()
}

func TestForgetsWhatManyRunsDidNotAskFor(t *testing.T) {
	c, n := New(), 0
	for run := range 3 * runsKept {
		c.Begin()
		if _, err := Get(c, c.KeyOf("always"), count(&n, made{})); err != nil {
			t.Fatal(err)
		}
		if _, err := Get(c, c.KeyOf("once", Input{"run", run}), count(&n, made{})); err != nil {
			t.Fatal(err)
		}
	}
	if len(c.kept) > runsKept+3 || n != 3*runsKept+1 {
		t.Errorf("%d kept, %d made", len(c.kept), n)
	}
}

// Two programs at once, as far as the folder is concerned.
func TestSeveralAtOnce(t *testing.T) {
	dir := t.TempDir()
	var wait sync.WaitGroup
	for range 4 {
		c := onDisk(t, dir, 3000)
		wait.Go(func() {
			for i := range 50 {
				got, err := Get(c, c.KeyOf("stage", Input{"i", i % 7}), func() (made, error) { return made{Parts: []float64{float64(i % 7)}}, nil })
				if err != nil || got.Parts[0] != float64(i%7) {
					t.Errorf("%+v, %v", got, err)
				}
				if err := c.Close(); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
}

type awkward struct {
	A, B string
	L    []string
	P    *int
	M    map[string]int
	F    float64
}

// Any other input makes another key; the same makes the same.
func TestKeys(t *testing.T) {
	one, two := 1, 2
	all := []any{
		awkward{}, awkward{A: "ab"}, awkward{A: "a", B: "b"}, awkward{B: "ab"}, awkward{L: []string{}}, awkward{L: []string{""}},
		awkward{L: []string{"a", "b"}}, awkward{L: []string{"ab"}}, awkward{P: &one}, awkward{P: &two}, awkward{M: map[string]int{"a": 1}},
		awkward{M: map[string]int{"a": 2}}, awkward{M: map[string]int{"b": 1}}, awkward{F: 1}, awkward{F: 1.0000000000000002}, nil, 0, 0.0, "",
		int32(0), false, true, []int{}, []int(nil), [2]int{}, [1]int{},
	}
	c := New()
	seen := map[Key]int{}
	for i, v := range all {
		for _, in := range [][]Input{{{"a", v}}, {{"b", v}}, {{"a", v}, {"a", v}}} {
			k := c.KeyOf("s", in...)
			if other, ok := seen[k]; ok {
				t.Errorf("%#v has the key of %#v", v, all[other])
			}
			if k != c.KeyOf("s", in...) {
				t.Errorf("%#v has two keys", v)
			}
			seen[k] = i
		}
	}
	if c.KeyOf("s", Input{"a", 1}) == c.KeyOf("t", Input{"a", 1}) {
		t.Error("two stages share a key")
	}
	for _, bad := range []any{func() {}, struct{ a int }{1}, map[int]int{}, make(chan int)} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%T was taken", bad)
				}
			}()
			c.KeyOf("s", Input{"a", bad})
		}()
	}
}

func TestNoFolder(t *testing.T) {
	t.Setenv("XDG_CACHE_HOME", "")
	t.Setenv("HOME", "")
	if dir, err := Folder(); err == nil {
		t.Skipf("this system has a cache folder without a home: %s", dir)
	}
}

// FuzzEntry puts any bytes in the place of what was kept: they are the result only if they are what was written.
func FuzzEntry(f *testing.F) {
	dir := f.TempDir()
	key := (*Cache)(nil).KeyOf("stage", Input{"n", 1})
	want := made{"kept", []float64{1, 2}}
	c, err := OnDisk(dir, 1<<20)
	if err != nil {
		f.Fatal(err)
	}
	n := 0
	if _, err := Get(c, key, count(&n, want)); err != nil {
		f.Fatal(err)
	}
	path := c.disk.path(key)
	whole, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(whole)
	f.Add(whole[:len(whole)-1])
	f.Add([]byte(magic))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, data []byte) {
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatal(err)
		}
		n := 0
		got, err := Get(onDisk(t, dir, 1<<20), key, count(&n, want))
		if err != nil || got.Name != want.Name || !slices.Equal(got.Parts, want.Parts) {
			t.Errorf("%v, %v", got, err)
		}
		if known := bytes.Equal(data, whole); known == (n == 1) {
			t.Errorf("%d bytes, those that were written: %v; made %d times", len(data), known, n)
		}
	})
}
