package outline

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
)

// Outlines chains loose entities (see Chain) and then parts what branches: where three or more ends meet, or an end
// stands on another line, the lines are sides of several outlines, as when two strips are drawn with one edge between
// them. Each outline comes out as a closed path of its own, shared edges in both. What hangs loose from them stays an
// open path. Notes say where lines were parted so.
func Outlines(paths []drawing.Path) (out []drawing.Path, notes []string) {
	chained, notes := Chain(paths)
	byLayer := map[string][]int{}
	var layers []string
	for i, p := range chained {
		if byLayer[p.Layer] == nil {
			layers = append(layers, p.Layer)
		}
		byLayer[p.Layer] = append(byLayer[p.Layer], i)
	}
	replaced, added := map[int]bool{}, []drawing.Path{}
	for _, layer := range layers {
		n := network{paths: chained, members: byLayer[layer]}
		if said := n.build(); said != "" {
			notes = append(notes, fmt.Sprintf("layer %s: %s", layer, said))
		}
		faces, rest := n.part()
		if len(faces) == 0 {
			continue
		}
		for _, e := range n.edges {
			replaced[e.path] = true
		}
		added = append(append(added, faces...), rest...)
		notes = append(notes, fmt.Sprintf("layer %s: lines branch at %s: taken as %d outlines that share edges", layer, n.branches(), len(faces)))
		notes = append(withoutBranchesOf(notes, layer), n.gaps.notes("joined likewise")...)
	}
	for i, p := range chained {
		if !replaced[i] {
			out = append(out, p)
		}
	}
	return append(out, added...), notes
}

// withoutBranchesOf drops the notes that ends were left unjoined on a layer, now that they have been parted.
func withoutBranchesOf(notes []string, layer string) []string {
	end := fmt.Sprintf(" on layer %s: left unjoined", layer)
	return slices.DeleteFunc(notes, func(n string) bool {
		return len(n) > len(end) && n[len(n)-len(end):] == end
	})
}

// network is the lines of one layer as a plane graph: nodes where ends meet or stand on a line, edges between them.
type network struct {
	paths   []drawing.Path
	members []int // indices of the layer's paths
	nodes   []r3.Vector
	edges   []netEdge
	gaps    list // notes on lines that were led to a node over a gap
}

// netEdge is a line between two nodes. A dead one hangs loose.
type netEdge struct {
	path   int // that it is of
	ends   [2]int
	points []r3.Vector
	length float64
	dead   bool
}

// mostTests is how many times an end is held against a piece of a line: a drawing of a million loose lines is no outline.
const mostTests = 50_000_000

// build finds the nodes and cuts the lines there. It returns why it did not.
func (n *network) build() string {
	pieces, open := 0, 0
	for _, i := range n.members {
		p := &n.paths[i]
		pieces += len(p.Points)
		if !p.Closed {
			open += 2
		}
		for _, v := range p.Points {
			if math.Abs(v.Z-n.paths[n.members[0]].Points[0].Z) > toldGap {
				return "" // not flat: lines that seem to meet may pass above each other
			}
		}
	}
	if open == 0 {
		return ""
	}
	if open > mostTests/pieces {
		return fmt.Sprintf("%d loose lines are too many to look for outlines that share edges: draw these as closed lines", open/2)
	}
	cuts := n.cuts()
	for _, i := range n.members {
		n.cut(i, cuts[i])
	}
	return ""
}

// mark is a place on a path where a node lies: after how many of its points, and how far on from there.
type mark struct {
	after int
	share float64
	node  int
}

