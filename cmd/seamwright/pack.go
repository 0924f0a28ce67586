package main

import (
	"bytes"
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"seamwright/internal/cache"
	"seamwright/render/pack"
	"seamwright/render/paper"
)

func (p *program) printSet() *cobra.Command {
	var station, file, size string
	var strips bool
	c := &cobra.Command{
		Use:   "pack SHELL [--station ID] -o FILE.pdf",
		Short: "Bind all sheets of the shell or of one station into a PDF",
		Long: `pack plans the shell and binds what is printed into one PDF with bookmarks: station by station the weld maps,
inspection sheets and the work at the jig, and for the whole shell the tree of sub-assemblies, labour and cost.
--strips adds the marking strips of all flanges that are welded.`,
		Args: count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if file == "" {
				return inputError{fmt.Errorf("pack needs a PDF file: add -o FILE.pdf")}
			}
			to, err := p.destination(file, "a pack", ".pdf")
			if err != nil {
				return err
			}
			opt := pack.Options{Strips: strips}
			if size != "" {
				if opt.MapSize, err = paper.ParseSize(size); err != nil {
					return badInput(err)
				}
			}
			done, err := p.build(c.Context(), args[0])
			if err != nil {
				return err
			}
			if err := p.writePack(c.Context(), done, station, to, opt); err != nil {
				return err
			}
			return verdict(done.plan)
		},
	}
	c.Flags().StringVar(&station, "station", "", "bind the sheets of this station only")
	c.Flags().BoolVar(&strips, "strips", false, "with marking strips")
	c.Flags().StringVar(&size, "paper", "", "size of the maps, A4 to A1; default: as each map needs")
	c.Flags().StringVarP(&file, "output", "o", "", "PDF file")
	p.overrides(c)
	return c
}

func (p *program) writePack(ctx context.Context, done planned, station string, to destination, opt pack.Options) error {
	set, err := p.bind(ctx, done, station, opt)
	if err != nil {
		return err
	}
	return p.write(to, set.PDF, ": "+many(set.Pages, "sheet"))
}

// bound is a print set as it is written to a file.
type bound struct {
	PDF   []byte
	Pages int
}

func (p *program) bind(ctx context.Context, done planned, station string, opt pack.Options) (bound, error) {
	b := p.bar()
	defer b.clear()
	defer p.stage("bind the print set")()
	opt.Workers, opt.Progress = p.workers, func(n, total int) { b.show("draw sheets", n, total) }
	key := done.kept.KeyOf("pack", cache.Input{Name: "plan", Value: done.made.Key}, cache.Input{Name: "station", Value: station},
		cache.Input{Name: "strips", Value: opt.Strips}, cache.Input{Name: "size", Value: opt.MapSize})
	return cache.Get(done.kept, key, func() (bound, error) {
		panels, err := done.panels(ctx)
		if err != nil {
			return bound{}, err
		}
		var book *paper.Book
		if station == "" {
			book, err = pack.Shell(ctx, done.plan, panels, opt)
		} else {
			book, err = pack.Station(ctx, done.plan, panels, station, opt)
			err = badInput(err)
		}
		if err != nil {
			return bound{}, err
		}
		var out bytes.Buffer
		err = book.PDF(&out)
		return bound{out.Bytes(), len(book.Pages)}, err
	})
}
