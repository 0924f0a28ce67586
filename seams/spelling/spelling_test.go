package spelling_test

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/seams/spelling"
)

func ExampleNearest() {
	fmt.Println(spelling.Nearest("trhoat_gap_mm", []string{"throat_depth_mm", "throat_gap_mm", "arm_mm"}))
	// Output: throat_gap_mm
}

func TestDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{
		{"", "", 0},
		{"jig", "", 3},
		{"", "jig", 3},
		{"clamp", "clamp", 0},
		{"thicknes_mm", "thickness_mm", 1}, // one added
		{"panells", "panels", 1},           // one dropped
		{"dowal", "dowel", 1},              // one changed
		{"bacth", "batch", 1},              // two swapped
		{"kitten", "sitting", 3},           // the textbook pair
		{"größe", "grosse", 3},             // letters, not bytes
	} {
		if got := spelling.Distance(c.a, c.b); got != c.want {
			t.Errorf("Distance(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func TestNearest(t *testing.T) {
	if got := spelling.Nearest("roof", nil); got != "" {
		t.Errorf("nothing known gives %q, want nothing", got)
	}
	if got := spelling.Nearest("dc4", []string{"DC01", "DC04"}); got != "DC04" {
		t.Errorf("letter case: got %q, want DC04", got)
	}
	for word, want := range map[string]string{"depth": "throat_depth_mm", "thraot": "throat_gap_mm", "nam": "name", "arm": "arm_mm"} {
		if got := spelling.Nearest(word, []string{"id", "name", "arm_mm", "throat_depth_mm", "throat_gap_mm"}); got != want {
			t.Errorf("a piece: Nearest(%q) = %q, want %q", word, got, want)
		}
	}
	if got := spelling.Nearest("pitch", []string{"punch", "row_pitch_mm"}); got != "row_pitch_mm" {
		t.Errorf("a piece that is right, against a whole word two letters away: got %q", got)
	}
	if got := spelling.Nearest("pitch", []string{"row_pitch_mm", "patch"}); got != "patch" {
		t.Errorf("a piece that is right, against a whole word one letter away: got %q", got)
	}
	if got := spelling.Nearest("ax", []string{"ab", "ac"}); got != "ab" {
		t.Errorf("a tie: got %q, want the first, ab", got)
	}
}

func TestNearestSurvivesVeryLongWords(t *testing.T) {
	long := strings.Repeat("thickness", 100_000)
	if got := spelling.Nearest(long, []string{"thickness_mm"}); got != "thickness_mm" {
		t.Errorf("got %q", got)
	}
}

// A distance is symmetric, zero for equal words only, and at most the longer word's length.
func TestDistanceProperties(t *testing.T) {
	word := rapid.StringN(0, 30, -1)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		d := spelling.Distance(a, b)
		if d != spelling.Distance(b, a) {
			t.Fatalf("not symmetric")
		}
		if (d == 0) != (string([]rune(a)) == string([]rune(b))) {
			t.Fatalf("distance %d between %q and %q", d, a, b)
		}
		if d > max(len([]rune(a)), len([]rune(b))) {
			t.Fatalf("distance %d is above both lengths", d)
		}
	})
}
