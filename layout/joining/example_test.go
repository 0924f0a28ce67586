package joining_test

import (
	"context"
	"fmt"
	"os"

	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/internal/plates"

	"seamwright/layout/finding"
	"seamwright/layout/joining"
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

// Two plates lap: one joint is found, on one flange.
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
	fmt.Printf("joint %s at station %s: %d flange of %.0f mm\n", joints.Joints[0].ID, joints.Joints[0].Station, len(joints.Strips),
		joints.Flanges[0].Length)
	// Output: joint a+b at station main-jig: 1 flange of 400 mm
}
