package browser_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"seamwright/internal/browser"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// set writes into a field of a form as somebody at the keyboard would.
func (b page) set(selector, value string) {
	b.T.Helper()
	browser.Told[bool](b.Tab, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.value = %q
		for (const k of ['input', 'change']) e.dispatchEvent(new Event(k, { bubbles: true })); return true })()`, selector, value))
}

// welds is how many the list holds, settled once the page has answered.
const welds = `document.querySelectorAll('#list button[data-weld]').length`

// What an engineer changes by hand: a weld left out and one moved by keyboard alone, welds kept out by a pull along the graph, a clamp
// moved, a variant planned without being saved; and what he looks at: a cut, the gun, a measurement, welds pointed out.
func TestPageEdits(t *testing.T) {
	file := lapShell(t, `joints: [{id: lap, panels: [a, b]}]
stations: [{id: bench, arrives: [a, b], clamps: [{id: C1, at_mm: [200, 50, 0.5], radius_mm: 20}],
  hold_points: [{id: H1, text: width, value_mm: 100, tolerance_mm: 1, at_mm: [200, 2, 1.05], to_mm: [200, 98, 0]}]}]
`)
	b := openPage(t, file)
	b.Do(chromedp.Navigate(b.URL))
	b.Is(welds + ` > 5`)
	before := browser.Told[int](b.Tab, welds)
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector('#list details[data-flange] > summary').click()`))
	b.Is(`document.querySelector('#graph svg') && !document.querySelector('#single').hidden && !document.querySelector('#clamp').hidden`)

	browser.Told[bool](b.Tab, `plan_of_test = null, fetch('/api/plan').then(r => r.json()).then(p => { plan_of_test = p }), true`)
	b.Is(`plan_of_test`)
	along := browser.Told[float64](b.Tab, `plan_of_test.welds.map(w => w.along).sort((a, b) => a - b)[3]`)
	b.Do(chromedp.Focus(`#single input[name=at]`))
	b.set(`#single input[name=at]`, fmt.Sprint(along))
	b.Do(chromedp.KeyEvent(kb.Enter))
	b.Is(welds + fmt.Sprintf(` === %d`, before-1))

	b.set(`#single input[name=at]`, "9.5")
	b.set(`#single select`, "move")
	b.Is(`!document.querySelector('#single input[name=to]').disabled`)
	b.set(`#single input[name=to]`, "14")
	b.Do(chromedp.Focus(`#single input[name=to]`), chromedp.KeyEvent(kb.Enter))
	b.Is(`document.querySelector('#answer').textContent.includes('weld at 9.5 mm of lap/1 moved to 14.0 mm')`)
	if said := browser.Told[string](b.Tab, `document.querySelector('#answer').textContent`); !strings.Contains(said, "mm of lap/1 left out") {
		t.Errorf("what was changed is told as %q", said)
	}
	changes := string(read(t, filepath.Join(filepath.Dir(file), "shell.changes.yaml")))
	for _, want := range []string{"joints.lap.welds", `"do":"leave-out"`, `"do":"move"`, `"to_mm":14`} {
		if !strings.Contains(changes, want) {
			t.Errorf("no %s in\n%s", want, changes)
		}
	}
	var plan struct {
		Welds []struct{ Along float64 }
	}
	if err := json.Unmarshal([]byte(must(t, "plan", file, "--json", "-o", filepath.Join(t.TempDir(), "p"))), &plan); err != nil {
		t.Fatal(err)
	}
	if len(plan.Welds) != before-1 {
		t.Errorf("the command line plans %d welds, the page %d", len(plan.Welds), before-1)
	}

	// A pull along the graph names the stretch; the form keeps welds out there.
	b.pull(`#graph svg`, 0.45, 0.6)
	field := func(name string) string {
		return "Number(document.querySelector('#keep-out input[name=" + name + "]').value)"
	}
	b.Is(field("to") + " > " + field("from"))
	stretch := browser.Told[[]float64](b.Tab, `['from', 'to'].map(n =>
		Number(document.querySelector('#keep-out input[name=' + n + ']').value))`)
	b.Do(chromedp.Focus(`#keep-out input[name=why]`), chromedp.KeyEvent("hinge"), chromedp.KeyEvent(kb.Enter))
	b.Is(`document.querySelector('#answer').textContent.includes('keep_outs')`)
	b.Is(fmt.Sprintf(`(fetch('/api/plan').then(r => r.json()).then(p => { plan_of_test = p }), plan_of_test.welds.length > 3 &&
		plan_of_test.welds.every(w => w.along < %v || w.along > %v))`, stretch[0]+1, stretch[1]-1))

	b.set(`#clamp input[name=along]`, "300")
	b.Do(chromedp.Focus(`#clamp input[name=along]`), chromedp.KeyEvent(kb.Enter))
	b.Is(`document.querySelector('#answer').textContent.includes('stations.bench.clamps.C1.at_mm')`)

	b.Do(chromedp.Focus(`#variant input`), chromedp.KeyEvent("clamp moved"), chromedp.KeyEvent(kb.Enter))
	b.Is(`document.querySelector('#variants').textContent.includes('clamp moved')`)

	b.gear()
	b.looks()
	b.several()
	b.Do(chromedp.Click("#undo"))
	b.Is(`!document.querySelector('#answer').textContent.includes('clamps.C1')`)
	b.Do(chromedp.Navigate(b.URL + "estimator")) // where the same variants stand
	b.Is(`document.querySelector('#variants').textContent.includes('clamp moved')`)
	if c := b.Complaints(); len(c) > 0 {
		t.Errorf("the browser complains: %s", strings.Join(c, "\n"))
	}
}

