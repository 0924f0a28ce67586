//go:build !linux

package stl

func inLargePages(block []byte) []byte { return block }
