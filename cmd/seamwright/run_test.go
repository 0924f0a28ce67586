package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// call runs the program and returns its exit code and what it printed.
func call(t testing.TB, args ...string) (code int, out, errOut string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	code = run(context.Background(), args, &stdout, &stderr)
	return code, stdout.String(), stderr.String()
}

// must runs the program and fails the test unless it exits with the code wanted.
func must(t testing.TB, want int, args ...string) string {
	t.Helper()
	code, out, errOut := call(t, args...)
	if code != want {
		t.Fatalf("seamwright %s: exit code %d, want %d\n%s%s", strings.Join(args, " "), code, want, out, errOut)
	}
	return out
}

// plate writes a flat rectangle as STL and returns its path.
func plate(t testing.TB, dir, name string, x0, y0, x1, y1, z float64) string {
	t.Helper()
	m := &mesh.Mesh{
		Vertices:  []r3.Vector{{X: x0, Y: y0, Z: z}, {X: x1, Y: y0, Z: z}, {X: x1, Y: y1, Z: z}, {X: x0, Y: y1, Z: z}},
		Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
	var b bytes.Buffer
	if err := mesh.WriteSTL(&b, m); err != nil {
		t.Fatal(err)
	}
	return put(t, dir, name, b.String())
}

func put(t testing.TB, dir, name, text string) string {
	t.Helper()
	path := filepath.Join(dir, name)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestStopped(t *testing.T) {
	dir := t.TempDir()
	a, b := plate(t, dir, "a.stl", 0, 0, 300, 20, 1), plate(t, dir, "b.stl", 0, 0, 300, 20, 0)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	var out, errOut bytes.Buffer
	if code := run(ctx, []string{"flanges", a, b}, &out, &errOut); code != exitFailed || errOut.String() != "seamwright: stopped\n" {
		t.Errorf("exit code %d, %q", code, errOut.String())
	}
}