// gear gives the joint a gun, a tip and a table of its own, looks that its welds have them, and takes that back.
func (b page) gear() {
	b.T.Helper()
	for key, to := range map[string]string{"gun": "gun-b", "tip": "narrow", "setting_table": "class-c"} {
		b.set("#change select", key)
		b.Is(fmt.Sprintf(`[...document.querySelectorAll('#many-words option')].some(o => o.value === %q)`, to))
		b.Do(chromedp.Focus(`#change input[name=to]`))
		b.set("#change input[name=to]", to)
		b.Do(chromedp.KeyEvent(kb.Enter))
		b.Is(fmt.Sprintf(`document.querySelector('#answer').textContent.includes('joints.lap.%s %s')`, key, to))
	}
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector('#list button[data-weld="0"]').click()`))
	b.Is(`document.querySelector('#weld').textContent.includes('gun gun-b, tip narrow')`)
	b.set("#change select", "gun")
	b.set("#change input[name=to]", "") // what reaches best again
	b.Do(chromedp.Focus(`#change input[name=to]`), chromedp.KeyEvent(kb.Enter))
	b.Is(`/joints.lap.gun *(;|$)/.test(document.querySelector('#answer').textContent)`)
	for range 4 {
		said := browser.Told[string](b.Tab, `document.querySelector('#answer').textContent`)
		b.Do(chromedp.Click("#undo"))
		b.Is(fmt.Sprintf(`document.querySelector('#answer').textContent !== %q && document.querySelector('#work').hidden`, said))
	}
}

// pull draws the pointer across an element, from one share of its width to another, half-way up.
func (b page) pull(selector string, from, to float64) {
	b.T.Helper()
	at := browser.Told[[]float64](b.Tab, fmt.Sprintf(`(() => { const e = document.querySelector(%q); e.scrollIntoView({ block: 'center' })
		const r = e.getBoundingClientRect(); return [r.left, r.top, r.width, r.height] })()`, selector))
	x := func(share float64) float64 { return at[0] + share*at[2] }
	y := at[1] + at[3]*0.35
	b.Do(chromedp.MouseEvent("mousePressed", x(from), y, chromedp.ButtonLeft, chromedp.ClickCount(1)),
		chromedp.MouseEvent("mouseMoved", x((from+to)/2), y, chromedp.ButtonLeft),
		chromedp.MouseEvent("mouseMoved", x(to), y, chromedp.ButtonLeft),
		chromedp.MouseEvent("mouseReleased", x(to), y, chromedp.ButtonLeft, chromedp.ClickCount(1)))
}

