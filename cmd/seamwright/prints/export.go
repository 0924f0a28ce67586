package prints

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/render/model"
	"seamwright/render/table"
)

// formats are the files for other programs, by their endings.
var formats = []struct {
	ending string
	write  func(ctx context.Context, done program.Planned) ([]byte, error)
}{
	{"csv", func(_ context.Context, done program.Planned) ([]byte, error) { return table.Welds(done.Plan) }},
	{"xlsx", func(_ context.Context, done program.Planned) ([]byte, error) { return table.Workbook(done.Plan) }},
	{"dxf", func(_ context.Context, done program.Planned) ([]byte, error) {
		var b bytes.Buffer
		err := model.DXF(&b, done.Plan)
		return b.Bytes(), err
	}},
	{"glb", func(ctx context.Context, done program.Planned) ([]byte, error) {
		loaded, err := done.Made.Parts(ctx)
		if err != nil {
			return nil, program.BadInput(err)
		}
		panels := make([]model.Panel, len(loaded))
		for i, p := range loaded {
			panels[i] = model.Panel{ID: p.Panel.ID, Mesh: p.Shape.Mesh}
		}
		var b bytes.Buffer
		err = model.GLB(&b, done.Plan, panels)
		return b.Bytes(), err
	}},
	{"xmcf", func(_ context.Context, done program.Planned) ([]byte, error) {
		var b bytes.Buffer
		err := model.XMCF(&b, done.Plan)
		return b.Bytes(), err
	}},
}

// Export makes the command export.
func Export(p *program.Call) *cobra.Command {
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
		Args: program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if to == "" {
				to = strings.TrimPrefix(filepath.Ext(file), ".")
			}
			var known []string
			for _, f := range formats {
				if known = append(known, f.ending); !strings.EqualFold(f.ending, to) {
					continue
				}
				out, err := p.Destination(file, "an export to "+f.ending, "."+f.ending, ".txt", ".xml")
				if err != nil {
					return err
				}
				done, err := p.Build(c.Context(), args[0])
				if err != nil {
					return err
				}
				data, err := f.write(c.Context(), done)
				if err != nil {
					return err
				}
				if err := p.Write(out, data, ""); err != nil {
					return err
				}
				return program.Verdict(done.Plan)
			}
			return program.Wrong("export to %q is not known: write --to with one of %s", to, strings.Join(known, ", "))
		},
	}
	c.Flags().StringVar(&to, "to", "", "format; default: by the ending of the file")
	c.Flags().StringVarP(&file, "output", "o", "", "file; default: standard output")
	p.Overrides(c)
	return c
}
