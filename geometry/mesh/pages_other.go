//go:build !linux

package mesh

func inLargePages(block []byte) []byte { return block }
