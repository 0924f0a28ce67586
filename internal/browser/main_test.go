// The local page in a real browser, as its readers use it. The program is built first, so that what is looked at is what is handed out.
package browser_test

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"seamwright/internal/browser"
	"seamwright/internal/plates"
)

var update = flag.Bool("update", false, "write the README's picture of the page anew")

// pictures is where the README's are.
const pictures = "../../testdata/pictures"

// work is a folder of the tests, where the program is built once it is needed.
var work string

func TestMain(m *testing.M) {
	flag.Parse()
	os.Exit(func() (code int) {
		var err error
		if work, err = os.MkdirTemp("", "seamwright-browser-*"); err != nil {
			fmt.Fprintln(os.Stderr, err)
			return 1
		}
		defer func() { _ = os.RemoveAll(work) }() // a temporary folder
		code = m.Run()
		if begun {
			if c, err := chromium(); err == nil {
				c.Stop()
			}
		}
		return code
	}())
}

var begun bool // whether there is a browser to stop

// chromium is one browser for all tests, each in a tab of its own.
var chromium = sync.OnceValues(func() (*browser.Chromium, error) { begun = true; return browser.Start() })

// program is the built program.
var program = sync.OnceValues(func() (string, error) {
	path := filepath.Join(work, "seamwright")
	out, err := exec.Command("go", "build", "-o", path, "seamwright/cmd/seamwright").CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("go build: %w: %s", err, out)
	}
	return path, nil
})

// command is a call of the program, with a cache of the tests' own.
func command(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	path, err := program()
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(path, args...)
	c.Env = append(os.Environ(), "XDG_CACHE_HOME="+filepath.Join(work, "cache"))
	return c
}

// call runs the program and gives what it prints.
func call(t *testing.T, args ...string) (out, said string, err error) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	c := command(t, args...)
	c.Stdout, c.Stderr = &stdout, &stderr
	err = c.Run()
	return stdout.String(), stderr.String(), err
}

// must runs the program, which is to end well.
func must(t *testing.T, args ...string) string {
	t.Helper()
	out, said, err := call(t, args...)
	if err != nil {
		t.Fatalf("seamwright %s: %v\n%s%s", strings.Join(args, " "), err, out, said)
	}
	return out
}

// page is a tab with the pages of a shell.
type page struct{ *browser.Tab }

// openPage serves the shell file and opens a tab; it skips where there is no browser, unless in CI.
func openPage(t *testing.T, file string) page {
	t.Helper()
	browser.Need(t)
	c := command(t, "serve", file)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Process.Kill(); _ = c.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	b, err := chromium()
	if err != nil {
		t.Fatal(err)
	}
	return page{b.Open(t, strings.TrimSpace(line))}
}

// lapShell is a shell file of two plates that lap by 20 mm, and what it says more.
func lapShell(t *testing.T, more string) string {
	t.Helper()
	file, err := plates.Lap(t.TempDir(), more)
	if err != nil {
		t.Fatal(err)
	}
	return file
}

// plate writes a flat rectangle as STL and returns its path.
func plate(t *testing.T, dir, name string, x0, y0, x1, y1, z float64) string {
	t.Helper()
	return put(t, dir, name, string(plates.STL(plates.Flat(x0, y0, x1, y1, z))))
}

func put(t *testing.T, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func read(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}
