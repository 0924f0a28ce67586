package record

import (
	"errors"
	"fmt"
	"testing"
)

func TestDiffers(t *testing.T) {
	for _, c := range []struct {
		was, is string
		line    int
		a, b    string
	}{
		{"a\nb\n", "a\nb\n", 0, "", ""},
		{"a\nb\n", "a\nc\n", 2, "b\n", "c\n"},
		{"a\n", "a\nc\n", 2, "", "c\n"},
		{"a\nb\n", "a\n", 2, "b\n", ""},
		{"a", "a\n", 1, "a", "a\n"},
	} {
		if line, a, b := differs(c.was, c.is); line != c.line || a != c.a || b != c.b {
			t.Errorf("%q and %q: line %d, %q and %q", c.was, c.is, line, a, b)
		}
	}
}

func ExampleSaid_Has() {
	var said Said
	fmt.Println(said.Has(errors.New("crew is -1"), "crew"), said.Has(errors.New("crew is -1"), "people"))
	// Output: true false
}