// cuts makes a node of every loose end, ends within Join being one, and marks where nodes lie on lines.
func (n *network) cuts() map[int][]mark {
	known := newGrid(2*len(n.members), Join)
	for _, i := range n.members {
		if n.paths[i].Closed {
			continue
		}
		for _, end := range endsOf(&n.paths[i]) {
			if n.nodeNear(known, end) < 0 {
				known.add(end, 0)
				n.nodes = append(n.nodes, end)
			}
		}
	}
	ends := append([]r3.Vector{}, n.nodes...)
	n.ontoLines(known)
	marks := map[int][]mark{}
	for _, i := range n.members {
		p := &n.paths[i]
		if !p.Closed {
			for k, end := range endsOf(p) {
				node := n.nodeNear(known, end)
				marks[i] = append(marks[i], mark{after: k * (len(p.Points) - 1), node: node})
				n.tell(p.Layer, ends[node], ends[node].Distance(end))
			}
		}
		for node, at := range ends {
			if slices.ContainsFunc(marks[i], func(m mark) bool { return m.node == node }) {
				continue
			}
			if m, gap, ok := markOn(p, at); ok {
				m.node = node
				marks[i] = append(marks[i], m)
				n.tell(p.Layer, at, gap)
			}
		}
		slices.SortFunc(marks[i], func(a, b mark) int {
			return cmp.Or(a.after-b.after, cmp.Compare(a.share, b.share), a.node-b.node)
		})
	}
	return marks
}

// ontoLines moves nodes onto the lines that ends stand on, so that the lines stay as they are.
func (n *network) ontoLines(known *grid) {
	for node, at := range n.nodes {
		for _, i := range n.members {
			p := &n.paths[i]
			if own := endsOf(p); !p.Closed && (n.nodeNear(known, own[0]) == node || n.nodeNear(known, own[1]) == node) {
				continue
			}
			if m, _, ok := markOn(p, at); ok {
				a, b := p.Points[m.after], p.Points[(m.after+1)%len(p.Points)]
				n.nodes[node] = a.Add(scaled(b.Sub(a), m.share))
				break
			}
		}
	}
}

// tell notes that a line was led to a node over a gap.
func (n *network) tell(layer string, at r3.Vector, gap float64) {
	if gap > toldGap {
		n.gaps.add(func() string {
			return fmt.Sprintf("layer %s: a line that ends %.3g mm from %s is joined there", layer, gap, place(at))
		})
	}
}

// nodeNear is the node within Join of a place that is nearest, or -1.
func (n *network) nodeNear(known *grid, at r3.Vector) int {
	best, least := -1, math.Inf(1)
	known.near(at, 0, Join, func(k int) bool {
		if d := known.at[k].Distance(at); d < least || d == least && k < best {
			best, least = k, d
		}
		return true
	})
	return best
}

// markOn is where a node lies on a path and how far from it, if it lies within Join of it.
func markOn(p *drawing.Path, at r3.Vector) (best mark, least float64, found bool) {
	least = Join
	for k := range p.Points {
		if k == len(p.Points)-1 && !p.Closed {
			break
		}
		a, b := p.Points[k], p.Points[(k+1)%len(p.Points)]
		run := b.Sub(a)
		share := math.Max(0, math.Min(1, at.Sub(a).Dot(run)/math.Max(run.Norm2(), math.SmallestNonzeroFloat64)))
		if d := a.Add(scaled(run, share)).Distance(at); d <= least {
			least, found = d, true
			best = mark{after: k, share: share}
		}
	}
	return best, least, found
}

// cut makes edges of a path between its marks.
func (n *network) cut(path int, marks []mark) {
	p := &n.paths[path]
	if len(marks) < 2 {
		return // a closed line that one end stands on, or none
	}
	for k, from := range marks {
		to := marks[(k+1)%len(marks)]
		if k == len(marks)-1 && !p.Closed {
			break
		}
		points := []r3.Vector{n.nodes[from.node]}
		last := to.after
		if k == len(marks)-1 {
			last += len(p.Points)
		}
		for i := from.after + 1; i <= last; i++ {
			v := p.Points[i%len(p.Points)]
			if v.Distance(points[len(points)-1]) > Stub && v.Distance(n.nodes[to.node]) > Stub {
				points = append(points, v)
			}
		}
		points = append(points, n.nodes[to.node])
		e := netEdge{path: path, ends: [2]int{from.node, to.node}, points: points}
		if e.length = lengthOf(points); len(marks) == 2 && !p.Closed {
			e.length = p.Length // the whole path: its curve's own length
		}
		if from.node == to.node && e.length <= 2*Join {
			continue
		}
		n.edges = append(n.edges, e)
	}
}

func lengthOf(points []r3.Vector) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += points[i].Distance(points[i-1])
	}
	return sum
}