// looks tries what the picture shows beside the plan; without the picture there is nothing to look at.
func (b page) looks() {
	b.T.Helper()
	if !browser.WithPicture() {
		return
	}
	b.Is(`window.viewer && viewer.box`)
	b.set("#point-out", "step: tack")
	b.Is(`viewer.chosen && viewer.chosen.size > 0 && viewer.chosen.size < viewer.byWeld.length`)
	b.set("#cut", "x")
	b.Is(`viewer.section.children.length === 2`) // two plates, cut across
	b.Shot("cut")
	b.set("#cut", "")
	b.Is(`viewer.section.children.length === 0`)
	b.Do(chromedp.Evaluate[chromedp.Void](`document.querySelector('#list button[data-weld]').click()`))
	b.Do(chromedp.Click("#gun"))
	b.Is(`viewer.gun.children.length >= 5`)
	b.Is(`viewer.blocked.children.length > 0`)
	b.Is(`[...document.querySelectorAll('#guns-list summary')].some(s => s.textContent.endsWith('as planned'))`)
	b.Is(`[...document.querySelectorAll('#guns-list button')].some(b => / by [ab]$/.test(b.textContent))`) // the plates themselves
	b.Shot("gun")
	b.Do(chromedp.Click("#gun"))
	b.Is(`viewer.gun.children.length === 0`)
	b.Do(chromedp.Click("#measure"))
	browser.Told[bool](b.Tab, `viewer.on.panel('a', [0, 50, 1.05]), viewer.on.panel('a', [30, 50, 1.05]), true`)
	b.Is(`document.querySelector('#measured').textContent.startsWith('30.0 mm (30.0 · 0.0 · 0.0; 30.0 mm along lap/1)')`)
	b.Is(`document.querySelector('#measured').textContent.endsWith('30.0 mm along panel a')`)
	b.Do(chromedp.Click("#measure"))
	b.Is(`viewer.fine.children.length === viewer.panels.children.length && viewer.fine.visible`) // the view rests
	b.apart()
}

