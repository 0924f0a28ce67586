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
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"time"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/space"
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
	s, _, err := mesh.ReadSoupFile(path, mesh.Options{Unit: space.Millimetre, Workers: workers})
	if err != nil {
		return err
	}
	took := time.Since(start).Seconds()
	_, err = fmt.Fprintf(out, "%s %d %d %.6f %.0f\n", name, workers, s.Len(), took, peak())
	return err
}

func match(out io.Writer, name string, workers int, paths []string) error {
	start := time.Now()
	panels := make([]*mesh.Soup, len(paths))
	for i, file := range mesh.ReadSoupFiles(paths, mesh.Options{Unit: space.Millimetre, Workers: workers}) {
		if file.Err != nil {
			return file.Err
		}
		panels[i] = file.Soup
	}
	readAt := time.Now()
	built, err := near.NewMatcher(panels, near.MatchOptions{Within: within, MinCos: minCos, Workers: workers})
	if err != nil {
		return err
	}
	builtAt := time.Now()
	pairs, kept, area := 0, 0, 0.0
	for _, p := range built.Pairs() {
		own := 0.0
		for _, m := range p.Matched {
			own += areaOf(panels[p.A].Triangle(int(m.A)))
		}
		kept += len(p.Matched)
		area += own
		if own > shared {
			pairs++
		}
	}
	end := time.Now()
	_, err = fmt.Fprintf(out, "%s %d %d %d %.0f %.5f %.5f %.5f %.5f %.0f\n", name, workers, pairs, kept, area,
		readAt.Sub(start).Seconds(), builtAt.Sub(readAt).Seconds(), end.Sub(builtAt).Seconds(), end.Sub(start).Seconds(), peak())
	return err
}

// areaOf is a triangle's area.
func areaOf(t [9]float32) float64 {
	side := func(k int) (x, y, z float64) {
		return float64(t[k]) - float64(t[0]), float64(t[k+1]) - float64(t[1]), float64(t[k+2]) - float64(t[2])
	}
	a, b, c := side(3)
	d, e, f := side(6)
	return math.Sqrt((b*f-c*e)*(b*f-c*e)+(c*d-a*f)*(c*d-a*f)+(a*e-b*d)*(a*e-b*d)) / 2
}
