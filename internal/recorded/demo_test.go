package recorded_test

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
	"seamwright/layout/planfile"
)

// pictures are the sheets of the demo that the README shows.
const pictures = "../../testdata/pictures"

func TestDemo(t *testing.T) {
	if testing.Short() {
		t.Skip("the demo takes its time")
	}
	dir := filepath.Join(t.TempDir(), "tarn")
	whole.Must(t, program.ExitDone, "demo", dir, "--quiet")
	for _, name := range []string{"shell.yaml", "plan/plan.json", "plan/plan.schema.json", "plan/welds.csv", "plan/cost.csv",
		"plan/report.txt"} {
		if len(calls.Read(t, filepath.Join(dir, name))) == 0 {
			t.Errorf("%s is empty", name)
		}
	}
	calls.CheckSchema(t, filepath.Join(dir, "plan"))
	t.Run("pictures", func(t *testing.T) { readmePictures(t, filepath.Join(dir, "plan", "maps")) })
	t.Run("all that is said of it", func(t *testing.T) { demoAsRecorded(t, dir) })
	t.Run("a map for every station", func(t *testing.T) { mapForEveryStation(t, filepath.Join(dir, "plan")) })
}

// readmePictures holds the README's pictures against the demo's sheets, and writes them anew where asked. They carry the
// plan's and the input's hashes, as text and as a code, which change with every figure of the plan; all else must be equal.
func readmePictures(t *testing.T, maps string) {
	for _, name := range []string{"main-jig-1.svg", "roof-jig-1.svg"} {
		now := calls.Read(t, filepath.Join(maps, name))
		if *calls.Update {
			if err := os.WriteFile(filepath.Join(pictures, name), now, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if old := calls.Read(t, filepath.Join(pictures, name)); withoutHashes(old) != withoutHashes(now) {
			t.Errorf("%s is not the demo's sheet: run go test ./internal/recorded -run TestDemo -update, and look at it", name)
		}
	}
}

// withoutHashes has a # in place of each hash, and of the code that is drawn of it. (A regular expression takes a tenth of all that the
// tests take.)
func withoutHashes(svg []byte) string {
	const code, end, digits = `<g id="l-code"`, "</g>", 64
	var b strings.Builder
	b.Grow(len(svg))
	run, kept := 0, 0
	for i := 0; i < len(svg); i++ {
		from := i
		switch c := svg[i]; {
		case '0' <= c && c <= '9' || 'a' <= c && c <= 'f':
			if run++; run < digits {
				continue
			}
			from = i + 1 - digits
		case c == '<' && bytes.HasPrefix(svg[i:], []byte(code)) && bytes.Contains(svg[i:], []byte(end)):
			i += bytes.Index(svg[i:], []byte(end)) + len(end) - 1
		default:
			run = 0
			continue
		}
		b.Write(svg[kept:from])
		b.WriteByte('#')
		run, kept = 0, i+1
	}
	b.Write(svg[kept:])
	return b.String()
}

// A hash is 64 digits, wherever they stand.
func TestWithoutHashes(t *testing.T) {
	whole := regexp.MustCompile(`(?s)[0-9a-f]{64}|<g id="l-code".*?</g>`)
	hash := strings.Repeat("0123456789abcdef", 4)
	for _, text := range []string{"", "a", hash, hash[1:], "x" + hash + "y", hash + hash, hash + "ab" + hash[2:] + "g", hash[:40] + "<" + hash,
		`<g id="l-code">` + hash + "\n<path/></g>" + hash, `<g id="l-code">` + hash, `<g id="l-cod"></g>`, "0<g id=\"l-code\"/></g>" + hash[1:]} {
		if got, want := withoutHashes([]byte(text)), whole.ReplaceAllString(text, "#"); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func mapForEveryStation(t *testing.T, dir string) {
	file, err := os.Open(filepath.Join(dir, "plan.json"))
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	plan, err := planfile.Read(file)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range plan.Stations {
		if sheets, err := filepath.Glob(filepath.Join(dir, "maps", s.ID+"-*.svg")); err != nil || len(sheets) == 0 {
			t.Errorf("station %s has no map", s.ID)
		}
	}
}
