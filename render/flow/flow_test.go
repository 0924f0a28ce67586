package flow

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/render/paper"
)

// awkward are texts that tables must set: an empty one, a figure with decimals, none, a name of 200 letters, and what breaks drawings.
var awkward = []string{"", "0.25", "–", "10000", strings.Repeat("name-", 40), `Box <&"> 'rail'`, "a joint of some words, and more"}

// Any table in any boxes: all rows are set once and in order, nothing leaves its box, and no text lies on another.
func TestAnyTable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "columns")
		tab := &Table{Title: "Table", Letters: rapid.SampledFrom([]float64{0, 2.5, 3.5}).Draw(t, "letters"), Cut: true,
			Boxes: rapid.Bool().Draw(t, "boxes"), Spill: rapid.Bool().Draw(t, "spill"), Whole: rapid.Bool().Draw(t, "whole"),
			Note: rapid.SampledFrom([]string{"", "A note of some length that may be broken where the box ends, and goes on."}).Draw(t, "note")}
		for c := range n {
			tab.Columns = append(tab.Columns, Column{Head: rapid.SampledFrom([]string{"", "Head", "Two\nlines"}).Draw(t, fmt.Sprint("head", c)),
				Share: rapid.SampledFrom([]float64{0, 1, 2}).Draw(t, fmt.Sprint("share", c)), Right: rapid.Bool().Draw(t, fmt.Sprint("right", c))})
		}
		rows := rapid.IntRange(1, 12).Draw(t, "rows")
		want := ""
		for r := range rows {
			row := make([]string, n)
			for c := range row {
				row[c] = rapid.SampledFrom(awkward).Draw(t, "cell")
			}
			row[0] = fmt.Sprintf("row%d", r)
			want += row[0]
			tab.Rows = append(tab.Rows, row)
		}
		box := paper.Box{X0: 10, Y0: 10, X1: 10 + rapid.Float64Range(60*float64(n), 400).Draw(t, "wide"), Y1: 10 +
			rapid.Float64Range(70, 250).Draw(t, "high")}
		got := ""
		for pages := 0; tab.Left() > 0; pages++ {
			if pages > 400 {
				t.Fatal("it never ends")
			}
			page := paper.New(paper.A3, "")
			high := tab.Draw(NewPen(page), box, true)
			if high == 0 || high > box.Height()+1e-9 {
				t.Fatalf("%.1f mm used of %.1f", high, box.Height())
			}
			var texts []paper.Item
			for _, l := range page.Layers {
				for _, it := range l.Items {
					if b := it.Box(); it.Kind == paper.Text {
						texts = append(texts, it)
						if !box.Grow(0.01).Holds(b) {
							t.Fatalf("%q at %.1f leaves %.1f", it.Text, b, box)
						}
					}
				}
			}
			for i, a := range texts {
				if strings.HasPrefix(a.Text, "row") {
					got += a.Text
				}
				for _, b := range texts[i+1:] {
					if a.Box().Overlaps(b.Box()) {
						t.Fatalf("%q lies on %q", a.Text, b.Text)
					}
				}
			}
		}
		if got != want {
			t.Fatalf("rows %s, want %s", got, want)
		}
	})
}

// A table that must not be cut waits for the next box, and what fits goes before it.
func TestFillTakesWhatFits(t *testing.T) {
	rows := func(n int) (out [][]string) {
		for i := range n {
			out = append(out, []string{fmt.Sprint(i)})
		}
		return out
	}
	one := []Column{{Head: "No", Share: 1}}
	long, small := &Table{Title: "Long", Columns: one, Rows: rows(8)}, &Table{Title: "Small", Columns: one, Rows: rows(2)}
	whole := &Table{Title: "Whole", Columns: one, Rows: rows(12), Whole: true}
	box := paper.Box{X1: 100, Y1: 100}
	left, rest := Fill(NewPen(paper.New(paper.A4, "")), []*Table{long, whole, small}, box)
	if len(left) != 1 || left[0] != whole || whole.Left() < 12 || small.Left() > 0 || rest.Y0 < 80 {
		t.Errorf("left %d tables, room from %.1f", len(left), rest.Y0)
	}
	if left, _ = Fill(NewPen(paper.New(paper.A4, "")), left, box); len(left) != 0 {
		t.Error("it finds no room on a fresh sheet")
	}
}

