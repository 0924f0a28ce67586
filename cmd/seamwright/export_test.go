package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

func TestExportOfALapJoint(t *testing.T) {
	file := lapShell(t, "")
	dir := filepath.Dir(file)
	for ending, want := range map[string]string{
		"csv": "station,number,", "xlsx": "PK\x03\x04", "dxf": "  0\nSECTION", "glb": "glTF\x02\x00\x00\x00", "xmcf": "<?xml",
	} {
		out := filepath.Join(dir, "welds."+ending)
		must(t, exitDone, "export", file, "-o", out)
		data := read(t, out)
		if !bytes.HasPrefix(data, []byte(want)) {
			t.Errorf("%s begins with %.20q", ending, data)
		}
		if text := must(t, exitDone, "export", file, "--to", strings.ToUpper(ending)); text != string(data) {
			t.Errorf("%s on standard output is not the same as in the file", ending)
		}
	}
}
