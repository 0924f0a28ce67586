package labour

import (
	"context"
	"fmt"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// Kind is what an account's work belongs to.
type Kind int

// The kinds of accounts.
const (
	Handling Kind = iota // a station's work that belongs to no joint
	Spots                // a joint's spot welds
	Rolling              // a joint's roller seams
	kinds
)

func (k Kind) String() string { return [kinds]string{"handling", "spots", "roller seams"}[k] }

// By says which figure of the shell file a quantity follows besides what is counted from the plan.
type By string

// What quantities follow. Fixed ones are counted from the plan alone.
const (
	Fixed     By = ""
	WithAgain By = "x (1 + rework)"
	OnlyAgain By = "x rework"
	OneIn     By = "/ inspect_every"
	ByCoupons By = "x coupons"
	OverBatch By = "/ batch"
	FirstMade By = "/ batch, if there are coupons"        // coupons before the batch's first weld
	AfterCaps By = "x (1 + rework), if there are coupons" // a coupon for each pair of caps
	Drawn     By = "x (1 + rework) x utilisation"         // of current of spots
	Rolled    By = "x utilisation"                        // of current of rollers
	Flowing   By = "x man-minutes x water_l_per_min / 1000"
)

// Piece is one line of work (Each in seconds) or of money before practice, allowances and overhead.
type Piece struct {
	Kind    layout.LabourKind
	What    string
	Element string  // key of the shell file that Each comes from: an element's, a rate's, or a dotted one; empty: calculated
	Count   float64 // counted from the plan
	By      By
	Each    float64 // seconds or money a unit
	Usual   float64 // that stands in where the element is 0; 0: nothing does
	Unit    string
	From    string
	Hand    float64 // share that practice shortens, from 0 (machine-paced) to 1
	Weld    bool    // taken again with every weld that is made again
	Wage    bool    // overhead comes on top
	Tools   layout.Tools
}

// Account is the work and money of one joint at one station, or of a station's handling.
type Account struct {
	Station, Joint string // Joint is empty for handling
	Crew           int    // of the station
	Kind           Kind
	Welds          float64
	Work           []Piece // seconds
	Money          []Piece // besides wages for the work
	at             place
	welds          []weld
	rolls          int64 // micrometres of roller seam
}

// factor is what Count is multiplied by. Flowing needs the account's minutes and is the book's own.
func (b By) factor(sh *shell.Shell) float64 {
	again := sh.Allowances.Rework / 100
	switch b {
	case WithAgain:
		return 1 + again
	case OnlyAgain:
		return again
	case OneIn:
		if sh.Elements.InspectEvery == 0 {
			return 0
		}
		return 1 / float64(sh.Elements.InspectEvery)
	case ByCoupons:
		return sh.Elements.Coupons
	case OverBatch:
		return 1 / float64(sh.Batch)
	case FirstMade:
		if sh.Elements.Coupons == 0 {
			return 0
		}
		return 1 / float64(sh.Batch)
	case AfterCaps:
		if sh.Elements.Coupons == 0 {
			return 0
		}
		return 1 + again
	case Drawn:
		return (1 + again) * sh.Rates.Utilisation / 100
	case Rolled:
		return sh.Rates.Utilisation / 100
	}
	return 1
}

// Quantity is the piece's quantity for a shell of the given file.
func (p Piece) Quantity(sh *shell.Shell) float64 { return float64(p.Count * p.By.factor(sh)) }

// Accounts is everything that an estimate is made of, before rounding, in the order of the stations: handling first,
// then each joint's spots and seams. It is for those who reckon on with other figures; Estimate is the sum of it.
//
// Errors are those of Estimate.
func Accounts(ctx context.Context, p *layout.Plan, sh *shell.Shell) ([]Account, error) {
	e, err := newEstimator(p, sh)
	if err != nil {
		return nil, fmt.Errorf("labour: %w", err)
	}
	return e.accounts(ctx)
}
