package prints

import (
	"bytes"
	"context"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/layout"
	"seamwright/render/figure"
	"seamwright/render/paper"
	"seamwright/render/sheet"
	"seamwright/render/strip"
)

// Strip makes the command strip.
func Strip(p *program.Call) *cobra.Command {
	var flange, on, file string
	c := &cobra.Command{
		Use:   "strip SHELL --flange ID",
		Short: "Lay a flange flat at full size, to mark its welds through",
		Long: `strip lays a flange flat at full size on A4 pages, with its weld centres: print it at 100 %, cut it out, lay it
along the flange and mark the welds through. Lengths along the weld line are those of the face that it is laid on.`,
		Args: program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if flange == "" {
				return program.Wrong("strip needs a flange: add --flange ID; the ids are in plan.json and welds.csv")
			}
			to, err := p.Destination(file, "a marking strip", ".svg", ".pdf")
			if err != nil {
				return err
			}
			done, err := p.Build(c.Context(), args[0])
			if err != nil {
				return err
			}
			hash, err := sheet.Hash(done.Plan)
			if err != nil {
				return err
			}
			if on == "" {
				if on, err = mapFace(c.Context(), done, flange); err != nil {
					return err
				}
			}
			sheets, err := strip.Sheets(layout.NewIndex(done.Plan), flange, strip.Options{On: on, Hash: hash})
			if err != nil {
				return program.BadInput(err)
			}
			if err := writeStrip(c.Context(), p, to, sheets, flange); err != nil {
				return err
			}
			return program.Verdict(done.Plan)
		},
	}
	c.Flags().StringVar(&flange, "flange", "", "flange id, such as gutter/1")
	c.Flags().StringVar(&on, "on", "", "panel on whose outer face the strip is laid: the first or last of the stack; default: the one that "+
		"the map looks at")
	c.Flags().StringVarP(&file, "output", "o", "", "PDF or SVG file; further SVG pages get -2, -3 … before the ending; default: SVG on "+
		"standard output, for a single page")
	p.Overrides(c)
	return c
}

// mapFace is the panel of a flange on whose outer face the map of its station looks; empty for one that no station welds.
func mapFace(ctx context.Context, d program.Planned, flange string) (string, error) {
	index := layout.NewIndex(d.Plan)
	if index.Flange(flange) == nil {
		return "", nil // strip.Sheets lists what there is
	}
	for _, st := range d.Plan.Stations {
		if !slices.ContainsFunc(index.Station(st.ID).Flanges, func(f layout.Flange) bool { return f.ID == flange }) {
			continue
		}
		panels, err := d.Panels(ctx)
		if err != nil {
			return "", err
		}
		set, err := figure.New(index, panels, st.ID, nil)
		if err != nil {
			return "", err
		}
		return set.Faces()[flange], nil
	}
	return "", nil
}

// writeStrip writes one PDF, or one SVG for each page.
func writeStrip(ctx context.Context, p *program.Call, to program.Destination, sheets []strip.Sheet, flange string) error {
	if !strings.EqualFold(filepath.Ext(to.Name), ".pdf") {
		var data [][]byte
		for _, s := range sheets {
			data = append(data, s.SVG)
		}
		return p.WriteSeveral(ctx, to, "the marking strip", data)
	}
	book := paper.Book{Title: "Marking strip of flange " + flange}
	for _, s := range sheets {
		book.Pages = append(book.Pages, s.Page)
	}
	var b bytes.Buffer
	if err := book.PDF(&b); err != nil {
		return err
	}
	return p.Write(to, b.Bytes(), "")
}
