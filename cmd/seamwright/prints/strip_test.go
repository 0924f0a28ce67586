package prints

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

func TestStripOfALapJoint(t *testing.T) {
	file := calls.Lap(t, "joints:\n  - {id: lap, panels: [a, b]}\n")
	dir := filepath.Dir(file)
	if svg := seamwright.Must(t, program.ExitDone, "strip", file, "--flange", "lap/1"); !strings.Contains(svg, `width="297.00mm"`) ||
		strings.Count(svg,
			"START") < 2 {
		t.Errorf("no marking strip on standard output: %.300s", svg)
	}
	svg, pdf := filepath.Join(dir, "s.svg"), filepath.Join(dir, "s.pdf")
	seamwright.Must(t, program.ExitDone, "strip", file, "--flange", "lap/1", "--on", "a", "-o", svg)
	if text := string(calls.Read(t, svg)); !strings.Contains(text, "Lay on the outer face of") || !strings.Contains(text, "Lap &lt;&amp;") {
		t.Errorf("%.300s", text)
	}
	seamwright.Must(t, program.ExitDone, "strip", file, "--flange", "lap/1", "-o", pdf)
	if !bytes.HasPrefix(calls.Read(t, pdf), []byte("%PDF-")) {
		t.Error("no PDF")
	}
}
