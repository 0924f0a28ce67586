package flange

import (
	"crypto/sha256"

	"github.com/golang/geo/r3"

	"seamwright/internal/cache"
)

// seen is a sheet as those beside it see it: what it is, where the caller and the finder have it, and the part of its mesh that
// may come near another sheet.
type seen struct {
	Given, Rank int
	Sheet       Sheet // without its mesh
	Part        [sha256.Size]byte
	Loose, Scan bool
	Middle      r3.Vector // of its metal
	Area        float64
	Near        []int // ranks of those that it was met with
}

// seenLimits are what holds for all hosts.
type seenLimits struct {
	Options  Options
	Thickest float64 // of all sheets: how far from a host others are asked
}

// kept are the strips on a host, found unless those of the same host among the same sheets are known. The numbers of sheets
// are the caller's. A sheet that moves is seen by its neighbours, and its neighbours' parts may be others then: hosts beside
// those are looked at again as well.
func (f *finder) kept(host int, find func() (Found, error)) (Found, error) {
	make := func() (Found, error) {
		found, err := find()
		found.restore(f.order)
		return found, err
	}
	c := f.opt.Cache
	if c == nil {
		return make()
	}
	how := f.opt
	how.Cache, how.Workers, how.Progress = nil, 0, nil
	sheets := []seen{f.seen(host)}
	for _, x := range f.all.Neighbours[host] {
		sheets = append(sheets, f.seen(x))
	}
	key := c.KeyOf("host", cache.Input{Name: "sheets", Value: sheets}, cache.Input{Name: "limits", Value: seenLimits{how, f.all.Thickest}})
	return cache.Get(c, key, make)
}

func (f *finder) seen(x int) seen {
	p := f.all.Panels[x]
	out := seen{Given: f.order[x], Rank: x, Sheet: p.Sheet, Part: f.hashes[x](), Loose: p.Whole.Loose, Scan: p.Whole.Scan,
		Middle: p.Whole.Center, Area: p.Whole.Area, Near: f.all.Neighbours[x]}
	out.Sheet.Mesh, out.Sheet.Name = nil, ""
	return out
}
