package view

import (
	"context"
	"crypto/sha256"
	"slices"
	"sync"

	"seamwright/internal/cache"
)

// Pictures keeps pictures for those who draw the same panels again, as a sheet after a change of its welds: what was not asked
// for longest goes first. Nil keeps nothing. Several goroutines may use it.
type Pictures struct {
	mu   sync.Mutex
	most int       // pixels
	list []picture // the one that was asked for last comes last
}

type picture struct {
	key     cache.Key
	picture *Picture
}

// NewPictures keeps pictures of so many pixels in all; each takes 12 bytes.
func NewPictures(mostPixels int) *Pictures { return &Pictures{most: mostPixels} }

// shown is a panel as pictures depend on it.
type shown struct {
	ID        string
	Thickness float64
	Shape     [sha256.Size]byte
}

// Draw is the function Draw, with the pictures that are kept.
func (s *Pictures) Draw(ctx context.Context, panels []Panel, dir Direction, opt Options) (*Picture, error) {
	if s == nil {
		return Draw(ctx, panels, dir, opt)
	}
	var of []shown
	for _, p := range panels {
		of = append(of, shown{p.ID, p.Thickness, p.shape.Hash()})
	}
	plain := opt
	plain.Stamps = nil
	var none *cache.Cache
	key := none.KeyOf("picture", cache.Input{Name: "panels", Value: of}, cache.Input{Name: "direction", Value: dir},
		cache.Input{Name: "options", Value: plain})
	if p := s.find(key); p != nil {
		return p, nil
	}
	p, err := Draw(ctx, panels, dir, opt)
	if err == nil {
		s.keep(picture{key, p})
	}
	return p, err
}

func (s *Pictures) find(key cache.Key) *Picture {
	s.mu.Lock()
	defer s.mu.Unlock()
	i := slices.IndexFunc(s.list, func(p picture) bool { return p.key == key })
	if i < 0 {
		return nil
	}
	found := s.list[i]
	s.list = append(slices.Delete(s.list, i, i+1), found)
	return found.picture
}

// blindPixels is what a picture without pixels counts as: its lines take about as much.
const blindPixels = 1 << 14

func (p *Picture) pixels() int {
	if p.buffer == nil {
		return blindPixels
	}
	return len(p.buffer.tri)
}

func (s *Pictures) keep(p picture) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.list = append(s.list, p)
	pixels := 0
	for i := len(s.list) - 1; i >= 0; i-- {
		if pixels += s.list[i].picture.pixels(); pixels > s.most {
			s.list = slices.Delete(s.list, 0, i+1)
			return
		}
	}
}
