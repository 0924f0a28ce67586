package schema_test

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"seamwright/geometry/flange"
	"seamwright/internal/schema"
	"seamwright/layout"
)

type base struct{ Plain int }

type all struct {
	base
	Base
	Maybe   *float64       `json:"maybe"`
	Left    *float64       `json:"left,omitempty"`
	Counts  map[string]int `json:"counts"`
	Any     any            `json:"any"`
	Pair    [2]bool        `json:"pair"`
	At      layout.Vec     `json:"at"`
	One     flange.Range   `json:"one"`
	Two     layout.Range   `json:"two"`
	List    []string       `json:"list"`
	Hidden  string         `json:"-"`
	private int
}

// Base is embedded: its members are those of what holds it.
type Base struct {
	Seed uint64 `json:"seed"`
}

// What encoding/json writes of a value is what its schema says, and little else is.
func TestOfFitsWhatIsWritten(t *testing.T) {
	document, err := jsonschema.UnmarshalJSON(strings.NewReader(string(schema.Of(reflect.TypeFor[all](), schema.Options{ID: "urn:all"}))))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("all.json", document); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("all.json")
	if err != nil {
		t.Fatal(err)
	}
	half := 0.5
	for _, v := range []all{{}, {Maybe: &half, Left: &half, Counts: map[string]int{"a": 1}, Any: []int{1}, List: []string{"x"}, Hidden: "h",
		private: 1}} {
		if v.Counts == nil {
			v.Counts = map[string]int{}
		}
		text, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		read, err := jsonschema.UnmarshalJSON(strings.NewReader(string(text)))
		if err != nil {
			t.Fatal(err)
		}
		if err := s.Validate(read); err != nil {
			t.Errorf("%s: %v", text, err)
		}
		for name, wrong := range map[string]any{"seed": "one", "pair": []any{true}, "left": nil, "at": []any{1}, "one": map[string]any{},
			"more": 1} {
			object := map[string]any{}
			for k, v := range read.(map[string]any) {
				object[k] = v
			}
			object[name] = wrong
			if s.Validate(object) == nil {
				t.Errorf("%s: %v passes", name, wrong)
			}
		}
	}
}
