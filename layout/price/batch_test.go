package price

import (
	"context"
	"math"
	"testing"

	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
)

// In another batch each station takes longer or shorter as its work does, whatever its crew's schedule makes of that.
func TestStationsInAnotherBatch(t *testing.T) {
	sh := sample.Works()
	p := sample.Cab(sh)
	var err error
	if p.Labour, p.Cost, err = labour.Estimate(context.Background(), p, sh); err != nil {
		t.Fatal(err)
	}
	for i := range p.Labour.Stations {
		p.Labour.Stations[i].Minutes *= 1.37
	}
	other := *sh
	other.Batch = 3 * sh.Batch
	got, err := forBatch(context.Background(), p, &other)
	if err != nil {
		t.Fatal(err)
	}
	for i, was := range p.Labour.Stations {
		now := got.Labour.Stations[i]
		if was.ManMinutes == 0 || now.ManMinutes >= was.ManMinutes {
			t.Fatalf("%+v in a batch of %d, %+v in one of %d: no practice", was, sh.Batch, now, other.Batch)
		}
		if !(math.Abs(now.Minutes*was.ManMinutes-was.Minutes*now.ManMinutes) <= 1e-9) {
			t.Errorf("station %s: %g min of %g, and %g of %g", was.Station, was.Minutes, was.ManMinutes, now.Minutes, now.ManMinutes)
		}
	}
}
