package near

import "slices"

// gather puts the triangles that ask of panels whose files hold facets in no order by place, so that packets are of
// places near each other.
func (m *Matcher) gather() {
	each(m.opt.Workers, len(m.panels), func(i int) { m.panels[i].gather(&m.frame) })
}

func (p *panel) gather(f *frame) {
	n := 0
	for _, s := range p.asking {
		n += int(s.to - s.from)
	}
	if n >= len(p.asking)*lanes/2 {
		return
	}
	p.scattered = make([]int32, 0, n)
	for _, s := range p.asking {
		for t := s.from; t < s.to; t++ {
			p.scattered = append(p.scattered, t)
		}
	}
	keyed := make([]uint64, n) // place, triangle
	packet := newPacket(f, 0)
	for i := range p.packets() {
		p.fill(packet, i)
		for k, t := range packet.triangles[:packet.places] {
			place := curve(packet.at[0][k], packet.at[1][k], packet.at[2][k])
			keyed[i*lanes+k] = uint64(place)<<32 | uint64(t)
		}
	}
	slices.Sort(keyed)
	for i, k := range keyed {
		p.scattered[i] = int32(k)
	}
}

// packets is how many packets the panel asks.
func (p *panel) packets() int {
	if p.scattered == nil {
		return len(p.asking)
	}
	return (len(p.scattered) + lanes - 1) / lanes
}

// fill fills a packet with the middles of the panel's triangles.
func (p *panel) fill(with *packet, i int) {
	if p.scattered != nil {
		with.take(p.soup, p.scattered[i*lanes:min((i+1)*lanes, len(p.scattered))])
		return
	}
	var triangles [lanes]int32
	s := p.asking[i]
	for k := range s.to - s.from {
		triangles[k] = s.from + k
	}
	with.take(p.soup, triangles[:s.to-s.from])
}

// curve is a place's number along a curve that fills space by halves (Morton's), for ten bits of each coordinate.
func curve(x, y, z int32) uint32 {
	return spread(x) | spread(y)<<1 | spread(z)<<2
}

// spread puts the highest ten bits of a place in grains three bits apart.
func spread(x int32) uint32 {
	n := uint32(max(x, 0)) >> 20 & 1023
	n = (n | n<<16) & 0x030000ff
	n = (n | n<<8) & 0x0300f00f
	n = (n | n<<4) & 0x030c30c3
	return (n | n<<2) & 0x09249249
}
