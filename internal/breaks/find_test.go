package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestFind(t *testing.T) {
	const head = "package p\n\nvar _ = "
	for _, c := range []struct{ source, kind, want string }{
		{"a <= b", "flip", "a >= b"},
		{"a == b", "flip", "a != b"},
		{"10 * a", "scale", "11 * a"},
		{"0.5 * a", "scale", "(0.5 * 1.1) * a"},
		{"a - b*c", "drop a term", "a"},
		{"f(a, b)", "swap arguments", "f(b, a)"},
		{"m[i][j]", "swap indices", "m[j][i]"},
		{"f(a, a)", "", ""},
		{"math.Inf(-1)", "", ""},
		{"make([]int, 0, len(a)+1)", "", ""},
		{"make([]int, len(a)+b, c)", "drop a term", "make([]int, len(a), c)"},
		{"max(a, b)", "", ""},
		{"math.Hypot(a, b)", "", ""},
		{"0 * a", "", ""},
		{`a + "x"`, "", ""},
	} {
		name := filepath.Join(t.TempDir(), "p.go")
		if err := os.WriteFile(name, []byte(head+c.source+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		got, err := find(name)
		if err != nil {
			t.Fatal(err)
		}
		if c.kind == "" {
			if len(got) > 0 {
				t.Errorf("%s: %+v, want no break", c.source, got)
			}
			continue
		}
		if len(got) != 1 || got[0].Kind != c.kind || got[0].Line != 3 {
			t.Fatalf("%s: %+v, want one break on line 3: %s", c.source, got, c.kind)
		}
		if now := strings.TrimSpace(string(got[0].applied([]byte(head + c.source)))[len(head):]); now != c.want {
			t.Errorf("%s: broken as %s, want %s", c.source, now, c.want)
		}
	}
}

func TestDrawnBySeed(t *testing.T) {
	var lines [][]broken
	for i := range 50 {
		lines = append(lines, []broken{{Line: i, Kind: "flip"}, {Line: i, Kind: "scale"}})
	}
	again := append([][]broken(nil), lines...)
	other := append([][]broken(nil), lines...)
	a, b, c := drawn(lines, 7), drawn(again, 7), drawn(other, 8)
	same := 0
	for i := range a {
		if a[i] != b[i] {
			t.Fatalf("draw %d of one seed differs: %+v and %+v", i, a[i], b[i])
		}
		if a[i] == c[i] {
			same++
		}
	}
	if same == len(a) {
		t.Error("two seeds draw the same")
	}
}
