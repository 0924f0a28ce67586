package prints

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/cache"
	"seamwright/render/paper"
	"seamwright/render/sheet"
)

// Map makes the command map.
func Map(p *program.Call) *cobra.Command {
	var station, file, size string
	c := &cobra.Command{
		Use:   "map SHELL --station ID",
		Short: "Draw the weld map of one station as SVG",
		Args:  program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if station == "" {
				return program.Wrong("map needs a station: add --station ID")
			}
			var paperSize paper.Size // empty: by need
			if size != "" {
				var err error
				if paperSize, err = paper.ParseSize(size); err != nil {
					return program.BadInput(err)
				}
			}
			to, err := p.Destination(file, "a map", ".svg")
			if err != nil {
				return err
			}
			done, err := p.BuildWith(c.Context(), args[0], station)
			if err != nil {
				return err
			}
			sheets, err := stationMap(c.Context(), p, done, station, paperSize)
			if err != nil {
				return err
			}
			if err := writeSheets(c.Context(), p, to, sheets); err != nil {
				return err
			}
			return program.Verdict(done.Plan)
		},
	}
	c.Flags().StringVar(&station, "station", "", "station id")
	c.Flags().StringVarP(&file, "output", "o", "", "SVG file; further sheets get -2, -3 … before the ending; default: standard output, for "+
		"a single sheet")
	c.Flags().StringVar(&size, "paper", "", "sheet size, A4 to A1; default: the smallest that holds the map")
	p.Overrides(c)
	return c
}

// stationMap are the sheets of one station, without their pages.
func stationMap(ctx context.Context, p *program.Call, done program.Planned, station string, size paper.Size) ([]sheet.Sheet, error) {
	defer p.Stage("draw the map")()
	key := done.Kept.KeyOf("map", cache.Input{Name: "plan", Value: done.Made.Key}, cache.Input{Name: "station", Value: station},
		cache.Input{Name: "size", Value: size})
	return cache.Get(done.Kept, key, func() ([]sheet.Sheet, error) {
		panels, err := done.Panels(ctx)
		if err != nil {
			return nil, err
		}
		sheets, err := sheet.Station(ctx, done.Plan, panels, station, sheet.Options{Size: size, Hash: sheet.HashOf(done.Made.Text)})
		if err != nil {
			return nil, fmt.Errorf("map of station %s: %w", station, err)
		}
		for i := range sheets {
			sheets[i].Page = nil
		}
		return sheets, nil
	})
}

func writeSheets(ctx context.Context, p *program.Call, to program.Destination, sheets []sheet.Sheet) error {
	var data [][]byte
	for _, s := range sheets {
		data = append(data, s.SVG)
	}
	return p.WriteSeveral(ctx, to, "the map", data)
}
