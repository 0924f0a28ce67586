// Command killplan kills seamwright plan at random moments of writing, again and again, and looks at what is left:
//
//	go build -o seamwright ./cmd/seamwright
//	go run ./internal/killplan -times 300 ./seamwright
//
// Two revisions of a small shell are planned into one folder in turn. After each kill the folder must hold all files of one
// revision and nothing else but what somebody put there; after a last whole run nothing may be left over beside it.
package main

import (
	"flag"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"time"
)

const shellFile = `name: Lap
steels:
  - {id: sheet, grade: DC04, thickness_mm: 1}
panels:
  - {id: a, mesh: a.stl, unit: mm}
  - {id: b, mesh: b.stl, unit: mm}
`

func main() {
	times := flag.Int("times", 300, "kills")
	seed := flag.Uint64("seed", 1, "of the moments")
	flag.Parse()
	if flag.NArg() != 1 {
		fmt.Fprintln(os.Stderr, "usage: killplan [-times N] [-seed N] SEAMWRIGHT")
		os.Exit(2)
	}
	if err := kill(flag.Arg(0), *times, *seed); err != nil {
		fmt.Fprintln(os.Stderr, "killplan:", err)
		os.Exit(1)
	}
}

// trial is a folder with a shell that is planned into plan.
type trial struct {
	program, dir string
	whole        [2]map[string]string // what each revision's whole plan holds
	writing      time.Duration        // of a whole run, from its lock to its end
}

func kill(program string, times int, seed uint64) error {
	program, err := filepath.Abs(program)
	if err != nil {
		return err
	}
	dir, err := os.MkdirTemp("", "killplan")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(dir) }() // a temporary folder
	t := &trial{program: program, dir: dir}
	if err := t.prepare(); err != nil {
		return err
	}
	random := rand.New(rand.NewPCG(seed, seed))
	counts := map[string]int{}
	for n := range times {
		state, err := t.once(n%2, time.Duration(random.Float64()*1.2*float64(t.writing)))
		if err != nil {
			return fmt.Errorf("kill %d: %w", n+1, err)
		}
		counts[state]++
	}
	if out, err := t.plan(0).CombinedOutput(); err != nil {
		return fmt.Errorf("the last run: %w\n%s", err, out)
	}
	entries, err := os.ReadDir(dir)
	if err != nil {
		return err
	}
	if len(entries) != 4 { // two panels, the shell file, plan
		return fmt.Errorf("left over beside the plan: %v", entries)
	}
	if state, err := t.state(); err != nil || state != 0 {
		return fmt.Errorf("after the last run: revision %d, %w", state, err)
	}
	fmt.Printf("%d kills: %d before the exchange, %d after it, %d runs had ended; none mixed, none lost, nothing left over\n", times,
		counts["before"], counts["after"], counts["ended"])
	return nil
}

func (t *trial) prepare() error {
	for name, text := range map[string]string{"shell.yaml": shellFile, "a.stl": plate(0, 0), "b.stl": plate(40, 1)} {
		if err := os.WriteFile(filepath.Join(t.dir, name), []byte(text), 0o644); err != nil {
			return err
		}
	}
	for revision := range t.whole {
		if out, err := t.plan(revision).CombinedOutput(); err != nil {
			return fmt.Errorf("plan: %w\n%s", err, out)
		}
		files, err := tree(filepath.Join(t.dir, "plan"))
		if err != nil {
			return err
		}
		t.whole[revision] = files
	}
	if err := os.WriteFile(filepath.Join(t.dir, "plan", "remarks.txt"), []byte("not the program's"), 0o644); err != nil {
		return err
	}
	c := t.plan(0)
	if err := c.Start(); err != nil {
		return err
	}
	ended := make(chan struct{})
	go func() { _ = c.Wait(); close(ended) }()
	t.waitForWriting(ended)
	begun := time.Now()
	<-ended
	t.writing = time.Since(begun)
	return nil
}

func (t *trial) plan(revision int) *exec.Cmd {
	return exec.Command(t.program, "plan", filepath.Join(t.dir, "shell.yaml"), "--quiet", "--set", fmt.Sprintf("revision=%c", 'A'+revision))
}

// once plans a revision and kills the run a while after it begins to write.
func (t *trial) once(revision int, after time.Duration) (string, error) {
	before, err := t.state()
	if err != nil {
		return "", err
	}
	c := t.plan(revision)
	if err := c.Start(); err != nil {
		return "", err
	}
	ended := make(chan struct{})
	go func() { _ = c.Wait(); close(ended) }()
	t.waitForWriting(ended)
	select {
	case <-ended:
	case <-time.After(after):
	}
	_ = c.Process.Kill()
	<-ended
	_ = os.Remove(filepath.Join(t.dir, "plan", ".lock")) // nobody holds it
	now, err := t.state()
	switch {
	case err != nil:
		return "", err
	case c.ProcessState.Exited():
		return "ended", nil
	case now == before:
		return "before", nil
	}
	return "after", nil
}

// waitForWriting waits until the run holds the folder's lock, or has ended.
func (t *trial) waitForWriting(ended chan struct{}) {
	for {
		select {
		case <-ended:
			return
		default:
		}
		if _, err := os.Lstat(filepath.Join(t.dir, "plan", ".lock")); err == nil {
			return
		}
		time.Sleep(100 * time.Microsecond)
	}
}

// state is the revision that the folder holds.
func (t *trial) state() (int, error) {
	files, err := tree(filepath.Join(t.dir, "plan"))
	if err != nil {
		return 0, err
	}
	if files["remarks.txt"] != "not the program's" {
		return 0, fmt.Errorf("what was not the program's is lost")
	}
	delete(files, "remarks.txt")
	delete(files, ".lock")
	for revision, whole := range t.whole {
		if same(files, whole) {
			return revision, nil
		}
	}
	var differ []string
	for name, text := range files {
		if text != t.whole[0][name] && text != t.whole[1][name] {
			differ = append(differ, name)
		}
	}
	return 0, fmt.Errorf("the folder is of no one revision: %d files, of neither: %s", len(files), strings.Join(differ, " "))
}

func same(a, b map[string]string) bool {
	if len(a) != len(b) {
		return false
	}
	for name, text := range a {
		if other, ok := b[name]; !ok || other != text {
			return false
		}
	}
	return true
}

func tree(dir string) (map[string]string, error) {
	files := map[string]string{}
	err := filepath.WalkDir(dir, func(at string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := os.ReadFile(at)
		if err == nil {
			files[strings.TrimPrefix(filepath.ToSlash(strings.TrimPrefix(at, dir)), "/")] = string(data)
		}
		return err
	})
	return files, err
}

// plate is a plate of 400 by 60 mm as STL.
func plate(y, z float64) string {
	return fmt.Sprintf(`solid p
facet normal 0 0 1
outer loop
vertex 0 %[1]g %[3]g
vertex 400 %[1]g %[3]g
vertex 400 %[2]g %[3]g
endloop
endfacet
facet normal 0 0 1
outer loop
vertex 0 %[1]g %[3]g
vertex 400 %[2]g %[3]g
vertex 0 %[2]g %[3]g
endloop
endfacet
endsolid p
`, y, y+60, z)
}
