package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

func TestPackOfALapJoint(t *testing.T) {
	file := lapShell(t, "stations:\n  - {id: bench, arrives: [a, b]}\n")
	dir := filepath.Dir(file)
	whole, one := filepath.Join(dir, "all.pdf"), filepath.Join(dir, "bench.pdf")
	if out := must(t, exitDone, "pack", file, "--strips", "-o", whole); !strings.Contains(out, "sheets") {
		t.Error(out)
	}
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
	for _, c := range []struct {
		args []string
		want string
	}{
		{nil, "add -o FILE.pdf"},
		{[]string{"-o", "x.svg"}, "x.svg: name a file that ends in .pdf"},
		{[]string{"-o", filepath.Join(dir, "x.pdf"), "--station", "bnch"}, `station "bnch" is not in the plan: it has bench`},
		{[]string{"-o", filepath.Join(dir, "x.pdf"), "--paper", "B4"}, "B4"},
	} {
		if code, _, errOut := call(t, append([]string{"pack", file}, c.args...)...); code != exitInput || !strings.Contains(errOut, c.want) {
			t.Errorf("%v: exit code %d, %s", c.args, code, errOut)
		}
	}
}
