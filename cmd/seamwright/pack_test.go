package main

import (
	"bytes"
	"path/filepath"
	"testing"
)

func TestPackOfALapJoint(t *testing.T) {
	file := lapShell(t, "stations:\n  - {id: bench, arrives: [a, b]}\n")
	dir := filepath.Dir(file)
	whole, one := filepath.Join(dir, "all.pdf"), filepath.Join(dir, "bench.pdf")
	must(t, exitDone, "pack", file, "--strips", "-o", whole)
	must(t, exitDone, "pack", file, "--station", "bench", "-o", one)
	a, b := read(t, whole), read(t, one)
	if !bytes.HasPrefix(a, []byte("%PDF-")) || !bytes.HasPrefix(b, []byte("%PDF-")) || len(b) >= len(a) {
		t.Errorf("%d and %d bytes", len(a), len(b))
	}
	again := filepath.Join(dir, "again.pdf")
	must(t, exitDone, "pack", file, "--strips", "-o", again, "--workers", "5")
	if !bytes.Equal(a, read(t, again)) {
		t.Error("the same shell gave other bytes")
	}
}
