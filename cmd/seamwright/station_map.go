package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"seamwright/internal/cache"
	"seamwright/render/paper"
	"seamwright/render/sheet"
)

func (p *program) mapStation() *cobra.Command {
	var station, file, size string
	c := &cobra.Command{
		Use:   "map SHELL --station ID",
		Short: "Draw the weld map of one station as SVG",
		Args:  count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if station == "" {
				return inputError{fmt.Errorf("map needs a station: add --station ID")}
			}
			var paperSize paper.Size // empty: by need
			if size != "" {
				var err error
				if paperSize, err = paper.ParseSize(size); err != nil {
					return badInput(err)
				}
			}
			to, err := p.destination(file, "a map", ".svg")
			if err != nil {
				return err
			}
			done, err := p.buildWith(c.Context(), args[0], station)
			if err != nil {
				return err
			}
			sheets, err := p.stationMap(c.Context(), done, station, paperSize)
			if err != nil {
				return err
			}
			if err := p.writeSheets(c.Context(), to, sheets); err != nil {
				return err
			}
			return verdict(done.plan)
		},
	}
	c.Flags().StringVar(&station, "station", "", "station id")
	c.Flags().StringVarP(&file, "output", "o", "", "SVG file; further sheets get -2, -3 … before the ending; default: standard output, for "+
		"a single sheet")
	c.Flags().StringVar(&size, "paper", "", "sheet size, A4 to A1; default: the smallest that holds the map")
	p.overrides(c)
	return c
}

// stationMap are the sheets of one station, without their pages.
func (p *program) stationMap(ctx context.Context, done planned, station string, size paper.Size) ([]sheet.Sheet, error) {
	defer p.stage("draw the map")()
	key := done.kept.KeyOf("map", cache.Input{Name: "plan", Value: done.made.Key}, cache.Input{Name: "station", Value: station},
		cache.Input{Name: "size", Value: size})
	return cache.Get(done.kept, key, func() ([]sheet.Sheet, error) {
		panels, err := done.panels(ctx)
		if err != nil {
			return nil, err
		}
		sheets, err := sheet.Station(ctx, done.plan, panels, station, sheet.Options{Size: size, Hash: sheet.HashOf(done.made.Text)})
		if err != nil {
			return nil, fmt.Errorf("map of station %s: %w", station, err)
		}
		for i := range sheets {
			sheets[i].Page = nil
		}
		return sheets, nil
	})
}

func (p *program) writeSheets(ctx context.Context, to destination, sheets []sheet.Sheet) error {
	var data [][]byte
	for _, s := range sheets {
		data = append(data, s.SVG)
	}
	return p.writeSeveral(ctx, to, "the map", data)
}
