// Package commands is all of the program's commands, and those that are about the program itself: the local page's server, the keys of
// the shell file, what is kept between runs, the version.
package commands

import (
	"seamwright/cmd/seamwright/money"
	"seamwright/cmd/seamwright/panels"
	"seamwright/cmd/seamwright/prints"
	"seamwright/cmd/seamwright/program"
	"seamwright/cmd/seamwright/review"
)

// All are the program's commands.
func All() []program.Maker {
	return []program.Maker{
		panels.New, panels.Flanges,
		prints.Demo, prints.Plan, prints.Map, prints.Strip, prints.Export, prints.Pack, prints.Cards,
		money.Cost, money.Quote, money.Variants,
		review.Stations, review.Reach, review.Order, review.Rules, review.Check, review.Survey, review.Compare,
		serve, keysCommand, cacheCommand, versionCommand,
	}
}
