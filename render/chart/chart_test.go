package chart_test

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/render/chart"
	"seamwright/render/paper"
)

var sheet = paper.Size{Name: "test", Width: 190, Height: 200}

func ExampleBars() {
	p := paper.New(sheet, "minutes")
	bars := []chart.Bar{{Name: "weld", Value: 30, Text: "30.0"}, {Name: "practice", Value: -10, Text: "-10.0"}}
	chart.Bars(p, paper.Box{X0: 5, Y0: 5, X1: 185, Y1: 5 + chart.BarsHigh(bars)}, bars)
	for _, l := range p.Layers {
		for _, it := range l.Items {
			if it.Kind == paper.Rect {
				b := it.Box()
				fmt.Printf("%s from %.1f to %.1f\n", l.Name, b.X0, b.X1)
			}
		}
	}
	// Output:
	// chart white from 63.0 to 82.5
	// chart grey from 82.5 to 141.0
}

func ExampleStep() {
	fmt.Println(chart.Step(80, 6), chart.Step(0.3, 4), chart.Step(1e6, 5))
	// Output: 20 0.1 200000
}

// rects are the boxes of a layer.
func rects(p *paper.Page, layer string) []paper.Box {
	var out []paper.Box
	for _, l := range p.Layers {
		for _, it := range l.Items {
			if l.Name == layer && it.Kind == paper.Rect {
				out = append(out, it.Box())
			}
		}
	}
	return out
}

// A mover's white part ends and its grey part begins where the stated figure is.
func TestMoversMeetAtTheStated(t *testing.T) {
	p := paper.New(sheet, "movers")
	chart.Movers(p, paper.Box{X0: 0, Y0: 0, X1: 180, Y1: 40}, 100, []chart.Mover{{Name: "a", Low: 80, High: 130},
		{Name: "b", Low: 100, High: 110}})
	white, grey := rects(p, "chart white"), rects(p, "chart grey")
	if len(white) != 1 || len(grey) != 2 || !(math.Abs(white[0].X1-grey[0].X0) <= 1e-9) || !(math.Abs(grey[1].X0-grey[0].X0) <= 1e-9) {
		t.Fatalf("%v %v", white, grey)
	}
	if ratio := grey[0].Width() / white[0].Width(); !(math.Abs(ratio-1.5) <= 1e-9) { // 30 above, 20 below
		t.Errorf("%v", ratio)
	}
}

// A person who works half a takt and waits a quarter has bars of these lengths.
func TestCrew(t *testing.T) {
	p := paper.New(sheet, "crew")
	chart.Crew(p, paper.Box{X0: 0, Y0: 0, X1: 180, Y1: 40}, 40, []chart.Person{{Name: "x", Works: 20, Awaits: 10}})
	grey, white := rects(p, "chart grey"), rects(p, "chart white")
	if !(math.Abs(grey[0].Width()-2*white[0].Width()) <= 1e-9) || !(math.Abs(grey[0].Width()-39) <= 1e-9) { // of 78 mm
		t.Errorf("%v %v", grey, white)
	}
}

// Whatever the figures, a chart is drawn in its box, or not at all.
func TestChartsKeepTheirBox(t *testing.T) {
	value := rapid.OneOf(rapid.Float64Range(-1e6, 1e6), rapid.SampledFrom([]float64{0, 0.25, math.Inf(1), math.NaN(), 1e-9}))
	rapid.Check(t, func(t *rapid.T) {
		box := paper.Box{X0: 5, Y0: 5, X1: 185, Y1: 190}
		p := paper.New(sheet, "x")
		n := rapid.IntRange(0, 12).Draw(t, "n")
		var bars []chart.Bar
		var movers []chart.Mover
		var persons []chart.Person
		plot := chart.Plot{XName: "x", YName: "y", Dots: true, FromZero: rapid.Bool().Draw(t, "zero"), Level: value.Draw(t, "level")}
		for range n {
			a, b := value.Draw(t, "a"), value.Draw(t, "b")
			bars = append(bars, chart.Bar{Name: strings.Repeat("name ", 40), Value: a, Text: "1"})
			movers = append(movers, chart.Mover{Name: "m", Low: math.Min(a, b), High: math.Max(a, b)})
			persons = append(persons, chart.Person{Name: "p", Works: math.Abs(math.Mod(a, 60)), Awaits: 1})
			plot.Line = append(plot.Line, paper.Point{X: a, Y: b})
		}
		chart.Bars(p, box, bars)
		chart.Movers(p, box, value.Draw(t, "stated"), movers)
		chart.Crew(p, box, 60, persons)
		plot.Draw(p, box)
		for _, l := range p.Layers {
			for _, it := range l.Items {
				b := it.Box()
				if it.Kind != paper.Text && !(b.X0 >= box.X0-1 && b.X1 <= box.X1+1) {
					t.Fatalf("%s: %+v leaves the box", l.Name, b)
				}
			}
		}
		var svg bytes.Buffer
		if err := p.SVG(&svg); err != nil {
			t.Fatal(err)
		}
	})
}
