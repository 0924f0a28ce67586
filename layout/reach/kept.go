package reach

import (
	"context"
	"crypto/sha256"
	"slices"

	"seamwright/geometry/axial"
	"seamwright/internal/cache"
)

// looksKept are the looks at welds, kept by all that they depend on: what stands where, the tools, and how it is looked.
func looksKept(ctx context.Context, scene *axial.Scene, welds []Weld, tools []Tool, opt Options) ([]Result, error) {
	jig := jigKey(scene, tools, opt)
	keys := make([]cache.Key, len(welds))
	for i := range welds {
		keys[i] = opt.Cache.KeyOf("reach", cache.Input{Name: "jig", Value: jig}, cache.Input{Name: "weld", Value: &welds[i]})
	}
	return cache.Each(opt.Cache, keys, func(wanting []int) ([]Result, error) {
		asked := make([]Weld, len(wanting))
		for k, i := range wanting {
			asked[k] = welds[i]
		}
		return look(ctx, scene, asked, tools, opt)
	})
}

// jigKey is the key of all that looks at the welds of a scene share.
func jigKey(scene *axial.Scene, tools []Tool, opt Options) cache.Key {
	shapes, bare := make([][sha256.Size]byte, len(scene.Panels)), slices.Clone(scene.Panels)
	for i := range bare {
		shapes[i], bare[i].Shape = bare[i].Shape.Hash(), nil
	}
	how := opt
	how.Cache, how.Workers, how.Progress = nil, 0, nil
	return opt.Cache.KeyOf("reach-jig", cache.Input{Name: "panels", Value: bare}, cache.Input{Name: "shapes", Value: shapes},
		cache.Input{Name: "tools", Value: tools}, cache.Input{Name: "options", Value: how})
}
