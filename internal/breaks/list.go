package main

import (
	_ "embed"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
)

// harmlessText lists breaks that change nothing that anybody could tell: in each line the file, the break, the text of the line and
// the reason, parted by tabs. By the text, not the number of a line, a break is known again when the file has grown.
//
//go:embed harmless.txt
var harmlessText string

func readHarmless(text string) (map[string]bool, error) {
	out := map[string]bool{}
	for i, line := range strings.Split(strings.TrimSpace(text), "\n") {
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		part := strings.Split(line, "\t")
		if len(part) != 4 || strings.TrimSpace(part[3]) == "" {
			return nil, fmt.Errorf("harmless.txt:%d: write the file, the break, the line's text and the reason, parted by tabs", i+1)
		}
		out[strings.Join(part[:3], "\t")] = true
	}
	return out, nil
}

// stale are the listed breaks that no line of today offers: they excuse nothing any more.
func stale(listed map[string]bool) []string {
	var out []string
	for _, key := range sorted(listed) {
		file, _, _ := strings.Cut(key, "\t")
		breaks, err := find(full(file))
		if err != nil || !slices.ContainsFunc(breaks, func(b broken) bool { return b.key() == key }) {
			out = append(out, key)
		}
	}
	return out
}

func (b broken) String() string { return fmt.Sprintf("%s:%d: %s", short(b.File), b.Line, b.change()) }
func (b broken) change() string {
	return fmt.Sprintf("%s: %s -> %s", b.Kind, oneLine(b.Was), oneLine(b.Now))
}
func (b broken) key() string { return short(b.File) + "\t" + b.change() + "\t" + b.Text }

// survivorsOf finds the survivors that an earlier run printed in the tree of today: in the same file the same break, the nearest
// to the line that it had. One whose code is gone is told and left out.
func survivorsOf(name string) ([]broken, error) {
	text, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	var out []broken
	for _, line := range strings.Split(string(text), "\n") {
		words, ok := strings.CutPrefix(line, string(survived))
		if !ok {
			continue
		}
		at, err := foundAgain(strings.TrimSpace(words))
		if err != nil {
			fmt.Printf("gone      %s (%v)\n", strings.TrimSpace(words), err)
			continue
		}
		out = append(out, at)
	}
	return out, nil
}

func foundAgain(words string) (broken, error) {
	part := strings.SplitN(words, ":", 3)
	if len(part) != 3 {
		return broken{}, fmt.Errorf("write FILE:LINE: the break")
	}
	line, err := strconv.Atoi(part[1])
	if err != nil {
		return broken{}, fmt.Errorf("line %q is no number", part[1])
	}
	breaks, err := find(full(part[0]))
	if err != nil {
		return broken{}, err
	}
	best, far := broken{}, -1
	for _, b := range breaks {
		off := max(b.Line-line, line-b.Line)
		if b.change() == strings.TrimSpace(part[2]) && (far < 0 || off < far) {
			best, far = b, off
		}
	}
	if far < 0 {
		return broken{}, fmt.Errorf("no such break in the file of today")
	}
	return best, nil
}
