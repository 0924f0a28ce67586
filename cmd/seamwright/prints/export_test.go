package prints

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

func TestExportOfALapJoint(t *testing.T) {
	file := calls.Lap(t, "")
	dir := filepath.Dir(file)
	for ending, want := range map[string]string{
		"csv": "station,number,", "xlsx": "PK\x03\x04", "dxf": "  0\nSECTION", "glb": "glTF\x02\x00\x00\x00", "xmcf": "<?xml",
	} {
		out := filepath.Join(dir, "welds."+ending)
		seamwright.Must(t, program.ExitDone, "export", file, "-o", out)
		data := calls.Read(t, out)
		if !bytes.HasPrefix(data, []byte(want)) {
			t.Errorf("%s begins with %.20q", ending, data)
		}
		if text := seamwright.Must(t, program.ExitDone, "export", file, "--to", strings.ToUpper(ending)); text != string(data) {
			t.Errorf("%s on standard output is not the same as in the file", ending)
		}
	}
}
