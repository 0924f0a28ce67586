package commands

import (
	"fmt"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/seams/shell"
)

// keyRow is one key of the shell file as keys --json prints it.
type keyRow struct {
	Name     string   `json:"name" about:"key, with dots between its levels"`
	Meaning  string   `json:"meaning" about:"what it means"`
	Unit     string   `json:"unit,omitempty" about:"unit"`
	Required bool     `json:"required,omitempty" about:"whether the shell file must have it"`
	Default  any      `json:"default,omitempty" about:"what stands in when it is left out"`
	Least    *float64 `json:"least,omitempty" about:"least value"`
	Greatest *float64 `json:"greatest,omitempty" about:"greatest value"`
	OrZero   bool     `json:"or_zero,omitempty" about:"whether 0 is allowed below the least"`
	Words    []string `json:"words,omitempty" about:"the words that it may be"`
	Source   string   `json:"source,omitempty" about:"source of the default"`
	Example  string   `json:"example" about:"a line of a shell file"`
}

func keysCommand(p *program.Call) *cobra.Command {
	var asJSON, schema bool
	c := &cobra.Command{
		Use:   "keys [KEY]",
		Short: "The keys of the shell file: unit, bounds, default, meaning and an example",
		Long: `keys prints each key of the shell file, or those that begin with KEY, or whose last part does, with what it means, its
unit and bounds, what stands in when it is left out, and a line as an example. --schema writes a JSON Schema of the shell
file: an editor that is told of it completes keys and marks mistakes while you type.`,
		Args: program.Count(0, 1, "at most the beginning of a key"),
		RunE: func(_ *cobra.Command, args []string) error {
			if schema && asJSON {
				return program.Wrong("--json and --schema print two things: give one of them")
			}
			if schema {
				text, err := shell.Schema()
				if err == nil {
					_, err = p.Out.Write(text)
				}
				return err
			}
			begin := ""
			if len(args) == 1 {
				begin = args[0]
			}
			keys := shell.KeysUnder(begin)
			if len(keys) == 0 {
				return program.Wrong("no key, and no last part of one, begins with %q: seamwright keys lists all", begin)
			}
			if asJSON {
				return p.PrintJSON(keyRows(keys))
			}
			for _, k := range keys {
				keyText(p, k)
			}
			return nil
		},
	}
	program.JSONFlags[[]keyRow](p, c, &asJSON, "print JSON")
	c.Flags().BoolVar(&schema, "schema", false, "write a JSON Schema of the shell file")
	return c
}

func keyText(p *program.Call, k shell.Key) {
	fmt.Fprintf(p.Out, "%s\n    %s\n", k.Name, k.Meaning)
	if may := k.MayBe(); may != "" {
		fmt.Fprintf(p.Out, "    may be: %s\n", may)
	}
	if left := k.LeftOut(); left != "" {
		fmt.Fprintf(p.Out, "    left out: %s\n", left)
	}
	if k.Source != "" {
		fmt.Fprintf(p.Out, "    source of the default: %s\n", k.Source)
	}
	fmt.Fprintf(p.Out, "    example: %s\n", k.Example())
}

func keyRows(keys []shell.Key) []keyRow {
	rows := make([]keyRow, len(keys))
	for i, k := range keys {
		rows[i] = keyRow{k.Name, k.Meaning, k.Unit, k.Required, k.Default, nil, nil, k.OrZero, k.Words, k.Source, k.Example()}
		if k.Least < k.Greatest {
			rows[i].Least, rows[i].Greatest = &k.Least, &k.Greatest
		}
	}
	return rows
}
