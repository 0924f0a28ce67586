package wide_test

import (
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"seamwright/internal/record"
	"seamwright/seams/roller"
	"seamwright/seams/rule"
	"seamwright/seams/setting"
	"seamwright/seams/strength"
)

// What rules, tables and methods say of stacks of sheets, drawn at random, is as it was: the first figures of each, and sums of all, with
// every source of every rule, every table and every method, within their ranges and beyond.
func TestStacksAsBefore(t *testing.T) {
	var b strings.Builder
	random := rand.New(rand.NewPCG(3, 9))
	for range 150 {
		stack := stackOf(random)
		opt := optionsOf(random)
		limits := rule.For(stack, opt)
		fmt.Fprintf(&b, "%s: d %.3f, pitch %.2f to %.2f, edge %.2f, end %.2f", stack, limits.WeldDiameter.Value, limits.LeastPitch.Value,
			limits.GreatestPitch.Value, limits.EdgeDistance.Value, limits.EndDistance.Value)
		lines, err := rule.Explain(stack, opt)
		fmt.Fprintf(&b, "; rules %s", sumOf(t, limits, lines, err, rule.CheckBy(opt.Book, stack), rule.CheckLimits(limits)))
		var settings, strengths, seams []any
		for _, table := range []string{"optimum", "class-a", "class-b", "class-c", "aws-c1.1"} {
			for _, supply := range []setting.Supply{"ac", "mfdc"} {
				set, err := setting.Spot(stack, setting.Options{Table: table, Frequency: 50 + 10*float64(random.IntN(2)), Supply: supply,
					AsBare: random.IntN(4) == 0})
				rate, none := set.WeldsPerMinute(40, 55)
				settings = append(settings, set, err, set.Duty(20), set.Energy(120e-6), rate, none)
			}
		}
		demand := strength.Demand{Shear: 4000 * random.Float64(), Flow: 30 * random.Float64(), Tension: 900 * random.Float64()}
		for _, method := range []strength.Method{strength.ByEurocode, strength.ByAISI, strength.ByAWS} {
			for _, of := range []strength.Options{{}, {Diameter: 3 + 3*random.Float64(), End: 6 + 9*random.Float64(), Edge: 4 + 6*random.Float64(),
				Pitch: 14 + 40*random.Float64(), Row: 8 + 20*random.Float64(), Nugget: 6 * random.Float64(), TensionFactor: 1 + random.Float64()}} {
				of.Method = method
				one, err := strength.Single(stack, of)
				n, none := one.Needed(demand, 250)
				strengths = append(strengths, one, err, n, none)
			}
		}
		for _, tight := range []bool{false, true} {
			set, err := roller.Set(stack, roller.Options{Frequency: 60, Speed: 20 * random.Float64(), Wheel: 3 + 4*random.Float64(), Loose: !tight})
			seams = append(seams, set, err)
			set, err = roller.Set(stack, roller.Options{Loose: tight})
			seams = append(seams, set, err, finite(set.Time(700)), finite(set.TimePerMetre()))
		}
		fmt.Fprintf(&b, ", settings %s, strength %s, seams %s\n", sumOf(t, settings...), sumOf(t, strengths...), sumOf(t, seams...))
	}
	record.Hold(t, "testdata/stacks.txt", b.String())
}

func finite(x float64) string { return fmt.Sprintf("%.9g", x) }

func stackOf(random *rand.Rand) rule.Stack {
	var stack rule.Stack
	for range 2 + random.IntN(5)/3 + random.IntN(8)/7 {
		t := math.Round(100*math.Exp(-.7+1.9*random.Float64())) / 100
		s := rule.Sheet{Thickness: t, Tensile: float64(270 + random.IntN(60)*random.IntN(14)), Yield: float64(140 + random.IntN(400))}
		s.Coating = []string{"", "none", "Z100", "Z275", "ZF100", "ZE25/25", "Z600"}[random.IntN(7)]
		stack = append(stack, s)
	}
	return stack
}

// optionsOf are figures and sources beside the book's own, in two cases of three.
func optionsOf(random *rand.Rand) rule.Options {
	opt := rule.Options{Book: rule.Book(), Across: random.IntN(2) == 0, Sealed: random.IntN(3) == 0, Face: 4 + 4*random.Float64()}
	if random.IntN(3) == 0 {
		opt.Tolerance, opt.Compression, opt.GapLimit = 2*random.Float64(), 250*random.Float64(), random.Float64()
	}
	if random.IntN(3) == 0 {
		for _, r := range opt.Book {
			if source := r.Sources[random.IntN(len(r.Sources))]; random.IntN(3) == 0 {
				if book, err := opt.Book.Choose(r.ID, source.ID, rule.FromDefault); err == nil {
					opt.Book = book
				}
			}
		}
		opt.LeastPitch, opt.GreatestPitch, opt.EdgeDistance, opt.EndDistance = 12+8*random.Float64(), 30*random.Float64(), 4+5*random.Float64(), 9
		opt.BendClearance, opt.TackEvery = 4*random.Float64(), 90+90*random.Float64()
	}
	return opt
}

// sumOf is a short sum of values, errors by their words.
func sumOf(t *testing.T, values ...any) string {
	t.Helper()
	sum := sha256.New()
	for _, v := range values {
		if err, ok := v.(error); ok {
			v = err.Error()
		}
		data, err := json.Marshal(v)
		if err != nil { // infinite
			data = fmt.Appendf(nil, "%+v", v)
		}
		sum.Write(data) // never fails
	}
	return fmt.Sprintf("%x", sum.Sum(nil)[:4])
}
