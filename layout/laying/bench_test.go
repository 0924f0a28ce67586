package laying

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"seamwright/internal/plates"
)

// The rows for a load, by the length of the lap: a load of so many welds' worth as two rows and a half hold.
func BenchmarkRowsForALoad(b *testing.B) {
	dir := b.TempDir()
	for _, name := range []string{"a.stl", "b.stl"} {
		if err := os.WriteFile(filepath.Join(dir, name), plates.STL(plates.Flat(0, 0, 1, 1, 0)), 0o600); err != nil {
			b.Fatal(err)
		}
	}
	for _, length := range []float64{100, 200, 400, 800, 1600} {
		c := loadedLap{1, 1, 270, length, 50, 0}
		c.shear = c.carries(1000, 1000) * 2.5 * length / 15
		b.Run(fmt.Sprintf("length=%g", length), func(b *testing.B) {
			b.ReportAllocs()
			welds := 0
			for b.Loop() {
				got, _, _ := c.laid(b, dir)
				welds = len(got.laid.Welds)
			}
			b.ReportMetric(float64(welds), "welds")
		})
	}
}
