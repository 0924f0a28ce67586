package wide_test

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"hash"
	"io"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/compare"
	"seamwright/layout/crews"
	"seamwright/layout/engine"
	"seamwright/layout/labour"
	"seamwright/layout/poses"
	"seamwright/layout/price"
	"seamwright/layout/quote"
	"seamwright/layout/setup"
	"seamwright/layout/strips"
	"seamwright/layout/supply"
	"seamwright/layout/survey"
	"seamwright/layout/whatif"
	"seamwright/render/cards"
	"seamwright/render/model"
	"seamwright/render/offer"
	"seamwright/render/pack"
	"seamwright/render/page"
	"seamwright/render/paper"
	"seamwright/render/sheet"
	"seamwright/render/strip"
	"seamwright/render/table"
	"seamwright/render/view"
	"seamwright/seams/inforce"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// figures are what one looks at first of a plan.
func figures(p *layout.Plan) string {
	var b strings.Builder
	line, seams := 0., 0.
	rows := map[int]int{}
	for _, f := range p.Flanges {
		line += f.Length
	}
	for _, w := range p.Welds {
		rows[w.Row]++
	}
	for _, s := range p.Seams {
		seams += s.Length
	}
	fmt.Fprintf(&b, "%d panels, %d joints, %d flanges of %.2f mm, %d stations\n", len(p.Panels), len(p.Joints), len(p.Flanges), line,
		len(p.Stations))
	fmt.Fprintf(&b, "%d welds (by row %v) in %d runs, %d seams of %.1f mm\n", len(p.Welds), rows, len(p.Runs), len(p.Seams), seams)
	c := p.Cost
	fmt.Fprintf(&b, "%.3f min and %.2f %s a shell, %.2f a batch\n", c.MinutesPerShell, c.CostPerShell, c.Currency, c.CostPerBatch)
	found := map[string]int{}
	for _, f := range p.Findings {
		found[string(f.Severity)+" "+f.Rule]++
	}
	for _, name := range slices.Sorted(maps.Keys(found)) {
		fmt.Fprintf(&b, "%d %s\n", found[name], name)
	}
	return b.String()
}

// made is sums of what is made of a shell, by kind, and the folder that it is written to as well, if any.
type made struct {
	sums map[string]hash.Hash
	dir  string
}

func (m *made) add(t *testing.T, kind, name string, data []byte, err error) {
	t.Helper()
	if err != nil {
		data = []byte("error: " + err.Error())
	}
	if m.sums[kind] == nil {
		m.sums[kind] = sha256.New()
	}
	fmt.Fprintf(m.sums[kind], "%s %d\n", name, len(data))
	m.sums[kind].Write(data) // never fails
	if m.dir == "" {
		return
	}
	file := filepath.Join(m.dir, "made", kind, name)
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
}

func (m *made) value(t *testing.T, kind, name string, v any, err error) {
	t.Helper()
	var data []byte
	if err == nil {
		data, err = json.MarshalIndent(v, "", " ")
	}
	m.add(t, kind, name+".json", data, err)
}

func (m *made) written(t *testing.T, kind, name string, write func(w io.Writer) error) {
	t.Helper()
	var b bytes.Buffer
	err := write(&b)
	m.add(t, kind, name, b.Bytes(), err)
}

func (m *made) pages(t *testing.T, kind, name string, pages []*paper.Page, err error) {
	t.Helper()
	if err != nil {
		m.add(t, kind, name, nil, err)
	}
	for i, p := range pages {
		m.written(t, kind, fmt.Sprintf("%s-%02d.svg", name, i+1), p.SVG)
	}
}

func (m *made) String() string {
	var b strings.Builder
	for _, kind := range slices.Sorted(maps.Keys(m.sums)) {
		fmt.Fprintf(&b, "%s %x\n", kind, m.sums[kind].Sum(nil)[:6])
	}
	return b.String()
}

// sections takes the plan's file apart.
func (m *made) sections(t *testing.T, text []byte) {
	var parts map[string]json.RawMessage
	if err := json.Unmarshal(text, &parts); err != nil {
		t.Fatal(err)
	}
	for name, part := range parts {
		m.add(t, "plan: "+name, name+".json", part, nil)
	}
}

