// Package wide makes small shells of everything: twenty-eight, each drawn at random from a seed of its own, and always the same. Between
// them they take as many ways through the program as they can: sections with bends, curves, rings, hems, three sheets, solids,
// skins and scans; jigs full of clamps; guns that do not reach; loads, rules and waivers; estimates of all kinds. Its tests hold what
// comes of them, by plain figures and by sums, so that a number that is a little wrong is noticed wherever it stands.
//
//	for _, s := range wide.Shells() {
//		err := s.Write(filepath.Join(dir, s.Name)) // the shell file, and what it names
//	}
//
// Lengths are millimetres. None of it is a real works'.
package wide

import (
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"

	"github.com/golang/geo/r3"
	"github.com/pelletier/go-toml/v2"
	"go.yaml.in/yaml/v3"
)

// Shell is one of them.
type Shell struct {
	Name  string
	File  string            // the shell file's name: YAML, TOML or JSON
	Tree  map[string]any    // of the shell file
	Files map[string][]byte // named in it
}

// Write writes the shell into a folder, and makes that where it is missing.
func (s Shell) Write(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	var text []byte
	var err error
	switch filepath.Ext(s.File) {
	case ".yaml":
		text, err = yaml.Marshal(s.Tree)
	case ".toml":
		text, err = toml.Marshal(s.Tree)
	default:
		text, err = json.MarshalIndent(s.Tree, "", " ")
	}
	if err != nil {
		return err
	}
	for name, data := range s.Files {
		if err := os.WriteFile(filepath.Join(dir, name), data, 0o600); err != nil {
			return err
		}
	}
	return os.WriteFile(filepath.Join(dir, s.File), text, 0o600)
}

// bays are the kinds of groups of panels that shells are made of.
func bays() []func(*maker) bay {
	return []func(*maker) bay{lap, angles, gutter, hat, three, ring, hem, patch, broad, blank, drawn, twins, tee, doubler, sprung,
		hard, scanned, boxed, sharp}
}

const (
	shells = 28
	most   = 4 // bays of a shell
)

// Shells makes all of them. Each bay comes in turn; everything else is drawn.
func Shells() []Shell {
	var out []Shell
	kinds := bays()
	next := 0
	for i := range shells {
		rng := rand.New(rand.NewPCG(7, uint64(i)))
		m := &maker{rng: rng, files: map[string][]byte{}, number: i}
		n := 2 + rng.IntN(most-1)
		var group []bay
		for range n {
			m.prefix = string(rune('a' + len(group)))
			m.settle(len(group))
			group = append(group, kinds[next%len(kinds)](m))
			next++
		}
		if i%3 == 0 { // the order decides numbers and letters
			rng.Shuffle(len(group), func(a, b int) { group[a], group[b] = group[b], group[a] })
		}
		tree := m.tree(group)
		file := []string{"shell.json", "shell.yaml", "shell.toml"}[i%3]
		out = append(out, Shell{Name: fmt.Sprintf("%02d", i), File: file, Tree: tree, Files: m.files})
	}
	return out
}

// maker makes one shell.
type maker struct {
	rng    *rand.Rand
	files  map[string][]byte
	number int
	prefix string    // of the ids in the bay at work
	moved  r3.Vector // of it
	turned [3]r3.Vector
	steels []table
}

type table = map[string]any

// bay is a group of panels that are welded to each other alone.
type bay struct {
	panels []table
	joints []table
	spots  []r3.Vector // on its weld lines, in the shell's frame
	ends   []r3.Vector // of the panels, likewise: where gauges go
	late   int         // the last so many panels may come at a later station
}

func (m *maker) chance(p float64) bool { return m.rng.Float64() < p }

func (m *maker) between(a, b float64) float64 { return a + (b-a)*m.rng.Float64() }

// tenths is a length between two, to a tenth of a millimetre.
func (m *maker) tenths(a, b float64) float64 { return math.Round(10*m.between(a, b)) / 10 }

