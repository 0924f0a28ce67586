package sheet

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"math"
	"unicode/utf8"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/planfile"
	"seamwright/render/paper"
	"seamwright/render/sign"
	"seamwright/render/view"
)

// Hash is the SHA-256 of the plan as it is written to a file: what tells whether a map and a plan belong together.
func Hash(plan *layout.Plan) (string, error) {
	var text bytes.Buffer
	if err := planfile.Write(&text, plan); err != nil {
		return "", err
	}
	return HashOf(text.Bytes()), nil
}

// HashOf is Hash of a plan that is already written.
func HashOf(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// Bounds on names in the QR code, in bytes, so that it keeps its size: 213 bytes fit into 57 modules at level M
// (ISO/IEC 18004, from memory; a test counts the modules).
const (
	longName = 24
	longRev  = 8
)

// identify works out the plan's hash and the QR code that holds number, revision, station and hashes.
func (j *job) identify(hash string) error {
	var err error
	if hash == "" {
		if hash, err = Hash(j.plan); err != nil {
			return err
		}
	}
	j.hash = hash
	sh := j.plan.Shell
	text := fmt.Sprintf("%s rev %s, station %s\nplan %s\ninput %s", cutBytes(sh.Number, longName), cutBytes(sh.Revision, longRev),
		cutBytes(j.station.ID, longName),
		cutBytes(hash, 64), cutBytes(sh.Input, 64))
	j.code, err = paper.NewQR(text)
	return err
}

// cutBytes keeps at most n bytes of a text, and no half letter.
func cutBytes(s string, n int) string {
	if len(s) <= n {
		return s
	}
	for n > 0 && !utf8.RuneStart(s[n]) {
		n--
	}
	return s[:n]
}

// leastModule is the side in mm that squares of the QR code should have.
const leastModule = 0.5

// drawAside draws the QR code, and above it the shell's axes where the sheet has views.
func (p *page) drawAside() {
	box := p.zones.aside
	module := math.Min(leastModule, codeSide/float64(p.job.code.Modules()))
	side := module * float64(p.job.code.Modules())
	p.paper.Layer("code-ground", paper.Style{Fill: paper.White}).Rect(paper.Box{X0: box.X1 - side, Y0: box.Y1 - side, X1: box.X1, Y1: box.Y1})
	p.paper.Layer("code", paper.Style{Fill: paper.Black}).QR(paper.Point{X: box.X1 - side, Y: box.Y1 - side}, module, p.job.code)
	if len(p.figures) > 0 {
		box.Y1 = box.Y0 + axesHigh
		p.drawShellAxes(box)
	}
}

// portraitFrom is where one stands to look at parts and at the shell's axes: before the shell, to its left, raised.
var portraitFrom = r3.Vector{X: 1, Y: 0.7, Z: 0.6}

// drawShellAxes draws the shell's axes in words.
func (p *page) drawShellAxes(box paper.Box) {
	const long = 9.0
	d := view.From(portraitFrom)
	c := paper.Point{X: box.X0 + 0.45*box.Width(), Y: box.Y0 + 15}
	lines := p.paper.Layer("shell-axes", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.Black})
	words := p.paper.Layer("shell-axes-names", paper.Style{Fill: paper.Black})
	for i, name := range []string{"X front", "Y left", "Z up"} {
		var axis layout.Vec
		axis[i] = 1
		at, _ := d.Project(axis.R3())
		way := paper.Point{X: at.X, Y: -at.Y}
		tip := c.Add(way.Mul(long))
		lines.Line(c, tip)
		sign.Arrow(lines, tip, way.Mul(1/way.Norm()), 1.8)
		switch place := tip.Add(way.Mul(1 / way.Norm())); {
		case i == 2:
			words.Text(place.Add(paper.Point{Y: -0.5}), paper.AtJig, paper.Middle, name)
		case i == 0:
			words.Text(place.Add(paper.Point{X: 4, Y: paper.AtJig + 0.8}), paper.AtJig, paper.End, name)
		default:
			words.Text(place.Add(paper.Point{X: -4, Y: paper.AtJig + 0.8}), paper.AtJig, paper.Start, name)
		}
	}
}
