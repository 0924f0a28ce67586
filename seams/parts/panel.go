package parts

import (
	"fmt"
	"math"

	"seamwright/geometry/blank"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/solid"
	"seamwright/seams/shell"
	"seamwright/seams/steel"
)

// thicknessDoubt is by how much, as a share, the thickness of a solid mesh may differ from the steel's before a
// note says so. Common practice, no source: pressing thins sheet by a fifth at most where it is sound.
const thicknessDoubt = 0.2

// readMesh reads the panel's STL file and puts it in its place.
func (p *Part) readMesh(sh *shell.Shell) error {
	path, opt := sh.Path(p.Panel.Mesh), mesh.Options{Unit: sh.UnitOf(p.Panel.Unit), Name: p.Panel.ID}
	read := func() (*mesh.Mesh, []string, error) { return mesh.ReadFile(path, opt) }
	if data, sum, ok := sh.Held(p.Panel.Mesh); ok {
		read = func() (*mesh.Mesh, []string, error) { return mesh.ReadHeld(data, sum, path, opt) }
	}
	m, notes, err := read()
	if err != nil {
		return err
	}
	if err := sh.Took(p.Panel.Mesh, m.Source); err != nil {
		return err
	}
	p.Notes = append(p.Notes, notes...)
	p.Sheet.Mesh = m.Placed(p.Panel.Place.Placement())
	return nil
}

// weigh finds the area of one side of the sheet, its mass and its blank.
func (p *Part) weigh() {
	p.Area = p.Sheet.Mesh.Area()
	if p.Sheet.Surface == flange.Solid {
		p.Area = p.solidSide()
	}
	if p.Mass = p.Panel.Mass; p.Mass == 0 {
		const cubicMetres = 1e-9 // in a mm³
		p.Mass = p.Area * p.Steel.Thickness * cubicMetres * steel.Density
	}
	skins := 1
	if p.Sheet.Surface == flange.Solid {
		skins = 2
	}
	p.Blank = blank.Of(p.Sheet.Mesh, skins)
}

// solidSide is the area of one side of a sheet that is meshed all round. Volume over thickness counts neither the
// cut edges nor the difference between the inside and the outside of a bend; half the surface stands in where
// the mesh is not closed or its thickness is another.
func (p *Part) solidSide() float64 {
	m := p.Sheet.Mesh
	half := m.Area() / 2
	if !p.Shape.Closed() {
		p.Notes = append(p.Notes, "the mesh is called solid, but is not closed: half its surface counts as one side; surface may be mid or skin")
		return half
	}
	volume := math.Abs(signedVolume(m))
	measured, ok := solid.Thickness(p.Shape) // as a finding on it measures, so that both say the same
	if !ok {
		measured = volume / half
	}
	if math.Abs(measured-p.Steel.Thickness) > thicknessDoubt*p.Steel.Thickness {
		p.Notes = append(p.Notes, fmt.Sprintf("the solid mesh is about %.2f mm thick, the steel %g mm: check thickness, unit and surface",
			measured, p.Steel.Thickness))
		return half
	}
	return volume / p.Steel.Thickness
}

// signedVolume is the volume within a closed mesh, below zero when it is inside out. It is taken about the middle
// of the mesh's box, since a panel far from the origin would lose digits.
func signedVolume(m *mesh.Mesh) float64 {
	middle := m.Box().Center()
	sum := 0.0
	for t := range m.Triangles {
		a, b, c := m.Corners(t)
		sum += a.Sub(middle).Dot(b.Sub(middle).Cross(c.Sub(middle)))
	}
	return sum / 6
}