// A row too high for any box is set piece by piece where that is wanted, and else not at all.
func TestRowHigherThanABox(t *testing.T) {
	tab := func(cut bool) *Table {
		return &Table{Columns: []Column{{Share: 1}}, Rows: [][]string{{strings.Repeat("word ", 400)}}, Cut: cut}
	}
	box := paper.Box{X1: 60, Y1: 40}
	if high := tab(false).Draw(NewPen(paper.New(paper.A4, "")), box, true); high != 0 {
		t.Errorf("%.1f mm of a row that does not fit", high)
	}
	cut, words := tab(true), 0
	for cut.Left() > 0 {
		page := paper.New(paper.A4, "")
		if cut.Draw(NewPen(page), box, true) == 0 {
			t.Fatal("nothing set")
		}
		for _, it := range page.Layers[0].Items {
			words += len(strings.Fields(it.Text))
		}
	}
	if words != 400 {
		t.Errorf("%d words of 400", words)
	}
}

func ExampleTable_Draw() {
	t := Table{Title: "Runs", Columns: []Column{{Head: "Welds"}, {Head: "Joint", Share: 1}},
		Rows: [][]string{{"1–4", "rail"}, {"5–9", "lamp"}}}
	page := paper.New(paper.A4, "Runs")
	high := t.Draw(NewPen(page), paper.Box{X0: 20, Y0: 20, X1: 200, Y1: 280}, true)
	fmt.Printf("%d rows left, %.1f mm used\n", t.Left(), high)
	// Output: 0 rows left, 22.2 mm used
}

// FillUp sets the first table, if it fits, and below it whole later ones; the rest comes back in its order, with all its rows. No set of
// others would fill the box more.
func TestFillUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var tables []*Table
		heights := map[*Table]float64{}
		box := paper.Box{X0: 20, Y0: 20, X1: 200, Y1: 220}
		for i := range rapid.IntRange(0, 14).Draw(t, "tables") {
			tab := &Table{Title: fmt.Sprint("Table ", i), Columns: Heads("=Head"), Whole: rapid.Bool().Draw(t, "whole")}
			for r := range rapid.IntRange(1, 30).Draw(t, "rows") {
				tab.Rows = append(tab.Rows, []string{fmt.Sprintf("table %d row %d", i, r)})
			}
			tables, heights[tab] = append(tables, tab), tab.WholeHigh(box.Width())
		}
		page := paper.New(paper.A4, "")
		left := FillUp(NewPen(page), slices.Clone(tables), box)
		next, used := 0, -Air
		for _, tab := range tables {
			if next < len(left) && left[next] == tab {
				next++
				continue
			}
			if tab.Left() != 0 {
				t.Fatalf("%s is gone with %d rows not set", tab.Title, tab.Left())
			}
			used += heights[tab] + Air
		}
		if next != len(left) {
			t.Fatalf("%d tables left over, %d of them in order", len(left), next)
		}
		if len(tables) == 0 || heights[tables[0]] > box.Height() {
			return
		}
		if used > box.Height()+1e-9 {
			t.Fatalf("%.2f mm set into %.2f", used, box.Height())
		}
		for i, tab := range left {
			if i < mostFilling && len(tables) <= mostFilling && used+Air+heights[tab] <= box.Height()-1e-6 {
				t.Fatalf("%s, %.2f mm, finds room beside %.2f mm", tab.Title, heights[tab], used)
			}
		}
	})
}
