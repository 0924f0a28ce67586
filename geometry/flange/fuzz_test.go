package flange_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// soup is hostile triangles: anywhere, all in one plane, all in one place, slivers, one huge among small ones, a torn
// strip with shared corners, or numbers from both ends of what can be written.
func soup(kind int, size float64, rng *rand.Rand) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range rng.Int32N(14) {
		scale := size
		if kind == 4 && i == 0 {
			scale *= 1e3
		}
		for range 3 {
			v := vec(scale*rng.Float64(), scale*rng.Float64(), scale*rng.Float64())
			switch kind {
			case 1:
				v.Z = 0
			case 2:
				v = vec(size*float64(rng.IntN(2)), size*float64(rng.IntN(2)), 0)
			case 3:
				v.Y, v.Z = v.Y*1e-6, 0
			case 5:
				v = vec(float64(rng.IntN(8))*size/8, float64(rng.IntN(3))*size/12, rng.Float64()*1e-3*size)
			case 6:
				v = v.Mul([]float64{1e-30, 1e-3, 1, 1e30}[rng.IntN(4)])
			}
			m.Vertices = append(m.Vertices, v)
		}
		m.Triangles = append(m.Triangles, [3]int32{3 * i, 3*i + 1, 3*i + 2})
		if kind == 5 && rng.IntN(2) == 0 {
			m.Triangles[i][0] = rng.Int32N(3*i + 3)
		}
	}
	return m
}

// FuzzFind throws hostile triangles at the finder: it must end, must not panic, and every measure must be a number.
func FuzzFind(f *testing.F) {
	for kind := range uint64(7) {
		f.Add(kind, 22.0)
		f.Add(kind+7, 12.0)
	}
	f.Add(uint64(2), 1e30)
	f.Add(uint64(3), 1e-30)
	f.Add(uint64(4), 0.0)
	f.Fuzz(func(t *testing.T, seed uint64, size float64) {
		rng := rand.New(rand.NewPCG(seed, 1))
		const most = 24 // mm
		if size = math.Abs(size); size > most && size < 1e20 {
			size = math.Mod(size, most) // more contact takes its time, and ends: TestSheetsOfNoSizeAreRefused
		}
		var sheets []flange.Sheet
		for range 2 + rng.IntN(2) {
			s := flange.Sheet{Mesh: soup(int(seed%7), size, rng), Thickness: float64(rng.IntN(3))}
			s.Surface = []flange.Surface{flange.Mid, flange.Skin, flange.Solid}[rng.IntN(3)]
			sheets = append(sheets, s)
		}
		found, err := flange.Find(context.Background(), sheets, flange.Options{Workers: 1})
		if err != nil {
			return
		}
		for _, fl := range found.Flanges {
			for _, x := range []float64{fl.Length, fl.Area, fl.Width.Least, fl.Width.Mean, fl.Width.Greatest, fl.Line[0].Point.Norm(),
				fl.Line[0].Along.Norm()} {
				if math.IsNaN(x) || math.IsInf(x, 0) || x < -1e-6 {
					t.Fatalf("%v, length %g, area %g, width %+v, %+v", fl.Sheets, fl.Length, fl.Area, fl.Width, fl.Line[0])
				}
			}
			fl.TooNarrow(flange.Need{FreeEdge: 5})
			fl.Rows(10, keeping(3))
			_, _ = fl.LineFromEdge(fl.Sheets[0], 3)
		}
	})
}
