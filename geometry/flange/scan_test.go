package flange_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// scannedPlate is a plate with facets of a millimetre and noise of 0.03, without facets that are left out.
func scannedPlate(seed uint64, x1, y0, y1, z float64, out func(x, y float64) bool) *mesh.Mesh {
	rng := rand.New(rand.NewPCG(seed, 2))
	m := &mesh.Mesh{}
	nx, ny := int32(x1), int32(y1-y0)
	for i := range nx + 1 {
		for j := range ny + 1 {
			m.Vertices = append(m.Vertices, r3.Vector{X: float64(i), Y: y0 + float64(j), Z: z + 0.03*rng.NormFloat64()})
		}
	}
	for i := range nx {
		for j := range ny {
			if a := i*(ny+1) + j; !out(float64(i)+0.5, y0+float64(j)+0.5) {
				m.Triangles = append(m.Triangles, [3]int32{a, a + ny + 1, a + ny + 2}, [3]int32{a, a + ny + 2, a + 1})
			}
		}
	}
	return m
}

// Of a scanned flange with specks and holes of the scan what the part has is reported, a hole of 8 mm, and what was done is said;
// its least and greatest width and gap are no spikes.
func TestScanIsCleaned(t *testing.T) {
	hole := func(x, y, cx, cy, r float64) bool { return math.Hypot(x-cx, y-cy) < r }
	upper := scannedPlate(1, 90, -8, 16, 0.5, func(x, y float64) bool {
		return hole(x, y, 30, 8, 4) || hole(x, y, 55.5, 5.5, 0.1) || hole(x, y, 70, 11, 1.1)
	})
	lower := scannedPlate(2, 90, 0, 26, -0.5, func(x, y float64) bool { return hole(x, y, 62.5, 9.5, 0.1) })
	v := int32(len(upper.Vertices))
	upper.Vertices = append(upper.Vertices, []r3.Vector{{X: 40, Y: 20, Z: 0.5}, {X: 43, Y: 20, Z: 0.5}, {X: 40, Y: 23, Z: 0.5}}...) // a speck
	upper.Triangles = append(upper.Triangles, [3]int32{v, v + 1, v + 2})
	sheets := []flange.Sheet{{Name: "upper", Mesh: upper, Thickness: 1}, {Name: "lower", Mesh: lower, Thickness: 1}}
	found, err := flange.Find(context.Background(), sheets, flange.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(found.Flanges) != 1 || len(found.Small) != 0 {
		t.Fatalf("%d flanges, %d small ones", len(found.Flanges), len(found.Small))
	}
	f := found.Flanges[0]
	if !(math.Abs(f.Length-90) <= 0.9) || !(math.Abs(f.Width.Mean-16) <= 0.3) || f.Width.Least < 15.7 || f.Width.Greatest > 16.3 ||
		f.Gap.Least < -0.05 || f.Gap.Greatest > 0.05 {
		t.Errorf("%.2f long, width %+v, gap %+v", f.Length, f.Width, f.Gap)
	}
	if len(f.Holes) != 1 || !(math.Abs(f.Holes[0].Radius-4.5) <= 0.3) {
		t.Errorf("holes %+v", f.Holes)
	}
	if len(found.Scans) != 2 || found.Scans[0].Sheet != 0 || found.Scans[0].Holes != 2 || found.Scans[0].Specks != 1 ||
		found.Scans[1].Holes != 1 || found.Scans[1].Specks != 0 || !(found.Scans[1].Most > 0.02) {
		t.Errorf("scans %+v", found.Scans)
	}
	found, err = flange.Find(context.Background(), sheets, flange.Options{ScanHole: -1, ScanSpeck: -1})
	if err != nil {
		t.Fatal(err)
	}
	if len(found.Flanges) != 1 || len(found.Flanges[0].Holes) < 3 || found.Scans[0].Specks+found.Scans[0].Holes != 0 {
		t.Errorf("without limits: %d flanges, holes %+v", len(found.Flanges), found.Flanges[0].Holes)
	}
}

// A scan that is looked at by itself is faired, too, and said to be: noise would leave none of its faces whole. An opening of a facet is
// one of the scan, one of 4.2 mm the part's unless the limit says otherwise.
func TestCandidatesOfScan(t *testing.T) {
	m := scannedPlate(3, 90, 0, 16, 0, func(x, y float64) bool { return math.Hypot(x-60.5, y-6.5) < 0.1 || math.Hypot(x-40.5, y-8.5) < 2 })
	for i := range m.Vertices {
		m.Vertices[i].Z *= 4 // noise of 0.12 mm
	}
	for _, c := range []struct {
		limit        float64
		holes, scans int
	}{{0, 1, 1}, {5, 0, 2}} {
		found, err := flange.Candidates(flange.Sheet{Mesh: m, Thickness: 1}, flange.Options{ScanHole: c.limit})
		if err != nil || len(found.Flanges) != 1 || len(found.Scans) != 1 {
			t.Fatalf("%v: %d candidates, %d scans", err, len(found.Flanges), len(found.Scans))
		}
		f := found.Flanges[0]
		if !(math.Abs(f.Length-90) <= 0.9) || !(math.Abs(f.Width.Mean-16) <= 0.3) || f.Width.Least < 15.5 || len(f.Holes) != c.holes {
			t.Errorf("%.2f long, width %+v, holes %+v", f.Length, f.Width, f.Holes)
		}
		if s := found.Scans[0]; s.Sheet != 0 || s.Holes != c.scans || s.Most < 0.1 {
			t.Errorf("%+v", s)
		}
	}
}