// all draws and writes all that the program can.
func (m *made) all(t *testing.T, done *engine.Planned, sh *shell.Shell) {
	ctx := context.Background()
	plan := done.Plan
	loaded, err := done.Parts(ctx)
	if err != nil {
		t.Fatal(err)
	}
	panels := make([]view.Panel, len(loaded))
	meshes := make([]model.Panel, len(loaded))
	var light []page.Panel
	for i, p := range loaded {
		panels[i] = view.NewPanel(p.Panel.ID, p.Shape, p.Steel.Thickness)
		meshes[i] = model.Panel{ID: p.Panel.ID, Mesh: p.Shape.Mesh}
		of, err := page.Lighten(ctx, p.Panel.ID, p.Shape.Mesh)
		if err != nil {
			t.Fatal(err)
		}
		light = append(light, of)
	}
	const stamp = "0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef"
	m.drawings(t, plan, panels, stamp)
	m.written(t, "model: dxf", "plan.dxf", func(w io.Writer) error { return model.DXF(w, plan) })
	m.written(t, "model: glb", "plan.glb", func(w io.Writer) error { return model.GLB(w, plan, meshes) })
	m.written(t, "model: xmcf", "plan.xml", func(w io.Writer) error { return model.XMCF(w, plan) })
	m.page(t, plan, light)
	m.tables(t, plan)
	m.estimate(t, plan, sh, stamp)
	m.measured(t, plan, sh)
	m.checked(t, plan, sh)
	m.cuts(t, meshes)
	for i := 0; i < len(plan.Welds); i += 11 {
		tools, err := poses.At(plan, sh, loaded, i)
		m.value(t, "poses", fmt.Sprint(i), tools, err)
	}
}

func (m *made) drawings(t *testing.T, plan *layout.Plan, panels []view.Panel, stamp string) {
	ctx := context.Background()
	maps, err := sheet.Stations(ctx, plan, panels, sheet.Options{Hash: stamp, Workers: 1})
	m.value(t, "maps: counts", "maps", nil, err)
	for _, sheets := range maps {
		for _, s := range sheets {
			m.add(t, "maps", s.Name+".svg", s.SVG, nil)
			m.value(t, "maps: counts", s.Name, []any{s.Views, s.Labels, s.Faces}, nil)
		}
	}
	index := layout.NewIndex(plan)
	for _, f := range plan.Flanges {
		sheets, err := strip.Sheets(index, f.ID, strip.Options{Hash: stamp})
		if err != nil {
			m.add(t, "strips", f.ID, nil, err)
		}
		for _, s := range sheets {
			m.add(t, "strips", s.Name+".svg", s.SVG, nil)
		}
	}
	book, err := cards.Book(plan, stamp, cards.Options{Shell: min(2, plan.Shell.Batch)})
	m.pages(t, "cards", "card", pagesOf(book), err)
	if err == nil {
		m.written(t, "cards: pdf", "cards.pdf", book.PDF)
	}
	if len(plan.Welds)%2 == 1 { // the pack draws the maps once more
		return
	}
	size := []paper.Size{paper.A3, paper.A2, paper.A4}[len(plan.Welds)%3]
	book, err = pack.Shell(ctx, plan, panels, pack.Options{Strips: len(plan.Flanges) < 4, MapSize: size, Workers: 1})
	m.pages(t, "pack", "page", pagesOf(book), err)
}

func pagesOf(b *paper.Book) []*paper.Page {
	if b == nil {
		return nil
	}
	return b.Pages
}

