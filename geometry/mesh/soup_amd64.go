//go:build !purego

package mesh

// boxOf is the box of n triangles, at least one, 36 bytes each. It reads pad bytes more than these have, and the
// fourth numbers that it gives mean nothing. Four lanes at once take a tenth of what plain Go takes; Box is where
// near.Match spends its time on panels that are nowhere near each other.
//
//go:noescape
func boxOf(triangles *byte, n int) (low, high [4]float32)

func box(records []byte) (low, high [3]float32) {
	l, h := boxOf(&records[0], len(records)/RecordSize)
	return [3]float32(l[:3]), [3]float32(h[:3])
}

// unpackRun is unpack; see there. It reads two bytes more than the triangles have.
//
//go:noescape
func unpackRun(into, from *byte, n int, past uint32) (low, high [4]float32, beyond uint32)

func unpack(into, from []byte, past uint32) (r Run, beyond uint32) {
	low, high, beyond := unpackRun(&into[0], &from[0], len(into)/RecordSize, past)
	return Run{[3]float32(low[:3]), [3]float32(high[:3])}, beyond
}
