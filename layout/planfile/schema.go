package planfile

import (
	"bytes"
	"reflect"

	"seamwright/internal/schema"
	"seamwright/layout"
)

// Schema is the JSON Schema (draft 2020-12) of plan.json: every member with its meaning and unit, and no member
// besides. It is made from the Go types and their tags, so it cannot fall behind them.
func Schema() []byte {
	text := schema.Of(reflect.TypeFor[layout.Plan](), schema.Options{
		ID: "urn:seamwright:plan:2", Title: "seamwright plan",
		Description: "Everything decided about one body shell. Lengths in mm in the shell's frame, forces in N, times in s or min as the " +
			"member says, angles in degrees, money in the currency of cost.currency.",
		Words: layout.Words, Consts: map[string]any{"Plan.Format": layout.Format}, Strict: true,
	})
	return append(layOutWithin(bytes.TrimSpace(text), 0), '\n')
}
