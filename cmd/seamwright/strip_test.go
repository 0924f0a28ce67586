package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

func TestStripOfALapJoint(t *testing.T) {
	file := lapShell(t, "joints:\n  - {id: lap, panels: [a, b]}\n")
	dir := filepath.Dir(file)
	if svg := must(t, exitDone, "strip", file, "--flange", "lap/1"); !strings.Contains(svg, `width="297.00mm"`) || strings.Count(svg,
		"START") < 2 {
		t.Errorf("no marking strip on standard output: %.300s", svg)
	}
	svg, pdf := filepath.Join(dir, "s.svg"), filepath.Join(dir, "s.pdf")
	must(t, exitDone, "strip", file, "--flange", "lap/1", "--on", "a", "-o", svg)
	if text := string(read(t, svg)); !strings.Contains(text, "Lay on the outer face of") || !strings.Contains(text, "Lap &lt;&amp;") {
		t.Errorf("%.300s", text)
	}
	must(t, exitDone, "strip", file, "--flange", "lap/1", "-o", pdf)
	if !bytes.HasPrefix(read(t, pdf), []byte("%PDF-")) {
		t.Error("no PDF")
	}
}
