//go:build !amd64 || purego

package mesh

func box(records []byte) (low, high [3]float32) { return plainBox(records) }

func unpack(into, from []byte, past uint32) (r Run, beyond uint32) {
	return plainUnpack(into, from, past)
}
