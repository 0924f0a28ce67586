package hardpanels

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/internal/record"
)

var _ = flag.Bool("update", false, "write the record of what is found anew")

// All that is found on three cases of each class is as it was: every length and width, every tenth place of a weld line with its frame,
// sides, edges and air, each hole, notch, end and open stretch, and what is no flange. Whether it is right is TestHardPanels' to say, which
// holds it to what was drawn within its bounds; here a change shows that stays within them. -update writes it anew: look at
// the difference.
func TestFoundAsBefore(t *testing.T) {
	var b bytes.Buffer
	for i, c := range slices.Concat(Cases(5, 75), Negatives(5, 12)) {
		if many(c) && i >= 25 { // one of each class is enough where it takes long
			continue
		}
		opt := c.Options
		opt.Workers = 1
		found, err := flange.Find(context.Background(), c.Sheets, opt)
		fmt.Fprintf(&b, "%s\n", c.Name)
		if err != nil {
			fmt.Fprintf(&b, "  %v\n", err)
			continue
		}
		tell(&b, found)
	}
	record.Hold(t, "testdata/found.txt", b.String())
}

// many reports whether a case has so many facets that it takes long.
func many(c Case) bool {
	facets := 0
	for _, s := range c.Sheets {
		facets += len(s.Mesh.Triangles)
	}
	return facets > 30_000
}

func tell(b *bytes.Buffer, found *flange.Found) {
	for _, f := range found.Flanges {
		fmt.Fprintf(b, "  %s of %v: length %s, area %s, width %s, gap %s, sides %q, may be %s", f.ID, f.Sheets, mm(f.Length), mm(f.Area),
			span(f.Width), span(f.Gap), f.Sides, mm(f.GapMay[:]...))
		fmt.Fprintf(b, ", closed %t, patch %t, hem %t, beside %v\n", f.Closed, f.Patch, f.Hem, f.Beside)
		for i := 0; i < len(f.Line); i += 10 {
			p := f.Line[i]
			fmt.Fprintf(b, "    at %s: %s along %s axis %s left %s %v of %d right %s %v of %d gap %s offset %s\n", mm(p.S), point(p.Point),
				direction(p.Along), direction(p.Axis), mm(p.Left), p.LeftEdge, p.LeftSheet, mm(p.Right), p.RightEdge, p.RightSheet, mm(p.Gap),
				mm(p.Offset))
		}
		for _, loop := range f.Outline {
			fmt.Fprintf(b, "    outline of %d corners, %s round, from %s\n", len(loop), mm(round(loop)), point(loop[0]))
		}
		for _, h := range f.Holes {
			fmt.Fprintf(b, "    hole of radius %s at %s\n", mm(h.Radius), point(h.Center))
		}
		for _, n := range f.Notches {
			fmt.Fprintf(b, "    notch from %s, %s deep, left %t, about %s\n", mm(n.From, n.To), mm(n.Depth), n.Left, point(n.Center))
		}
		for _, o := range f.Open {
			fmt.Fprintf(b, "    open from %s by %s at %s, beside by %s at %s\n", mm(o.From, o.To), mm(o.Gap), point(o.Place), mm(o.Beside),
				point(o.At))
		}
		for _, c := range f.Cuts {
			fmt.Fprintf(b, "    cut at %s by %s at %s\n", mm(c.S), mm(c.Gap), point(c.Place))
		}
	}
	for _, s := range found.Small {
		fmt.Fprintf(b, "  no flange of %v: %s long, %s wide, area %s at %s: %s\n", s.Sheets, mm(s.Length), mm(s.Width), mm(s.Area),
			point(s.Place), s.Why)
	}
	for _, n := range found.Near {
		fmt.Fprintf(b, "  near %v: %s, into %s, area %s at %s\n", n.Sheets, mm(n.Distance), mm(n.Into), mm(n.Area), point(n.Place))
	}
	for _, s := range found.Scans {
		fmt.Fprintf(b, "  scan %d: %d specks of %s at %s, %d holes of %s at %s", s.Sheet, s.Specks, mm(s.SpeckArea), point(s.SpeckAt), s.Holes,
			mm(s.Widest), point(s.HoleAt))
		fmt.Fprintf(b, "; facet %s, wave %s, usual %s, most %s at %s\n", mm(s.Facet), mm(s.Wave), mm(s.Usual), mm(s.Most), point(s.Place))
	}
}

// mm is lengths to a hundredth, with no minus before what is none: the finder ends its steps within some micrometres.
func mm(x ...float64) string { return decimals(2, " to ", x...) }

func decimals(n int, between string, x ...float64) string {
	parts := make([]string, len(x))
	for i, v := range x {
		parts[i] = strings.TrimPrefix(strconv.FormatFloat(v, 'f', n, 64), "-")
		if v < 0 && strings.Trim(parts[i], "0.") != "" {
			parts[i] = "-" + parts[i]
		}
	}
	return strings.Join(parts, between)
}

func span(r flange.Range) string { return mm(r.Least, r.Mean, r.Greatest) }

func point(p r3.Vector) string     { return decimals(2, ",", p.X, p.Y, p.Z) }
func direction(p r3.Vector) string { return decimals(3, ",", p.X, p.Y, p.Z) }

func round(loop []r3.Vector) (length float64) {
	for i, p := range loop {
		length += p.Distance(slices.Concat(loop, loop[:1])[i+1])
	}
	return length
}
