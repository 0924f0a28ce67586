package prints

import (
	"bytes"
	"path/filepath"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

func TestPackOfALapJoint(t *testing.T) {
	file := calls.Lap(t, "stations:\n  - {id: bench, arrives: [a, b]}\n")
	dir := filepath.Dir(file)
	whole, one := filepath.Join(dir, "all.pdf"), filepath.Join(dir, "bench.pdf")
	seamwright.Must(t, program.ExitDone, "pack", file, "--strips", "-o", whole)
	seamwright.Must(t, program.ExitDone, "pack", file, "--station", "bench", "-o", one)
	a, b := calls.Read(t, whole), calls.Read(t, one)
	if !bytes.HasPrefix(a, []byte("%PDF-")) || !bytes.HasPrefix(b, []byte("%PDF-")) || len(b) >= len(a) {
		t.Errorf("%d and %d bytes", len(a), len(b))
	}
	again := filepath.Join(dir, "again.pdf")
	seamwright.Must(t, program.ExitDone, "pack", file, "--strips", "-o", again, "--workers", "5")
	if !bytes.Equal(a, calls.Read(t, again)) {
		t.Error("the same shell gave other bytes")
	}
}