func (m *made) page(t *testing.T, plan *layout.Plan, light []page.Panel) {
	parts, err := page.PartsOf(plan)
	if err != nil {
		t.Fatal(err)
	}
	text, err := parts.Since(nil, "")
	m.add(t, "page: parts", "parts.json", text, err)
	for _, fine := range []bool{false, true} {
		scene, err := page.Scene(plan, light, fine)
		m.add(t, "page: scene", fmt.Sprintf("scene-%t.glb", fine), scene, err)
	}
	for i, f := range plan.Flanges {
		graph, err := page.Graph(plan, f.ID, float64(300*i), page.Marks{Edge: 6.5, End: 8, LeastPitch: 16, GreatestPitch: 38,
			Gap: .02 + .12*float64(i%4)})
		m.add(t, "page: graph", fmt.Sprint(i, ".svg"), graph, err)
	}
}

func (m *made) tables(t *testing.T, plan *layout.Plan) {
	data, err := table.Welds(plan)
	m.add(t, "welds.csv", "welds.csv", data, err)
	data, err = table.Cost(plan)
	m.add(t, "cost.csv", "cost.csv", data, err)
	data, err = table.Workbook(plan)
	m.add(t, "welds.xlsx", "welds.xlsx", data, err)
	data, err = table.Steel(plan.Cost.Steel, plan.Cost.Currency)
	m.add(t, "steel.csv", "steel.csv", data, err)
	m.add(t, "report", "report.txt", table.Report(plan), nil)
}

// estimate is what is reckoned on with a plan.
func (m *made) estimate(t *testing.T, plan *layout.Plan, sh *shell.Shell, stamp string) {
	ctx := context.Background()
	q, err := quote.Of(ctx, plan, sh, quote.Options{Seed: quote.DefaultSeed, Trials: 300})
	m.value(t, "quote", "quote", q, err)
	if priced, err := price.Of(ctx, plan, sh); err != nil {
		m.value(t, "offer", "offer", nil, err)
	} else {
		m.value(t, "offer", "offer", priced, nil)
		m.pages(t, "offer: letter", "letter", append(offer.Letter(plan, priced, stamp), offer.Workings(plan, priced, stamp)...), nil)
		basis, err := labour.BasisOf(ctx, plan, sh)
		if err != nil {
			t.Fatal(err)
		}
		book, err := offer.Workbook(plan, basis, q, priced)
		m.add(t, "offer: workbook", "quote.xlsx", book, err)
	}
	m.pages(t, "offer: pictures", "picture", offer.PicturePages(plan, stamp), nil)
	m.pages(t, "offer: steel", "steel", offer.Steel(plan, stamp), nil)
	stated, err := crews.Stated(plan, sh)
	m.value(t, "line: stated", "line", stated, err)
	if err == nil {
		m.play(t, "line: stated", &stated, plan, sh)
	}
	takt := plan.Labour.ManMinutesPerShell / 3
	wants := []crews.Want{{Takt: takt}, {Takt: takt / 2, Crew: 2}, {Stations: 2}, {Stations: 4, KeepJigs: true}}
	for i, want := range wants[:2+len(plan.Welds)%3] { // four take as long as all else of an estimate
		want.Effort = 20_000
		line, err := crews.Balance(ctx, plan, sh, want)
		m.value(t, "line: balanced", fmt.Sprint("line", i), line, err)
		if err == nil && i == 1 {
			m.play(t, "line: balanced", &line, plan, sh)
		}
	}
	other := *sh
	other.Batch, other.Shifts, other.Rates.Labour = sh.Batch*3+1, 2, sh.Rates.Labour*1.25
	again, err := whatif.Again(ctx, plan, &other)
	if err != nil {
		m.value(t, "what if", "plan", nil, err)
		return
	}
	v, err := whatif.Of(ctx, "more", again, &other, 1)
	m.value(t, "what if", "variant", v, err)
	report, err := compare.Plans(plan, again, compare.Options{})
	m.value(t, "what if", "compare", report, err)
}

