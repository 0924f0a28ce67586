package order

import "errors"

// Sequence orders the stops of one station.
func Sequence(stops []Stop, opt Options) (Plan, error) {
	return Plan{}, errors.New("order: not written yet")
}
