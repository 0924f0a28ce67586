package sheet

import (
	"context"

	"seamwright/layout"
	"seamwright/render/figure"
	"seamwright/render/instructions"
	"seamwright/render/paper"
	"seamwright/render/view"
)

// job is one station's map in the making.
type job struct {
	ctx      context.Context
	plan     *layout.Plan
	index    *layout.Index
	station  layout.Station
	set      *figure.Set
	tables   *instructions.Tables
	pictures *view.Pictures
	hash     string   // of the plan
	code     paper.QR // what the map is of, for a phone at the jig
	thumbs   []*thumb
	gallery  *gallery
	whole    portrait // of all that is present
}

// collect chooses what a station's map shows.
func collect(ctx context.Context, index *layout.Index, panels []view.Panel, id string, kept *view.Pictures) (*job, error) {
	set, err := figure.New(index, panels, id, kept)
	if err != nil {
		return nil, err
	}
	return &job{ctx: ctx, plan: index.Plan, index: index, station: set.Here.Station, set: set,
		tables: instructions.New(set), pictures: kept}, nil
}