// measured are an original's welds, found askew with some missing and one too many, and the times of the first shells.
func (m *made) measured(t *testing.T, plan *layout.Plan, sh *shell.Shell) {
	ctx := context.Background()
	random := rand.New(rand.NewPCG(uint64(len(plan.Welds)), 5))
	text := "id,x [mm],y [mm],z [mm]\n"
	for i, w := range plan.Welds {
		if i%9 == 4 {
			continue
		}
		for range 1 + i/20%2*(i%5/4) {
			x, y := w.Position[0]*math.Cos(.02)-w.Position[1]*math.Sin(.02), w.Position[0]*math.Sin(.02)+w.Position[1]*math.Cos(.02)
			text += fmt.Sprintf("p%d,%.3f,%.3f,%.3f\n", i, x+12+1.6*random.NormFloat64(), y-7+1.6*random.NormFloat64(), w.Position[2]+3)
		}
	}
	points, notes, err := survey.Read(strings.NewReader(text), "points.csv", "")
	m.value(t, "survey", "points", []any{points, notes}, err)
	for _, opt := range []survey.Options{{}, {Tolerance: 2, Fixed: true}, {Tolerance: 1, Reach: 60}} {
		report, err := survey.Compare(plan, points, opt)
		m.value(t, "survey", fmt.Sprintf("report-%g-%t", opt.Tolerance, opt.Fixed), report, err)
	}
	accounts, err := labour.Accounts(ctx, plan, sh)
	m.value(t, "quote: fit", "accounts", accounts, err)
	var rows []quote.Actual
	for n := range min(sh.Batch, 5) {
		pace, err := labour.PaceAt(sh, n+1)
		if err != nil {
			t.Fatal(err)
		}
		minutes := map[string]float64{}
		for _, a := range accounts {
			minutes[a.Station] += pace.Minutes(a, sh) / float64(a.Crew)
		}
		for _, s := range plan.Stations {
			took := 1.12 * minutes[s.ID] * math.Exp(.06*random.NormFloat64())
			rows = append(rows, quote.Actual{Station: s.ID, Shell: n + 1, Minutes: took, Line: n + 2})
		}
	}
	m.value(t, "quote: fit", "plausible", fmt.Sprint(quote.Plausible(plan, rows)), nil)
	fit, err := quote.Recalibrate(ctx, plan, sh, rows)
	m.value(t, "quote: fit", "fit", fit, err)
}

// checked is what the rules say beside the findings: of each joint's stacks, and how far guns are used.
func (m *made) checked(t *testing.T, plan *layout.Plan, sh *shell.Shell) {
	ctx := context.Background()
	in, err := inforce.For(sh)
	if err != nil {
		t.Fatal(err)
	}
	budgets, err := supply.Budgets(ctx, plan, sh, in)
	m.value(t, "budgets", "budgets", budgets, err)
	for i := range sh.Joints {
		j := &sh.Joints[i]
		stacks, err := strips.Stacks(plan, in, j.ID)
		m.value(t, "rules", j.ID, stacks, err)
		for k, stack := range stacks {
			asked, err := setup.OfStack(stack, j, sh, in)
			m.value(t, "rules", fmt.Sprintf("%s-%d", j.ID, k), asked, err)
			lines, err := rule.Explain(stack, in.Options(j))
			m.value(t, "rules", fmt.Sprintf("%s-%d-lines", j.ID, k), lines, err)
		}
	}
}

// cuts are sections of panels, and ways along them.
func (m *made) cuts(t *testing.T, panels []model.Panel) {
	for _, p := range panels {
		box := p.Mesh.Box()
		middle := box.Min.Add(box.Max).Mul(.5)
		normal := r3.Vector{X: .8, Y: .6}
		m.value(t, "page: cut", p.ID, page.Cut(p.Mesh, normal, normal.Dot(middle)), nil)
		way, ok := page.Along(p.Mesh, p.Mesh.Vertices[0], p.Mesh.Vertices[len(p.Mesh.Vertices)-1])
		m.value(t, "page: cut", p.ID+"-along", []any{way, ok}, nil)
	}
}

func (m *made) play(t *testing.T, kind string, line *crews.Line, plan *layout.Plan, sh *shell.Shell) {
	how := crews.Play{Runs: 20, Seed: 3, Spread: .15, Limited: sh.Batch%2 == 0, Places: 1, Workers: 1}
	played, err := line.Simulate(context.Background(), plan, sh, how)
	m.value(t, kind, "played", played, err)
}
