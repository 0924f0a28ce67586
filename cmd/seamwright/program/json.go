package program

import (
	"bytes"
	"encoding/json"
	"reflect"

	"github.com/spf13/cobra"

	"seamwright/internal/schema"
	"seamwright/layout"
	"seamwright/layout/planfile"
)

// JSONFlags adds --json, which prints a T, and --json-schema, which prints what that is and does nothing else. Call it once
// the command's Args and RunE are set.
func JSONFlags[T any](p *Call, c *cobra.Command, asJSON *bool, usage string) {
	print := false
	c.Flags().BoolVar(asJSON, "json", false, usage)
	c.Flags().BoolVar(&print, "json-schema", false, "print the JSON Schema of what --json prints, and do nothing else")
	args, run := c.Args, c.RunE
	c.Args = func(c *cobra.Command, given []string) error {
		if print {
			return nil
		}
		return args(c, given)
	}
	c.RunE = func(c *cobra.Command, given []string) error {
		if !print {
			return run(c, given)
		}
		_, err := p.Out.Write(resultSchema(c.Name(), reflect.TypeFor[T]()))
		return err
	}
}

// resultSchema is the schema of what a command prints with --json.
func resultSchema(command string, t reflect.Type) []byte {
	if t == reflect.TypeFor[layout.Plan]() {
		return planfile.Schema()
	}
	compact := schema.Of(t, schema.Options{
		ID: "urn:seamwright:" + command, Title: "seamwright " + command + " --json",
		Description: "Lengths in mm, forces in N, times in s or min as the member says, angles in degrees, unless said otherwise.",
		Words:       layout.Words,
	})
	var out bytes.Buffer
	if err := json.Indent(&out, compact, "", "  "); err != nil {
		panic("schema of " + command + ": " + err.Error()) // it was just encoded: cannot happen
	}
	return out.Bytes()
}

// PrintJSON prints any result in the one layout of all results.
func (p *Call) PrintJSON(v any) error {
	e := json.NewEncoder(p.Out)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	return e.Encode(v)
}
