package fileset

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// edition is a set of files that tell which edition they are of. Odd ones have a map fewer.
func edition(n int) map[string][]byte {
	out := map[string][]byte{"plan.json": nil, "report.txt": nil}
	for i := range 8 - n%2 {
		out[fmt.Sprintf("maps/jig-%d.svg", i+1)] = nil
	}
	for name := range out {
		out[name] = fmt.Appendf(nil, "%s of edition %d\n%s", name, n, strings.Repeat("x", 3000))
	}
	return out
}

// tree is every file below a folder, by name.
func tree(t testing.TB, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(at string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		name, err := filepath.Rel(dir, at)
		if err != nil {
			return err
		}
		data, err := os.ReadFile(at)
		out[filepath.ToSlash(name)] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// holds fails the test unless the folder holds exactly the files, its manifest and what else is named.
func holds(t testing.TB, dir string, files map[string][]byte, others ...string) {
	t.Helper()
	got := tree(t, dir)
	if got[manifestName] == "" {
		t.Errorf("there is no manifest")
	}
	delete(got, manifestName)
	for _, name := range others {
		if _, ok := got[name]; !ok {
			t.Errorf("%s is lost", name)
		}
		delete(got, name)
	}
	for name, data := range files {
		if got[name] != string(data) {
			t.Errorf("%s: %.40q, want %.40q", name, got[name], data)
		}
		delete(got, name)
	}
	for name := range got {
		t.Errorf("%s is left over", name)
	}
}

func write(t testing.TB, dir string, n int, opt Options) (removed []string) {
	t.Helper()
	removed, err := Write(context.Background(), dir, edition(n), opt)
	if err != nil {
		t.Fatal(err)
	}
	return removed
}

func put(t testing.TB, at, text string) {
	t.Helper()
	if err := errors.Join(os.MkdirAll(filepath.Dir(at), 0o777), os.WriteFile(at, []byte(text), 0o666)); err != nil {
		t.Fatal(err)
	}
}

// bothWays runs a test with folders exchanged and with files moved one by one.
func bothWays(t *testing.T, test func(t *testing.T, opt Options)) {
	t.Run("exchange", func(t *testing.T) { test(t, Options{}) })
	t.Run("journal", func(t *testing.T) { test(t, Options{Journal: true}) })
}

func TestWriteReplacesTheSetAndKeepsTheRest(t *testing.T) {
	bothWays(t, func(t *testing.T, opt Options) {
		dir := filepath.Join(t.TempDir(), "a", "plan")
		if removed := write(t, dir, 2, opt); removed != nil {
			t.Errorf("removed %v from nothing", removed)
		}
		put(t, filepath.Join(dir, "remarks.txt"), "mine")
		put(t, filepath.Join(dir, "maps", "sketch.svg"), "mine")
		put(t, filepath.Join(dir, "photos", "one.jpg"), "mine")
		if err := os.Symlink("remarks.txt", filepath.Join(dir, "link")); err != nil && runtime.GOOS != "windows" {
			t.Fatal(err)
		}
		if removed := write(t, dir, 3, opt); len(removed) != 1 || removed[0] != "maps/jig-8.svg" {
			t.Errorf("removed %v", removed)
		}
		holds(t, dir, edition(3), "remarks.txt", "maps/sketch.svg", "photos/one.jpg", "link")
		if entries, err := os.ReadDir(filepath.Dir(dir)); err != nil || len(entries) != 1 {
			t.Errorf("%v left beside it, %v", entries, err)
		}
	})
}

// A folder written before there were manifests: its old maps go, by their names.
func TestWriteKnowsItsOwnWithoutAManifest(t *testing.T) {
	bothWays(t, func(t *testing.T, opt Options) {
		dir := t.TempDir()
		put(t, filepath.Join(dir, "maps", "gone-1.svg"), "old")
		put(t, filepath.Join(dir, "letter.txt"), "mine")
		opt.Ours = func(name string) bool { return strings.HasPrefix(name, "maps/") }
		if removed := write(t, dir, 1, opt); len(removed) != 1 {
			t.Errorf("removed %v", removed)
		}
		holds(t, dir, edition(1), "letter.txt")
	})
}

func TestSomethingInTheWayLeavesTheOldSet(t *testing.T) {
	bothWays(t, func(t *testing.T, opt Options) {
		dir := t.TempDir()
		write(t, dir, 2, opt)
		old := edition(2)
		delete(old, "report.txt")
		if err := errors.Join(os.Remove(filepath.Join(dir, "report.txt")), os.MkdirAll(filepath.Join(dir, "report.txt", "x"),
			0o777)); err != nil {
			t.Fatal(err)
		}
		var refused Refused
		_, err := Write(context.Background(), dir, edition(3), opt)
		if !errors.As(err, &refused) || !strings.Contains(err.Error(), "report.txt: a folder is in the way") {
			t.Errorf("%v", err)
		}
		holds(t, dir, old)
		if err := os.RemoveAll(filepath.Join(dir, "report.txt")); err != nil {
			t.Fatal(err)
		}
		write(t, dir, 3, opt)
		holds(t, dir, edition(3))
	})
}

func TestCancelledLeavesTheOldSet(t *testing.T) {
	bothWays(t, func(t *testing.T, opt Options) {
		dir := filepath.Join(t.TempDir(), "plan")
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		if _, err := Write(ctx, dir, edition(1), opt); !errors.Is(err, context.Canceled) {
			t.Error(err)
		}
		if _, err := os.Stat(dir); err == nil {
			t.Error("a folder is made for nothing")
		}
		write(t, dir, 2, opt)
		if _, err := Write(ctx, dir, edition(3), opt); !errors.Is(err, context.Canceled) {
			t.Error(err)
		}
		holds(t, dir, edition(2))
	})
}

// Many runs into one folder at once: it ends with the whole set of one of them.
func TestRunsWaitForEachOther(t *testing.T) {
	bothWays(t, func(t *testing.T, opt Options) {
		dir := filepath.Join(t.TempDir(), "plan")
		var wait sync.WaitGroup
		for n := range 12 {
			wait.Go(func() {
				if _, err := Write(context.Background(), dir, edition(n), opt); err != nil {
					t.Error(err)
				}
			})
		}
		wait.Wait()
		holds(t, dir, edition(last(t, dir)))
	})
}

// last is the edition that plan.json is of.
func last(t testing.TB, dir string) (n int) {
	t.Helper()
	data, err := os.ReadFile(filepath.Join(dir, "plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := fmt.Sscanf(string(data), "plan.json of edition %d", &n); err != nil {
		t.Fatal(err)
	}
	return n
}

// TestMain writes editions without end when it is the process that TestKilled kills.
func TestMain(m *testing.M) {
	if dir := os.Getenv("FILESET_WRITE"); dir != "" {
		for n := os.Getpid() * 100; ; n++ {
			var err error
			switch os.Getenv("FILESET_HOW") {
			case "into":
				err = WriteInto(context.Background(), dir, edition(2*n))
			default:
				_, err = Write(context.Background(), dir, edition(n), Options{Journal: os.Getenv("FILESET_HOW") == "journal"})
			}
			if err != nil {
				fmt.Fprintln(os.Stderr, err)
				os.Exit(1)
			}
		}
	}
	os.Exit(m.Run())
}

// A process killed at any moment leaves the files of one set, or a journal that the next run finishes and that Check tells.
func TestKilled(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("kills as Unix does")
	}
	for _, how := range []string{"exchange", "journal", "into"} {
		t.Run(how, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "plan")
			opt := Options{Journal: how == "journal"}
			write(t, dir, 2, opt)
			if how == "into" {
				if err := os.Remove(filepath.Join(dir, manifestName)); err != nil {
					t.Fatal(err)
				}
			}
			put(t, filepath.Join(dir, "mine", "remarks.txt"), "mine")
			random := rand.New(rand.NewPCG(7, 7))
			for range 25 {
				killOnce(t, dir, how, time.Duration(random.IntN(30_000))*time.Microsecond)
				unmixed(t, dir)
				if how != "exchange" {
					checked := Check(filepath.Join(dir, "plan.json"), []byte(tree(t, dir)["plan.json"]))
					if _, err := os.Stat(filepath.Join(dir, nextName, manifestName)); err == nil && checked == nil {
						t.Error("a folder of two runs passes for whole")
					}
					finish := set{dir: dir}
					if err := finish.recoverJournal(); err != nil {
						t.Fatal(err)
					}
				}
				n := last(t, dir)
				_ = os.Remove(filepath.Join(dir, lockName))
				if how == "into" { // the folder of somebody else holds no manifest
					if _, err := os.Stat(filepath.Join(dir, manifestName)); err == nil {
						t.Error("a manifest stays")
					}
					put(t, filepath.Join(dir, manifestName), "to have one")
				}
				holds(t, dir, edition(n), "mine/remarks.txt")
				if how == "into" {
					_ = os.Remove(filepath.Join(dir, manifestName))
				}
				if t.Failed() {
					return
				}
			}
			write(t, dir, 6, opt)
			holds(t, dir, edition(6), "mine/remarks.txt")
			if entries, err := os.ReadDir(filepath.Dir(dir)); err != nil || len(entries) != 1 {
				t.Errorf("left beside it: %v, %v", entries, err)
			}
		})
	}
}

