package cards_test

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
	"seamwright/render/cards"
	"seamwright/render/pack"
	"seamwright/render/paper"
)

const hash = "6cbbc0af2a6ae9b34d8ccd13ed239ef3a062f5dd1637c25802cc8615905cde00"

// cab is a plan whose tips wear and whose names are awkward.
func cab(t testing.TB) *layout.Plan {
	t.Helper()
	sh := sample.Works()
	p := sample.Cab(sh)
	p.Shell = layout.Shell{Name: strings.Repeat("Long name of a cab ", 10), Number: "S-1", Revision: "A", Batch: sh.Batch}
	p.Stations[1].Name = "Flank, <both> & \"more\""
	for _, v := range sh.Tips {
		p.Tips = append(p.Tips, layout.Tip{ID: v.ID, Name: v.Name, Dress: v.Dress, Dressings: v.Dressings})
	}
	for i := range p.Stations {
		p.Stations[i].Crew = max(1, p.Stations[i].Crew)
	}
	var err error
	if p.Labour, p.Cost, err = labour.Estimate(t.Context(), p, sh); err != nil {
		t.Fatal(err)
	}
	return p
}

func book(t testing.TB, p *layout.Plan, opt cards.Options) *paper.Book {
	t.Helper()
	b, err := cards.Book(p, hash, opt)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// words are all texts of a page.
func words(p *paper.Page) string {
	var out []string
	for _, l := range p.Layers {
		for _, it := range l.Items {
			if it.Kind == paper.Text {
				out = append(out, it.Text)
			}
		}
	}
	return strings.Join(out, " ")
}

// decoder is a reader of codes and a program that makes pictures; they may only be missing where nobody relies on the test.
func decoder(t *testing.T) {
	t.Helper()
	for program, from := range map[string]string{"rsvg-convert": "librsvg2-bin", "zbarimg": "zbar-tools"} {
		if _, err := exec.LookPath(program); err != nil {
			if os.Getenv("CI") == "true" {
				t.Fatalf("%s is missing: install the Debian package %s", program, from)
			}
			t.Skipf("SKIPPED: THE CODES ARE NOT READ BACK: %s is missing, apt-get install %s", program, from)
		}
	}
}

// Every sheet of one shell says in its code which station, shell, sheet and plan it is of, as a decoder reads it from a picture at the
// resolution of an office printer.
func TestCodesAreReadBack(t *testing.T) {
	decoder(t)
	p, dir := cab(t), t.TempDir()
	var pages []*paper.Page
	var want []string
	for _, pg := range book(t, p, cards.Options{Shell: 7}).Pages {
		text := words(pg)
		switch {
		case strings.Contains(text, "Card of station"):
			continue
		case strings.Contains(text, "Travels with the shell"):
			want = append(want, pack.Code("shell", 7, "travels 1/1", hash))
		default:
			want = append(want, "")
		}
		pages = append(pages, pg)
	}
	for i, pg := range pages {
		name := filepath.Join(dir, fmt.Sprint(i))
		var svg bytes.Buffer
		if err := pg.SVG(&svg); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name+".svg", svg.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		if text, err := exec.Command("rsvg-convert", "-d", "200", "-p", "200", name+".svg", "-o", name+".png").CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, text)
		}
		out, err := exec.Command("zbarimg", "--raw", "-q", "-Sdisable", "-Sqrcode.enable", name+".png").Output()
		if err != nil {
			t.Fatalf("page %d: no code is found: %v", i, err)
		}
		got := strings.TrimSpace(string(out))
		if want[i] == "" {
			text := words(pg)
			for _, s := range p.Stations {
				for k := 1; k < 9; k++ {
					for of := k; of < 9; of++ {
						if c := pack.Code(s.ID, 7, fmt.Sprintf("inspection %d/%d", k, of), hash); c == got && strings.Contains(text, fmt.Sprintf("%d/%d",
							k, of)) &&
							strings.Contains(text, "S-1 / "+s.ID) {
							want[i] = got
						}
					}
				}
			}
		}
		if got != want[i] {
			t.Errorf("page %d: the code says %q, want %q; on the page: %.80s", i, got, want[i], words(pg))
		}
	}
	if len(pages) < 1+len(p.Stations) {
		t.Errorf("%d sheets of one shell", len(pages))
	}
}

// What the cards and sheets ask for over the batch is what the labour counts, but for a part of one with each tool and pair of caps.
func TestCouponsAreCounted(t *testing.T) {
	p := cab(t)
	index := layout.NewIndex(p)
	asked, counted := 0, 0.0
	for _, s := range p.Stations {
		for n := 1; n <= p.Shell.Batch; n++ {
			due := index.Station(s.ID).CouponsDue(p.Labour.CouponsEach, n)
			asked += len(due)
			pages, err := pack.Inspection(p, index, s.ID, n, hash)
			if err != nil {
				t.Fatal(err)
			}
			text := ""
			for _, pg := range pages {
				text += words(pg)
			}
			if want := fmt.Sprintf("Due on this shell: %d coupon", len(due)); !strings.Contains(text, want) {
				t.Fatalf("%s, shell %d: %q is not on its inspection sheet", s.ID, n, want)
			}
		}
	}
	for _, l := range p.Labour.Lines {
		if l.Kind == layout.WorkCoupon {
			counted += l.Quantity * float64(p.Shell.Batch)
		}
	}
	if off := counted - float64(asked); off < 0 || off >= float64(len(p.Stations)+3) {
		t.Errorf("%d are asked for, %.2f counted", asked, counted)
	}
}

// All text stays on its sheet, and nothing is said of a shell that is not in the batch.
func TestCards(t *testing.T) {
	p := cab(t)
	for _, pg := range book(t, p, cards.Options{Shell: 24}).Pages {
		for _, l := range pg.Layers {
			for _, it := range l.Items {
				if b := it.Box(); b.X0 < 0 || b.Y0 < 0 || b.X1 > pg.Width || b.Y1 > pg.Height {
					t.Fatalf("%q leaves the sheet: %+v", it.Text, b)
				}
			}
		}
	}
	if got := len(book(t, p, cards.Options{Station: "side"}).Marks); got != 1 {
		t.Errorf("%d documents for one station", got)
	}
	if got := book(t, p, cards.Options{Shell: 2}); len(got.Marks) != 3+1+3 {
		t.Errorf("%+v", got.Marks)
	}
	for _, opt := range []cards.Options{{Shell: 25}, {Shell: -1}, {Station: "nowhere"}} {
		if _, err := cards.Book(p, hash, opt); err == nil || !strings.Contains(err.Error(), "cards: ") {
			t.Errorf("%+v: %v", opt, err)
		}
	}
}

func Example() {
	sh := sample.Works()
	p := sample.Cab(sh)
	p.Shell.Batch = sh.Batch
	book, err := cards.Book(p, hash, cards.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(book.Marks[0].Title)
	// Output: Card of station floor
}
