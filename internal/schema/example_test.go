package schema_test

import (
	"fmt"
	"reflect"
	"strings"

	"seamwright/internal/schema"
)

func ExampleOf() {
	type strip struct {
		Gap float64 `json:"gap" about:"between the sheets" unit:"mm"`
	}
	text := schema.Of(reflect.TypeFor[strip](), schema.Options{ID: "urn:strip", Title: "strip", Description: "A strip."})
	fmt.Println(strings.ReplaceAll(string(text), ",\"", ",\n\"")) // a member a line, for the reader
	// Output:
	// {"$schema":"https://json-schema.org/draft/2020-12/schema",
	// "$id":"urn:strip",
	// "title":"strip",
	// "description":"A strip.",
	// "type":"object",
	// "additionalProperties":false,
	// "required":["gap"],
	// "properties":{"gap":{"description":"between the sheets (mm)",
	// "type":"number"}}}
}