// degrees counts the living edges at each node.
func (n *network) degrees() []int {
	degree := make([]int, len(n.nodes))
	for _, e := range n.edges {
		if !e.dead {
			degree[e.ends[0]]++
			degree[e.ends[1]]++
		}
	}
	return degree
}

// prune marks the edges that hang loose.
func (n *network) prune() {
	for again := true; again; {
		again = false
		degree := n.degrees()
		for i := range n.edges {
			e := &n.edges[i]
			if !e.dead && (degree[e.ends[0]] == 1 || degree[e.ends[1]] == 1) {
				e.dead, again = true, true
			}
		}
	}
}

// part returns the outlines that the edges enclose and what hangs loose; none where nothing branches.
//
// Each edge is gone along twice, once each way; at a node the way goes on along the next edge clockwise. That walks
// round every face of the plane that the edges divide, inner ones to the left (turning left as a whole), and once round
// the outside of each connected piece (turning right).
func (n *network) part() (faces, rest []drawing.Path) {
	n.prune()
	around := n.around()
	if !slices.ContainsFunc(around, func(ways []arm) bool { return len(ways) > 2 }) && !n.closesAcross() {
		return nil, nil
	}
	walked := make([]bool, 2*len(n.edges))
	for start := range walked {
		if walked[start] || n.edges[start/2].dead {
			continue
		}
		face := drawing.Path{Layer: n.paths[n.members[0]].Layer, Kind: "CHAIN", Closed: true}
		for half := start; !walked[half]; half = n.onward(around, half) {
			walked[half] = true
			e := &n.edges[half/2]
			points := slices.Clone(e.points)
			if half%2 == 1 {
				slices.Reverse(points)
			}
			face.Points = append(face.Points, points[:len(points)-1]...)
			face.Length += e.length
		}
		if areaNormal(face.Points).Z > 0 {
			faces = append(faces, face)
		}
	}
	for _, e := range n.edges {
		if e.dead {
			rest = append(rest, drawing.Path{Layer: n.paths[e.path].Layer, Kind: n.paths[e.path].Kind, Points: e.points, Length: e.length})
		}
	}
	return faces, rest
}

// closesAcross reports whether living edges of several open lines make a loop that no chain of ends made: lines that
// run on beyond the corner where they meet.
func (n *network) closesAcross() bool {
	return slices.ContainsFunc(n.edges, func(e netEdge) bool { return !e.dead && !n.paths[e.path].Closed })
}

// arm is an edge seen from a node: half an edge and the angle in which it leaves.
type arm struct {
	half  int // 2i from the start of edge i, 2i+1 from its end
	angle float64
}

// around lists the living edges at each node by angle, to the left in turn.
func (n *network) around() [][]arm {
	around := make([][]arm, len(n.nodes))
	for i, e := range n.edges {
		if e.dead {
			continue
		}
		first, last := e.points[1].Sub(e.points[0]), e.points[len(e.points)-2].Sub(e.points[len(e.points)-1])
		around[e.ends[0]] = append(around[e.ends[0]], arm{2 * i, math.Atan2(first.Y, first.X)})
		around[e.ends[1]] = append(around[e.ends[1]], arm{2*i + 1, math.Atan2(last.Y, last.X)})
	}
	for _, ways := range around {
		slices.SortFunc(ways, func(a, b arm) int {
			return cmp.Or(cmp.Compare(a.angle, b.angle), a.half-b.half)
		})
	}
	return around
}

// onward is the half edge that follows: from the node that half leads to, the next one clockwise from the way back.
func (n *network) onward(around [][]arm, half int) int {
	node := n.edges[half/2].ends[1-half%2]
	ways := around[node]
	back := slices.IndexFunc(ways, func(w arm) bool { return w.half == half^1 })
	return ways[(back+len(ways)-1)%len(ways)].half
}

// branches lists the nodes where more than two living edges meet.
func (n *network) branches() string {
	var nodes []r3.Vector
	for node, d := range n.degrees() {
		if d > 2 {
			nodes = append(nodes, n.nodes[node])
		}
	}
	slices.SortFunc(nodes, func(a, b r3.Vector) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	var at list
	for _, v := range nodes {
		at.add(func() string { return place(v) })
	}
	return strings.Join(at.notes("places"), ", ")
}