// unmixed looks at the files of editions under their ordinary names, which may be fewer than a whole set.
func unmixed(t testing.TB, dir string) {
	t.Helper()
	editions := map[string][]string{}
	for name, text := range tree(t, dir) {
		if at := strings.LastIndex(text, " of edition "); at >= 0 && !strings.HasPrefix(name, nextName) {
			editions[text[at:]] = append(editions[text[at:]], name)
		}
	}
	if len(editions) > 1 {
		t.Errorf("files of several editions beside each other: %v", editions)
	}
}

// Cut off after any of its moves, a journal leaves no files of two runs beside each other, and the next run finishes it.
func TestCutOffAmongMoves(t *testing.T) {
	for _, keep := range []bool{true, false} {
		for cut, more := 0, true; more; cut++ {
			dir := filepath.Join(t.TempDir(), "plan")
			write(t, dir, 1, Options{Journal: true})
			if !keep {
				if err := os.Remove(filepath.Join(dir, manifestName)); err != nil {
					t.Fatal(err)
				}
			}
			s := set{dir: dir, files: edition(4)} // 2 and 4 have files that 1 has not, and the other way round
			s.names = sortedNames(s.files)
			if keep {
				if err := s.survey(Options{}); err != nil {
					t.Fatal(err)
				}
			}
			next := filepath.Join(dir, nextName)
			if err := os.Mkdir(next, 0o700); err != nil {
				t.Fatal(err)
			}
			if err := s.fill(context.Background(), next); err != nil {
				t.Fatal(err)
			}
			if err := create(filepath.Join(next, listName(keep)), s.manifest(), 0); err != nil {
				t.Fatal(err)
			}
			steps := s.moves(slices.Concat(s.names, s.stale), s.names, keep)
			if more = cut < len(steps); more {
				steps = steps[:cut]
			}
			if err := s.move(steps); err != nil {
				t.Fatal(err)
			}
			unmixed(t, dir)
			again := set{dir: dir}
			if err := again.recoverJournal(); err != nil {
				t.Fatal(err)
			}
			got := tree(t, dir)
			_, kept := got[manifestName]
			if kept != keep {
				t.Errorf("cut after %d moves: a manifest %v, want %v", cut, kept, keep)
			}
			for name, text := range edition(4) {
				if got[name] != string(text) {
					t.Errorf("cut after %d moves: %s is %q, want %q", cut, name, got[name], text)
				}
			}
			if _, err := os.Lstat(next); err == nil {
				t.Errorf("cut after %d moves: a journal is left over", cut)
			}
			if t.Failed() {
				return
			}
		}
	}
}

