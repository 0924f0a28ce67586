package main

import (
	"fmt"
	"path/filepath"

	"github.com/spf13/cobra"

	"seamwright/internal/tarn"
)

func (p *program) demo() *cobra.Command {
	c := &cobra.Command{
		Use:   "demo [DIR]",
		Short: "Write the demo shell, an orchard-tractor cab, and plan it",
		Args:  count(0, 1, "at most one folder"),
		RunE: func(c *cobra.Command, args []string) error {
			dir := "tarn-demo"
			if len(args) == 1 {
				dir = args[0]
			}
			made, err := tarn.Files()
			if err != nil {
				return fmt.Errorf("make the demo: %w", err)
			}
			files := output{}
			for _, f := range made {
				files[f.Name] = f.Data
			}
			if err := tryFolder(dir); err != nil {
				return err
			}
			if err := p.writeFolder(c.Context(), dir, files); err != nil {
				return err
			}
			fmt.Fprintf(p.out, "demo written to %s: %d files\n", dir, len(files))
			return p.planInto(c.Context(), filepath.Join(dir, "shell.yaml"), filepath.Join(dir, "plan"), false)
		},
	}
	return c
}
