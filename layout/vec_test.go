package layout

import (
	"encoding/json"
	"testing"
)

func TestVecRead(t *testing.T) {
	for text, want := range map[string]Vec{
		"[1, -2.5e1, 0.125]": {1, -25, 0.125}, " [1,2,3]": {1, 2, 3}, "[ 1 ,\n2 , 3 ]": {1, 2, 3},
	} {
		var v Vec
		if err := json.Unmarshal([]byte(text), &v); err != nil || v != want {
			t.Errorf("%s: %v, %v", text, v, err)
		}
	}
	for _, text := range []string{"[1, 2]", "[1, 2, 3, 4]", "[]", `[1, 2, "3"]`, "[1, 2, [3]]", `"1, 2, 3"`, "{}", "7", "[1, 2, 3, ]"} {
		v := Vec{9, 9, 9}
		if err := json.Unmarshal([]byte(text), &v); err == nil || v != (Vec{9, 9, 9}) {
			t.Errorf("%s is read as %v", text, v)
		}
	}
}
