package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"time"

	"golang.org/x/sync/errgroup"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
	"seamwright/internal/work"
)

// wholeShell reads panels of one thickness in mm, whose meshes are their mid-surfaces, and finds their flanges with
// everything that belongs to them.
func wholeShell(out io.Writer, args []string) error {
	if len(args) < 3 {
		return errors.New("write shell WORKERS THICKNESS FILE")
	}
	workers, err := strconv.Atoi(args[0])
	if err != nil || workers < 1 {
		return fmt.Errorf("%q workers: write a whole number above zero", args[0])
	}
	thickness, err := strconv.ParseFloat(args[1], 64)
	if err != nil || !(thickness >= 0) {
		return fmt.Errorf("a thickness of %q: write millimetres, 0 when it is not known", args[1])
	}
	defer work.LittleGarbage()() // as the command flanges does
	start := time.Now()
	sheets, err := readSheets(workers, thickness, args[2:])
	if err != nil {
		return err
	}
	read := time.Since(start)
	found, err := flange.Find(context.Background(), sheets, flange.Options{Workers: workers})
	if err != nil {
		return fmt.Errorf("shell: %w", err)
	}
	total, length := time.Since(start), 0.0
	for _, f := range found.Flanges {
		length += f.Length
	}
	_, err = fmt.Fprintf(
		out,
		"%d %.5f %.5f %.5f %d %.0f %.0f\n",
		workers,
		read.Seconds(),
		(total - read).Seconds(),
		total.Seconds(),
		len(found.Flanges),
		length,
		peak(),
	)
	return err
}

func readSheets(workers int, thickness float64, paths []string) ([]flange.Sheet, error) {
	sheets := make([]flange.Sheet, len(paths))
	var group errgroup.Group
	group.SetLimit(workers)
	for i, path := range paths {
		group.Go(func() error {
			m, _, err := mesh.ReadFile(path, mesh.Options{Unit: space.Millimetre, Unsummed: true})
			if err != nil {
				return err
			}
			sheets[i] = flange.Sheet{Name: m.Name, Mesh: m, Thickness: thickness}
			return nil
		})
	}
	return sheets, group.Wait()
}
