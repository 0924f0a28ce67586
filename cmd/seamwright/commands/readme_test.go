package commands

import (
	"io"
	"os"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
)

// The README lists every command, and none that there is not, with flags that it has.
func TestReadmeListsTheCommands(t *testing.T) {
	text, err := os.ReadFile("../../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, list, _ := strings.Cut(string(text), "\n## Commands\n")
	list, _, _ = strings.Cut(list, "\nResults go to")
	listed := map[string]bool{}
	p := program.NewCall(io.Discard, io.Discard)
	root := program.Root(p, All())
	for line := range strings.Lines(list) {
		words := strings.Fields(line)
		if len(words) < 2 || words[0] != "seamwright" {
			continue
		}
		listed[words[1]] = true
		c, _, err := root.Find(words[1:2])
		if err != nil || c == root {
			t.Errorf("the README lists %s, which is no command", words[1])
			continue
		}
		for _, w := range words[2:] {
			if name, ok := strings.CutPrefix(strings.Trim(w, "[];"), "--"); ok && c.Flags().Lookup(name) == nil {
				t.Errorf("the README gives %s a flag --%s, which it has not", words[1], name)
			}
		}
	}
	for _, c := range root.Commands() {
		if !listed[c.Name()] && c.Name() != "help" && c.Name() != "completion" {
			t.Errorf("the README does not list %s", c.Name())
		}
	}
}
