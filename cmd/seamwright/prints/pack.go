package prints

import (
	"bytes"
	"context"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/cache"
	"seamwright/render/pack"
	"seamwright/render/paper"
)

// Pack makes the command pack.
func Pack(p *program.Call) *cobra.Command {
	var station, file, size string
	var strips bool
	c := &cobra.Command{
		Use:   "pack SHELL [--station ID] -o FILE.pdf",
		Short: "Bind all sheets of the shell or of one station into a PDF",
		Long: `pack plans the shell and binds what is printed into one PDF with bookmarks: station by station the weld maps,
inspection sheets and the work at the jig, and for the whole shell the tree of sub-assemblies, labour and cost.
--strips adds the marking strips of all flanges that are welded.`,
		Args: program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if file == "" {
				return program.Wrong("pack needs a PDF file: add -o FILE.pdf")
			}
			to, err := p.Destination(file, "a pack", ".pdf")
			if err != nil {
				return err
			}
			opt := pack.Options{Strips: strips}
			if size != "" {
				if opt.MapSize, err = paper.ParseSize(size); err != nil {
					return program.BadInput(err)
				}
			}
			done, err := p.Build(c.Context(), args[0])
			if err != nil {
				return err
			}
			if err := writePack(c.Context(), p, done, station, to, opt); err != nil {
				return err
			}
			return program.Verdict(done.Plan)
		},
	}
	c.Flags().StringVar(&station, "station", "", "bind the sheets of this station only")
	c.Flags().BoolVar(&strips, "strips", false, "with marking strips")
	c.Flags().StringVar(&size, "paper", "", "size of the maps, A4 to A1; default: as each map needs")
	c.Flags().StringVarP(&file, "output", "o", "", "PDF file")
	p.Overrides(c)
	return c
}

func writePack(ctx context.Context, p *program.Call, done program.Planned, station string, to program.Destination, opt pack.Options) error {
	set, err := bind(ctx, p, done, station, opt)
	if err != nil {
		return err
	}
	return p.Write(to, set.PDF, ": "+program.Many(set.Pages, "sheet"))
}

// bound is a print set as it is written to a file.
type bound struct {
	PDF   []byte
	Pages int
}

func bind(ctx context.Context, p *program.Call, done program.Planned, station string, opt pack.Options) (bound, error) {
	b := p.Bar()
	defer b.Clear()
	defer p.Stage("bind the print set")()
	opt.Workers, opt.Progress = p.Workers, func(n, total int) { b.Show("draw sheets", n, total) }
	key := done.Kept.KeyOf("pack", cache.Input{Name: "plan", Value: done.Made.Key}, cache.Input{Name: "station", Value: station},
		cache.Input{Name: "strips", Value: opt.Strips}, cache.Input{Name: "size", Value: opt.MapSize})
	return cache.Get(done.Kept, key, func() (bound, error) {
		panels, err := done.Panels(ctx)
		if err != nil {
			return bound{}, err
		}
		var book *paper.Book
		if station == "" {
			book, err = pack.Shell(ctx, done.Plan, panels, opt)
		} else {
			book, err = pack.Station(ctx, done.Plan, panels, station, opt)
			err = program.BadInput(err)
		}
		if err != nil {
			return bound{}, err
		}
		var out bytes.Buffer
		err = book.PDF(&out)
		return bound{out.Bytes(), len(book.Pages)}, err
	})
}