// killOnce starts a process that writes, and kills it a while after it has begun.
func killOnce(t *testing.T, dir, how string, after time.Duration) {
	t.Helper()
	c := exec.Command(os.Args[0])
	c.Env = append(os.Environ(), "FILESET_WRITE="+dir, "FILESET_HOW="+how)
	var said bytes.Buffer
	c.Stderr = &said
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	before := last(t, dir)
	for deadline := time.Now().Add(20 * time.Second); time.Now().Before(deadline); time.Sleep(time.Millisecond) {
		if data, err := os.ReadFile(filepath.Join(dir, "plan.json")); err == nil && !strings.Contains(string(data),
			fmt.Sprintf(" %d\n", before)) {
			break
		}
	}
	time.Sleep(after)
	_ = c.Process.Kill()
	_ = c.Wait()
	if said.Len() > 0 {
		t.Fatal(said.String())
	}
}

func TestCheck(t *testing.T) {
	dir := t.TempDir()
	at := filepath.Join(dir, "plan.json")
	if err := Check(at, nil); err != nil {
		t.Errorf("without a manifest: %v", err)
	}
	write(t, dir, 1, Options{})
	if err := Check(at, edition(1)["plan.json"]); err != nil {
		t.Error(err)
	}
	if err := Check(at, edition(2)["plan.json"]); err == nil {
		t.Error("another run's plan passes")
	}
	if err := Check(filepath.Join(dir, "other.json"), nil); err != nil {
		t.Errorf("not listed: %v", err)
	}
}

func TestTarget(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("links and pipes of Unix")
	}
	dir := t.TempDir()
	file, link, dangling := filepath.Join(dir, "real.svg"), filepath.Join(dir, "link.svg"), filepath.Join(dir, "dangling.svg")
	put(t, file, "old")
	if err := errors.Join(os.Chmod(file, 0o640), os.Symlink("real.svg", link), os.Symlink("sub/new.svg", dangling)); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(dir, ".real.svg.12.part"), "left by a dead run")
	for _, name := range []string{link, dangling} {
		target, err := FileTarget(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := target.Write([]byte("new")); err != nil {
			t.Fatal(err)
		}
		if info, err := os.Lstat(name); err != nil || info.Mode()&fs.ModeSymlink == 0 {
			t.Errorf("%s is no link any more", name)
		}
	}
	got := tree(t, dir)
	if len(got) != 4 || got["real.svg"] != "new" || got["sub/new.svg"] != "new" {
		t.Errorf("%q", got)
	}
	if info, err := os.Stat(file); err != nil || info.Mode().Perm() != 0o640 {
		t.Errorf("mode %v", info.Mode())
	}
	if _, err := FileTarget(dir); !errors.As(err, new(Refused)) {
		t.Errorf("a folder: %v", err)
	}
	full, err := FileTarget("/dev/full")
	if err != nil {
		t.Fatal(err)
	}
	if err := full.Write([]byte("x")); err == nil || !full.Direct() {
		t.Errorf("a full device takes it: %v", err)
	}
}
