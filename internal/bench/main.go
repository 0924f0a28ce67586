// Command bench does, with the product's own geometry packages, the work that general-purpose geometry libraries are
// timed with, and prints one line of figures as they do. See DEVELOPERS.md, "Speed beside general-purpose libraries".
//
//	bench match NAME WORKERS a.stl b.stl...  name workers pairs kept area read build query total MiB
//	bench read NAME WORKERS file.stl         name workers triangles seconds MiB
//	bench make SHAPE TRIANGLES FOLDER        writes two panels that share a flange
//	bench shell WORKERS THICKNESS a.stl...   workers read find total flanges length MiB
//
// match finds, for the middle of each triangle of each panel, the closest point of every later panel within 1.5 mm
// where the cosine between the normals is at least 0.9: how many there are and their area in mm².
package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"slices"
	"strconv"
	"time"

	"seamwright/geometry/cull"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/space"
	"seamwright/geometry/stl"
	"seamwright/internal/work"
)

// What is looked for, as the libraries are asked.
const (
	within = 1.5  // mm
	minCos = 0.9  // of the angle between the sheets
	shared = 1000 // mm²: two panels with more than this in common count as a pair
)

func main() {
	if err := run(os.Args[1:], os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "bench:", err)
		os.Exit(2)
	}
}

func run(args []string, out io.Writer) error {
	if len(args) > 0 && args[0] == "shell" {
		return wholeShell(out, args[1:])
	}
	if len(args) < 4 {
		return errors.New(
			"write match NAME WORKERS FILE..., read NAME WORKERS FILE, make SHAPE TRIANGLES FOLDER, or shell WORKERS THICKNESS FILE...",
		)
	}
	if args[0] == "make" {
		return makePanels(args[1], args[2], args[3])
	}
	workers, err := strconv.Atoi(args[2])
	if err != nil || workers < 1 {
		return fmt.Errorf("%q workers: write a whole number above zero", args[2])
	}
	switch args[0] {
	case "match":
		return match(out, args[1], workers, args[3:])
	case "read":
		return read(out, args[1], workers, args[3])
	}
	return fmt.Errorf("%q: write match, read, make or shell", args[0])
}

func read(out io.Writer, name string, workers int, path string) error {
	start := time.Now()
	s, _, err := stl.ReadFile(path, stl.Options{Unit: space.Millimetre})
	if err != nil {
		return err
	}
	took := time.Since(start).Seconds()
	_, err = fmt.Fprintf(out, "%s %d %d %.6f %.0f\n", name, workers, s.Len(), took, peak())
	return err
}

// match asks as the finder does: meshes as it reads and mends them, trees over the parts of them that come near another panel,
// and of the earlier panel only the triangles that come near the later one.
func match(out io.Writer, name string, workers int, paths []string) error {
	ctx, start := context.Background(), time.Now()
	meshes := make([]*mesh.Mesh, len(paths))
	err := work.Each(ctx, workers, len(paths), func(i int) (err error) {
		meshes[i], _, err = mesh.ReadFile(paths[i], mesh.Options{Unit: space.Millimetre, Unsummed: true})
		return err
	})
	if err != nil {
		return err
	}
	readAt := time.Now()
	if meshes, err = cull.NearParts(ctx, meshes, within, workers); err != nil {
		return err
	}
	panels := make([]*near.Tree, len(meshes))
	if err := work.Each(ctx, workers, len(panels), func(i int) error { panels[i] = near.NewOn(meshes[i], 1); return nil }); err != nil {
		return err
	}
	builtAt := time.Now()
	tasks := tasksOf(panels)
	laps := make([]lap, len(tasks))
	if err := work.Each(ctx, workers, len(tasks), func(i int) error { laps[i] = tasks[i].look(panels); return nil }); err != nil {
		return err
	}
	pairs, kept, area := 0, 0, 0.0
	for from := 0; from < len(tasks); {
		to, own := from, 0.0
		for ; to < len(tasks) && tasks[to].a == tasks[from].a && tasks[to].b == tasks[from].b; to++ {
			own += laps[to].area
			kept += laps[to].kept
		}
		area += own
		if own > shared {
			pairs++
		}
		from = to
	}
	end := time.Now()
	_, err = fmt.Fprintf(out, "%s %d %d %d %.0f %.5f %.5f %.5f %.5f %.0f\n", name, workers, pairs, kept, area,
		readAt.Sub(start).Seconds(), builtAt.Sub(readAt).Seconds(), end.Sub(builtAt).Seconds(), end.Sub(start).Seconds(), peak())
	return err
}

// task is some triangles of panel a that come near panel b.
type task struct {
	a, b      int
	triangles []int32
}

// taskSize is how many triangles a task has at most, so that two panels keep several workers busy.
const taskSize = 4096

func tasksOf(panels []*near.Tree) []task {
	var out []task
	for a, p := range panels {
		for b := a + 1; b < len(panels); b++ {
			if q := panels[b]; p.Box().Grow(within).Overlaps(q.Box()) {
				for part := range slices.Chunk(p.NearTo(q, within), taskSize) {
					out = append(out, task{a, b, part})
				}
			}
		}
	}
	return out
}

// lap is what two panels have in common.
type lap struct {
	kept int
	area float64 // mm²
}

func (t *task) look(panels []*near.Tree) (out lap) {
	m, tree, hint := panels[t.a].Mesh(), panels[t.b], near.NoHint
	for _, tri := range t.triangles {
		p, q, r := m.Corners(int(tri))
		hit, ok := tree.ClosestFrom(hint, p.Add(q).Add(r).Mul(1./3), within, nil)
		if !ok {
			continue
		}
		hint = hit.Tri
		if math.Abs(m.Normal(int(tri)).Dot(tree.Mesh().Normal(int(hit.Tri)))) >= minCos {
			out.kept++
			out.area += q.Sub(p).Cross(r.Sub(p)).Norm() / 2
		}
	}
	return out
}
