package program

import (
	"github.com/spf13/pflag"

	"seamwright/geometry/drawing"
	"seamwright/seams/rule"
)

// limits are the flags for how much a drawing may hold.
func (p *Call) limits(f *pflag.FlagSet) {
	f.Int64Var(&p.mostBook, "most-book-bytes", rule.DefaultBytes, "largest rule book that is read, bytes")
	f.Int64Var(&p.Most.Bytes, "most-bytes", drawing.DefaultBytes, "largest drawing or plan.json that is read, bytes")
	f.IntVar(&p.Most.Entities, "most-entities", drawing.DefaultEntities, "most entities of a drawing, its blocks inserted")
	f.IntVar(&p.Most.Points, "most-points", drawing.DefaultPoints, "most points of a drawing's lines and curves")
	f.Float64Var(&p.Most.Size, "most-size", drawing.DefaultSize, "greatest side of a drawing, mm")
}

func (p *Call) checkLimits() error {
	if p.mostBook < 1 || p.Most.Bytes < 1 || p.Most.Entities < 1 || p.Most.Points < 2 || !(p.Most.Size > 0) {
		return Wrong("--most-book-bytes %d, --most-bytes %d, --most-entities %d, --most-points %d, --most-size %g: write "+
			"numbers above zero", p.mostBook, p.Most.Bytes, p.Most.Entities, p.Most.Points, p.Most.Size)
	}
	return nil
}
