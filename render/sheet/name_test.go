package sheet

import "testing"

// Ids that differ only in letters outside ASCII, or only in a sign, give files of their own.
func TestFileNamesDiffer(t *testing.T) {
	seen := map[string]string{}
	for _, id := range []string{"Größe", "Grüße", "Gr__e", "ящик", "ящук", "jig+1", "jig_1", "jig-1", "jig.1", "左", "右"} {
		name := fileName(id)
		if other, again := seen[name]; again {
			t.Errorf("%s and %s are both drawn as %s", id, other, name)
		}
		seen[name] = id
	}
	if got := fileName("../a b/é"); got != "_._a_b_é" {
		t.Errorf("%q leaves its folder", got)
	}
}
