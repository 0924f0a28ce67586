package mesh

// Pieces tells what hangs together: things numbered from zero, joined two by two.
//
//	p := mesh.NewPieces(3)
//	p.Join(0, 2)
//	fmt.Println(p.First(2), p.First(1)) // 0 1
type Pieces []int32 // of each thing, another of the same piece that comes before it, or itself

// NewPieces are n things, each by itself.
func NewPieces(n int) Pieces {
	p := make(Pieces, n)
	for i := range p {
		p[i] = int32(i)
	}
	return p
}

// First is the lowest number in the piece of i.
func (p Pieces) First(i int32) int32 {
	for p[i] != i {
		p[i] = p[p[i]]
		i = p[i]
	}
	return i
}

// Join makes one piece of those of a and b.
func (p Pieces) Join(a, b int32) {
	if p[a] == p[b] {
		return
	}
	a, b = p.First(a), p.First(b)
	p[max(a, b)] = min(a, b)
}