// apart pulls the panels from each other: marks go with the first sheet of their flange, and can be picked there.
func (b page) apart() {
	b.T.Helper()
	b.set("#apart", "100")
	b.Is(`viewer.share === 1 && !viewer.asked`)
	const ways = `(() => {
		const a = viewer.panels.children.find(p => p.name === 'a'), m = viewer.marksOf[0], g = m.geometry
		const w = viewer.byWeld[m.userData.welds[0]], n = g.userData.shape.attributes.position.count, sum = [0, 0, 0]
		for (let i = 0; i < n; i++) for (let k = 0; k < 3; k++) sum[k] += g.attributes.position.array[3 * i + k] / n
		const line = viewer.lines.geometry.attributes.position.array, start = viewer.data.flanges[0].line[0].at
		return [a.position.clone().sub(a.userData.home).toArray(), sum.map((v, k) => v - w.position[k]),
			start.map((v, k) => line[k] - v), viewer.marks.children.find(m => m.userData.clamp).position.toArray(),
			[viewer.ties.visible ? viewer.ties.geometry.attributes.position.count : 0]]
	})()`
	got := browser.Told[[][]float64](b.Tab, ways)
	for k, name := range []string{"weld", "weld line", "clamp"} {
		for i, want := range got[0] {
			if !(math.Abs(got[k+1][i]-want) <= 1) {
				b.T.Errorf("pulled apart, the %s goes by %.1f, its sheet by %.1f", name, got[k+1], got[0])
				break
			}
		}
	}
	if got[0][1] > -15 || got[4][0] != 2 {
		b.T.Errorf("panel a is pulled by %.1f mm, with %v ends of ties", got[0], got[4])
	}
	b.Shot("apart")
	browser.Told[bool](b.Tab, `document.querySelector('canvas').scrollIntoView({ block: 'center' }), true`)
	at := browser.Told[[]float64](b.Tab, `(() => {
		const r = document.querySelector('canvas').getBoundingClientRect(), p = viewer.at(viewer.byWeld[4]).project(viewer.camera)
		return [r.left + (p.x + 1) / 2 * r.width, r.top + (1 - p.y) / 2 * r.height]
	})()`)
	b.Do(chromedp.MouseEvent("mousePressed", at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)),
		chromedp.MouseEvent("mouseReleased", at[0], at[1], chromedp.ButtonLeft, chromedp.ClickCount(1)))
	b.Is(`document.querySelector('#list button[aria-pressed=true]')?.dataset.weld === '4'`)
	b.set("#cut", "x")
	b.Is(`viewer.section.children.length === 2`)
	off := browser.Told[[]float64](b.Tab, `(() => {
		const by = id => (p => p.position.clone().sub(p.userData.home))(viewer.panels.children.find(p => p.name === id))
		const at = viewer.spans[0].line.geometry.attributes.position, end = k => viewer.camera.position.clone().fromBufferAttribute(at, k)
		return [end(0).distanceTo(by('a').add({ x: 200, y: 2, z: 1.05 })), end(1).distanceTo(by('b').add({ x: 200, y: 98, z: 0 })),
			...viewer.section.children.map(l => l.position.distanceTo(by(l.userData.panel)))]
	})()`)
	for k, d := range off {
		if d > 0.01 {
			name := []string{"the near end of the hold point", "its far end", "the first cut line", "the second"}[k]
			b.T.Errorf("pulled apart, %s is %.2f mm off", name, d)
		}
	}
	reach := browser.Told[float64](b.Tab, `Math.max(...[...viewer.lines.geometry.attributes.position.array].filter((_, i) => i % 3 === 0))`)
	if !(math.Abs(reach-200) <= 0.01) {
		b.T.Errorf("cut at x = 200, the weld line goes on to %.2f", reach)
	}
	b.Shot("apart-cut")
	b.set("#cut", "")
	b.Is(`viewer.section.children.length === 0`)
	b.set("#apart", "0")
	for k, way := range browser.Told[[][]float64](b.Tab, ways)[:4] {
		for _, v := range way {
			if !(math.Abs(v) <= 1) {
				b.T.Errorf("together again, %d is off by %.1f", k, way)
				break
			}
		}
	}
	b.Is(`!viewer.ties.visible`)
}

// several changes all joints that are shown at once, by the keyboard, and takes that back.
func (b page) several() {
	b.T.Helper()
	browser.Told[bool](b.Tab, `document.querySelector('#several').open = true`)
	b.Do(chromedp.Focus(`#many-joints input`), chromedp.KeyEvent(" "))
	b.set("#many select", "fill")
	b.Is(`document.querySelector('#many-words').children.length === 3`)
	b.Do(chromedp.Focus(`#many input[name=to]`), chromedp.KeyEvent("through"), chromedp.KeyEvent(kb.Enter))
	b.Is(`document.querySelector('#answer').textContent.includes('joints.lap.fill through')`)
	b.Do(chromedp.Click("#undo"))
	b.Is(`document.querySelector('#work').hidden && !document.querySelector('#answer').textContent.includes('joints.lap.fill')`)
}

// A map of the station's page is one sheet on paper, and what is printed as a whole holds it among its pages.
func TestPagePrints(t *testing.T) {
	b := openPage(t, lapShell(t, "joints: [{id: lap, panels: [a, b]}]\n"))
	b.Do(chromedp.Navigate(b.URL + "station"))
	b.Is(`document.querySelectorAll('#maps a').length > 0`)
	maps := browser.Told[int](b.Tab, `document.querySelectorAll('#maps a').length`)
	b.Do(chromedp.Navigate(browser.Told[string](b.Tab, `document.querySelector('#maps a').href`)))
	b.Is(`document.documentElement.nodeName === 'svg'`)
	pdf, err := chromedp.Run(b, chromedp.PrintToPDF(chromedp.PDFLandscape(), chromedp.PDFPreferCSSPageSize()))
	if err != nil {
		t.Fatal(err)
	}
	if n := pages(pdf); n != 1 {
		t.Errorf("a map is %d pages", n)
	}
	b.Do(chromedp.Navigate(b.URL))
	b.Is(welds + ` > 5`)
	browser.Told[bool](b.Tab, `fetch('/print.pdf').then(r => r.blob()).then(b => { window.size_of_test = b.size }), true`)
	b.Is(`window.size_of_test > 20000`)
	response, err := http.Get(b.URL + "print.pdf")
	if err != nil {
		t.Fatal(err)
	}
	data, err := io.ReadAll(response.Body)
	if err := errors.Join(err, response.Body.Close()); err != nil {
		t.Fatal(err)
	}
	if n := pages(data); n < maps+5 {
		t.Errorf("everything is %d pages, with %d maps", n, maps)
	}
}

