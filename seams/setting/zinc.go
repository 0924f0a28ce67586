package setting

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"sync"

	"seamwright/seams/rule"
)

// Zinc is added by BS 1140:1993, whose table has ranges for bare sheet and for three families of coating in bands of
// thickness: current and weld time by the difference of the ranges' middles, force by their ratio, since its bare sheet is
// pressed harder than that of the schedules here.
//
//go:embed zinc.csv
var zincText string

// ZincSource is where the additions come from; they were read at second hand.
const ZincSource = "BS 1140:1993 (replaced by EN ISO 14373) by coating and thickness against uncoated sheet at high force, as " +
	"reprinted in a " +
	"body-shop equipment brochure"

// span is a published range.
type span struct{ least, greatest float64 }

func (s span) middle() float64 { return (s.least + s.greatest) / 2 }

// band is one row of the table: sheet above over, up to and with to, mm.
type band struct {
	over, to             float64
	force, weld, current span // N, s, A
}

// zincBands are the rows of the table by family, thinnest first. They are compiled in and never change.
var zincBands = sync.OnceValues(func() (map[string][]band, error) { return parseZinc(zincText) })

func parseZinc(text string) (map[string][]band, error) {
	r := csv.NewReader(strings.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		return nil, fmt.Errorf("table of zinc: %w", err)
	}
	out := map[string][]band{}
	for _, row := range rows[1:] {
		var v [8]float64
		for i := range v {
			if v[i], err = strconv.ParseFloat(row[i+1], 64); err != nil {
				return nil, fmt.Errorf("table of zinc: %w", err)
			}
		}
		out[row[0]] = append(out[row[0]], band{v[0], v[1], span{v[2] * 1000, v[3] * 1000}, span{v[4] / 50, v[5] / 50},
			span{v[6] * 1000, v[7] * 1000}})
	}
	return out, nil
}

// The families of the table.
const bareFamily = "bare"

var families = map[rule.CoatingKind]string{
	rule.HotDipZinc: "hot-dip zinc", rule.ElectroZinc: "electrolytic zinc", rule.ZincIron: "zinc-iron and zinc-nickel",
	rule.ElectroZincNick: "zinc-iron and zinc-nickel",
}

// bandAt is the row for a thickness, and whether it lies outside of all of them: the nearest is taken then.
func bandAt(bands []band, thickness float64) (b band, outside bool) {
	const hair = 1e-9 // 0.8 mm belongs to the row that ends there
	for _, b := range bands {
		if thickness <= b.to+hair {
			return b, thickness < b.over-hair
		}
	}
	return bands[len(bands)-1], true
}

// addForZinc adds for the coating of the stack that asks for most current, and says so when a coating has no published
// addition here.
func (s *Setting) addForZinc(stack rule.Stack) error {
	bands, err := zincBands()
	if err != nil {
		return err
	}
	bare, outside := bandAt(bands[bareFamily], s.Thickness)
	family, coated := "", band{}
	var other, unknown bool
	for _, sheet := range stack {
		c, known := rule.ParseCoating(sheet.Coating)
		name, listed := families[c.Kind]
		unknown, other = unknown || !known, other || known && !listed && c.Kind != rule.Bare
		if !listed {
			continue
		}
		if b, _ := bandAt(bands[name], s.Thickness); family == "" || b.current.middle() > coated.current.middle() {
			family, coated = name, b
		}
	}
	if family != "" {
		s.addBand(family, bare, coated)
		if outside {
			s.note("%.3g mm is outside the table of coatings (0.4 to 3.0 mm): its nearest row is taken.", s.Thickness)
		}
	}
	if other {
		s.note("A coating without a column of its own: no published addition at hand, figures are without it; find the current by test.")
	}
	if unknown {
		s.note("A coating that is not a designation of EN 10346 or EN 10152: figures are for bare sheet; find the current by test.")
	}
	return nil
}

func (s *Setting) addBand(family string, bare, coated band) {
	force := func(a, b float64) float64 { return s.Force * (a/b - 1) }
	s.add(&s.Force, force(coated.force.middle(), bare.force.middle()), Addition{What: "force", Unit: "N",
		Least: force(coated.force.least, bare.force.least), Greatest: force(coated.force.greatest, bare.force.greatest)})
	s.add(&s.Weld, coated.weld.middle()-bare.weld.middle(), Addition{What: "weld", Unit: "s", Least: coated.weld.least - bare.weld.least,
		Greatest: coated.weld.greatest - bare.weld.greatest})
	s.add(&s.Current, coated.current.middle()-bare.current.middle(), Addition{What: "current", Unit: "A",
		Least: coated.current.least - bare.current.least, Greatest: coated.current.greatest - bare.current.greatest})
	s.from("zinc: "+ZincSource, rule.SecondHand)
	s.note("%s%s, above %g to %g mm: +%.2f kN, +%.3f s and +%.1f kA are in force, weld time and current, the middle of the published "+
		"ranges; "+
		"expected nugget and strength are those of bare sheet.", strings.ToUpper(family[:1]), family[1:], coated.over, coated.to,
		s.Additions[0].Taken/1000, s.Additions[1].Taken, s.Additions[2].Taken/1000)
}

func (s *Setting) add(to *float64, taken float64, a Addition) {
	a.Least, a.Greatest = math.Min(a.Least, a.Greatest), math.Max(a.Least, a.Greatest)
	a.Taken, a.Source, a.Certainty = taken, ZincSource, rule.SecondHand
	*to += taken
	s.Additions = append(s.Additions, a)
}

// from names one more source of the setting's figures; the whole is as sure as the least sure of them.
func (s *Setting) from(source string, certainty rule.Certainty) {
	s.Source += "; " + source
	s.Certainty = rule.Weakest(s.Certainty, certainty)
}
