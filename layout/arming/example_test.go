package arming_test

import (
	"context"
	"fmt"
	"os"

	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/internal/plates"
	"seamwright/layout/arming"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/laying"
	"seamwright/seams/inforce"
	"seamwright/seams/parts"
	"seamwright/seams/shellfile"
)

func must[T any](v T, err error) T {
	if err != nil {
		panic(err)
	}
	return v
}

// Two plates lap: a gun is found for each weld.
func Example() {
	ctx := context.Background()
	dir := must(os.MkdirTemp("", "lap-*"))
	defer os.RemoveAll(dir)
	sh, _, err := shellfile.Read(must(plates.Lap(dir, "")), nil)
	if err != nil {
		panic(err)
	}
	loaded := must(parts.Load(ctx, sh, 0, nil))
	found := must(flange.Find(ctx, []flange.Sheet{loaded[0].Sheet, loaded[1].Sheet}, flange.Options{GapLimit: sh.GapLimit}))
	sh.Joints = joining.FoundJoints(loaded, found.Flanges)
	rules := must(inforce.For(sh))
	b := joining.Basis{Shell: sh, Parts: loaded, Rules: rules, Make: finding.By(rules.Book)}
	m := joining.Means{Progress: func(string, int, int) {}, Ways: joining.NewWays(loaded)}
	at := must(joining.Place(b))
	joints := must(joining.Join(ctx, b, m, at, found, cache.Key{}, true))
	seams := must(laying.Roll(ctx, b, m, at, joints))
	welds := must(laying.Lay(ctx, b, m, at, joints, seams))
	settings := must(laying.Choose(b, joints, seams, welds))
	armed := must(arming.Arm(ctx, b, m, at, joints, welds, settings))
	fmt.Println(len(armed[0].Welds), "welds with gun", armed[0].Welds[0].Gun.ID)
	// Output: 12 welds with gun gun-a
}