// pages of a PDF.
func pages(pdf []byte) int { return len(regexp.MustCompile(`/Type\s*/Page\b[^s]`).FindAll(pdf, -1)) }

// Two panels named on the page: their flange, count, setting, map and shell file, which plans as it stands.
func TestPagePair(t *testing.T) {
	b := openPage(t, lapShell(t, ""))
	dir := t.TempDir()
	one, two := plate(t, dir, "door.stl", 0, 0, 300, 60, 1), plate(t, dir, "sill.stl", 0, 40, 300, 100, 0)
	b.Do(chromedp.Navigate(b.URL))
	b.Is(welds + ` > 5`)
	b.Do(chromedp.SetUploadFiles(`#pair input[type=file]`, []string{one, two}))
	b.set(`#pair input[name=thickness]`, "1")
	b.Do(chromedp.Click(`#pair button`))
	b.Is(`document.querySelector('#pair-said').textContent === '1 flange between door.stl and sill.stl'`)
	text := browser.Told[string](b.Tab, `document.querySelector('#pair-found').textContent`)
	for _, want := range []string{"door + sill", "300.0", "20.0 to 20.0", "welds in", "setting S1",
		"note: panel door: unit not stated: numbers taken as millimetres", "lines of the shell file are marked CHECK"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in %s", want, text)
		}
	}
	b.Is(`document.querySelector('#pair-found img.sheet').naturalWidth > 100`)
	b.Shot("pair")
	browser.Told[bool](b.Tab, `fetch(document.querySelector('#pair-found a[download="shell.yaml"]').href).then(r => r.text())
		.then(t => { window.yaml_of_test = t }), true`)
	b.Is(`window.yaml_of_test`)
	yaml := browser.Told[string](b.Tab, `window.yaml_of_test`)
	file := put(t, dir, "shell.yaml", yaml)
	if out := must(t, "plan", file); !strings.Contains(out, "2 panels, 1 joint, 1 flange") {
		t.Error(out)
	}
	// Two whose lap no gun reaches: they are shown at once, and then what would do.
	three, four := plate(t, dir, "left.stl", 0, 0, 700, 460, 1), plate(t, dir, "right.stl", 0, 400, 700, 860, 0)
	browser.Told[bool](b.Tab, `window.said_of_test = [], new MutationObserver(() =>
		said_of_test.push(document.querySelector('#pair-said').textContent))
		.observe(document.querySelector('#pair-said'), { childList: true }), true`)
	b.Do(chromedp.SetUploadFiles(`#pair input[type=file]`, []string{three, four}), chromedp.Click(`#pair button`))
	b.Is(`document.querySelector('#pair-said').textContent === '1 flange between left.stl and right.stl' &&
		said_of_test.includes('1 flange between left.stl and right.stl; what would let a gun in is being looked for …')`)
	if text = browser.Told[string](b.Tab, `document.querySelector('#pair-found').textContent`); !strings.Contains(text, "throat depth of") ||
		strings.Contains(text, "was not looked for") {
		t.Errorf("what would do: %s", text)
	}
	b.Do(chromedp.SetUploadFiles(`#pair input[type=file]`, []string{one}), chromedp.Click(`#pair button`))
	b.Is(`document.querySelector('#pair-said').textContent === 'Give two panels, or more.'`)
	if c := b.Complaints(); len(c) > 0 {
		t.Errorf("the browser complains: %s", strings.Join(c, "\n"))
	}
}
