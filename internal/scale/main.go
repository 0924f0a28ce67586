// Command scale writes a shell of any size, to time the program with: trays with a flange turned out on all four sides stand round
// an axis, in bands along it, and neighbours meet flange on flange.
//
//	go run ./internal/scale -around 10 -bands 6 -triangles 50000 -welds 5000 -o folder
//	internal/scale/measure.sh folder/shell.yaml before after
package main

import (
	"errors"
	"flag"
	"fmt"
	"math"
	"os"
	"path/filepath"
)

// Measures of the trays in mm.
const (
	edge    = 1100.0 // of a tray
	sheet   = 1.0    // thickness
	air     = 0.1    // between two flanges
	radius  = 3.0    // of the bend, at mid-surface
	crown   = 12.0
	flange  = 17.0 // beyond the bend, along the axis
	hoop    = 30.0 // beyond the bend, between bands
	rows    = 9    // of squares over bend and flange
	bendRow = 4    // of them in the bend
)

// hull is a shell to be written.
type hull struct {
	around, bands, triangles, welds int

	side   int     // squares along a tray's side
	out    float64 // from the axis to the trays
	x, y   rim
	folder string
}

// rim is how a tray's side is bent: from where, and by how much.
type rim struct{ from, angle, length float64 }

func newRim(half, angle, length float64) rim {
	d := (sheet + air) / 2
	return rim{half - radius*math.Sin(angle) - (d-radius*(1-math.Cos(angle))*math.Cos(angle))/math.Sin(angle), angle, length}
}

// at is the place of a row of the rim: outward and up.
func (r rim) at(row int) (x, z float64) {
	if row <= bendRow {
		turn := r.angle * float64(row) / bendRow
		return r.from + radius*math.Sin(turn), radius * (1 - math.Cos(turn))
	}
	s := r.length * float64(row-bendRow) / (rows - bendRow)
	sin, cos := math.Sincos(r.angle)
	return r.from + radius*sin + s*cos, radius*(1-cos) + s*sin
}

func main() {
	var h hull
	flag.IntVar(&h.around, "around", 10, "trays round the axis, at least 3")
	flag.IntVar(&h.bands, "bands", 6, "bands of trays along it, at least 2")
	flag.IntVar(&h.triangles, "triangles", 50000, "of a tray, about")
	flag.IntVar(&h.welds, "welds", 5000, "of the shell, about")
	flag.StringVar(&h.folder, "o", ".", "folder to write to")
	flag.Parse()
	if err := h.write(); err != nil {
		fmt.Fprintln(os.Stderr, "scale:", err)
		os.Exit(1)
	}
}

func (h *hull) write() error {
	if h.around < 3 || h.bands < 2 || h.triangles < 500 || h.welds < 1 {
		return errors.New("at least 3 trays around, 2 bands, 500 triangles and a weld are needed")
	}
	h.side = int(math.Round((-4*rows + math.Sqrt(16*rows*rows+8*float64(h.triangles))) / 4))
	h.out = edge / 2 / math.Tan(math.Pi/float64(h.around))
	h.x, h.y = newRim(edge/2, math.Pi/2-math.Pi/float64(h.around), flange), newRim(edge/2, math.Pi/2, hoop)
	if err := os.MkdirAll(filepath.Join(h.folder, "panels"), 0o755); err != nil {
		return err
	}
	for band := range h.bands {
		for i := range h.around {
			if err := os.WriteFile(filepath.Join(h.folder, "panels", tray(i, band)+".stl"), h.mesh(i, band), 0o644); err != nil {
				return err
			}
		}
	}
	return os.WriteFile(filepath.Join(h.folder, "shell.yaml"), h.shell(), 0o644)
}

func tray(i, band int) string { return fmt.Sprintf("p%02d-%02d", i, band) }
