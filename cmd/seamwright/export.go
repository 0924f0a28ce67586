package main

import (
	"bytes"
	"context"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/render/model"
	"seamwright/render/table"
)

// formats are the files for other programs, by their endings.
var formats = []struct {
	ending string
	write  func(ctx context.Context, done planned) ([]byte, error)
}{
	{"csv", func(_ context.Context, done planned) ([]byte, error) { return table.Welds(done.plan) }},
	{"xlsx", func(_ context.Context, done planned) ([]byte, error) { return table.Workbook(done.plan) }},
	{"dxf", func(_ context.Context, done planned) ([]byte, error) {
		var b bytes.Buffer
		err := model.DXF(&b, done.plan)
		return b.Bytes(), err
	}},
	{"glb", func(ctx context.Context, done planned) ([]byte, error) {
		loaded, err := done.made.Parts(ctx)
		if err != nil {
			return nil, badInput(err)
		}
		panels := make([]model.Panel, len(loaded))
		for i, p := range loaded {
			panels[i] = model.Panel{ID: p.Panel.ID, Mesh: p.Shape.Mesh}
		}
		var b bytes.Buffer
		err = model.GLB(&b, done.plan, panels)
		return b.Bytes(), err
	}},
	{"xmcf", func(_ context.Context, done planned) ([]byte, error) {
		var b bytes.Buffer
		err := model.XMCF(&b, done.plan)
		return b.Bytes(), err
	}},
}

func (p *program) export() *cobra.Command {
	var to, file string
	c := &cobra.Command{
		Use:   "export SHELL --to csv|xlsx|dxf|glb|xmcf [-o FILE]",
		Short: "Write the welds for other programs",
		Long: `export plans the shell and writes it for other programs:
  csv    welds as a table
  xlsx   welds, runs, joints, settings, work, money and findings as a workbook
  dxf    welds as points, their axes as lines, by station and step
  glb    panels, welds and roller seams as a model (glTF 2.0)
  xmcf   joints in the open joining XML (xMCF 3.1.1, ISO/PAS 8329:2024); what is assumed stands in the file`,
		Args: count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if to == "" {
				to = strings.TrimPrefix(filepath.Ext(file), ".")
			}
			var known []string
			for _, f := range formats {
				if known = append(known, f.ending); !strings.EqualFold(f.ending, to) {
					continue
				}
				out, err := p.destination(file, "an export to "+f.ending, "."+f.ending, ".txt", ".xml")
				if err != nil {
					return err
				}
				done, err := p.build(c.Context(), args[0])
				if err != nil {
					return err
				}
				data, err := f.write(c.Context(), done)
				if err != nil {
					return err
				}
				if err := p.write(out, data, ""); err != nil {
					return err
				}
				return verdict(done.plan)
			}
			return inputError{fmt.Errorf("export to %q is not known: write --to with one of %s", to, strings.Join(known, ", "))}
		},
	}
	c.Flags().StringVar(&to, "to", "", "format; default: by the ending of the file")
	c.Flags().StringVarP(&file, "output", "o", "", "file; default: standard output")
	p.overrides(c)
	return c
}