func pick[T any](m *maker, of ...T) T { return of[m.rng.IntN(len(of))] }

// settle says where the next bay stands, and how it is turned: as it is, square, or any way.
func (m *maker) settle(n int) {
	m.moved = r3.Vector{X: float64(n%2) * m.tenths(620, 900), Y: float64(n/2) * m.tenths(500, 800), Z: m.tenths(-40, 300)}
	x, y, z := r3.Vector{X: 1}, r3.Vector{Y: 1}, r3.Vector{Z: 1}
	switch m.rng.IntN(4) {
	case 1:
		x, y = y, x.Mul(-1)
	case 2:
		y, z = z, y.Mul(-1)
	case 3:
		x = r3.Vector{X: m.rng.NormFloat64(), Y: m.rng.NormFloat64(), Z: m.rng.NormFloat64()}.Normalize()
		y = x.Ortho()
		z = x.Cross(y)
	}
	m.turned = [3]r3.Vector{x, y, z}
}

// placed is a place of the bay in the shell's frame.
func (m *maker) placed(p r3.Vector) r3.Vector {
	return m.moved.Add(m.turned[0].Mul(p.X)).Add(m.turned[1].Mul(p.Y)).Add(m.turned[2].Mul(p.Z))
}

func xyz(p r3.Vector) []float64 {
	round := func(v float64) float64 { return math.Round(v*100) / 100 }
	return []float64{round(p.X), round(p.Y), round(p.Z)}
}

// steel is the id of a steel of a thickness.
func (m *maker) steel(thickness float64) string {
	grade, coating := pick(m, "DC04", "DC01", "DX54D+Z", "DC05"), ""
	if grade == "DX54D+Z" {
		coating = pick(m, "Z100", "Z140", "Z275")
	}
	if m.chance(.06) {
		grade = "XQ9"
	}
	for _, s := range m.steels {
		if s["thickness_mm"] == thickness && s["grade"] == grade {
			return s["id"].(string)
		}
	}
	s := table{"id": fmt.Sprintf("s%d", len(m.steels)+1), "grade": grade, "thickness_mm": thickness}
	if coating != "" {
		s["coating"] = coating
	}
	if grade == "XQ9" || m.chance(.2) {
		s["tensile_mpa"], s["yield_mpa"] = float64(m.rng.IntN(300)+270), float64(m.rng.IntN(120)+140)
	}
	m.steels = append(m.steels, s)
	return s["id"].(string)
}

func (m *maker) thickness() float64 {
	return pick(m, .7, .8, .8, .9, 1, 1, 1.2, 1.5, 2, pick(m, .5, 2.5, 3, 4))
}

// panel adds a mesh panel to the bay.
func (m *maker) panel(b *bay, name string, thickness float64, s skin) string {
	id := m.prefix + "-" + name
	m.files[id+".stl"] = s.stl(m)
	p := table{"id": id, "mesh": id + ".stl", "steel": m.steel(thickness)}
	if s.surface != "" {
		p["surface"] = s.surface
	}
	if m.chance(.15) {
		p["name"] = "the " + name + " of bay " + m.prefix
	}
	if m.chance(.1) {
		p["mass_kg"] = m.tenths(.4, 19)
	}
	b.panels = append(b.panels, p)
	return id
}

// joint adds a joint of panels, which passes some places of the bay in its own frame.
func (m *maker) joint(b *bay, panels []string, places ...r3.Vector) table {
	j := table{"id": fmt.Sprintf("%s%d", m.prefix, len(b.joints)+1), "panels": slices.Clone(panels)}
	for _, p := range places {
		b.spots = append(b.spots, m.placed(p))
	}
	if len(b.joints) > 0 || m.chance(.1) {
		j["near_mm"] = append(xyz(m.placed(places[0])), m.tenths(6, 12))
	}
	b.joints = append(b.joints, j)
	return j
}
