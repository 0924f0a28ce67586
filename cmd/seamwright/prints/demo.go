package prints

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/tarn"
)

// Demo makes the command demo.
func Demo(p *program.Call) *cobra.Command {
	c := &cobra.Command{
		Use:   "demo [DIR]",
		Short: "Write the demo shell, an orchard-tractor cab, and plan it",
		Args:  program.Count(0, 1, "at most one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			dir := "tarn-demo"
			if len(args) == 1 {
				dir = args[0]
			}
			made, err := tarn.Files()
			if err != nil {
				return fmt.Errorf("make the demo: %w", err)
			}
			files := program.Output{}
			for _, f := range made {
				files[f.Name] = f.Data
			}
			if err := program.TryFolder(dir); err != nil {
				return err
			}
			if err := p.WriteFolder(c.Context(), dir, files); err != nil {
				return err
			}
			fmt.Fprintf(p.Out, "demo written to %s: %d files\n", dir, len(files))
			return planInto(c.Context(), p, filepath.Join(dir, "shell.yaml"), filepath.Join(dir, "plan"), false)
		},
	}
	return c
}
