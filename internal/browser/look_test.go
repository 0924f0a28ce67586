package browser_test

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/internal/browser"

	"github.com/chromedp/chromedp"
)

// checker is the library that looks at a page for what keeps people from using it; it comes with the picture's part.
const checker = "../../render/page/app/node_modules/axe-core/axe.min.js"

// The three doors have nothing that keeps somebody without sight or a pointer out: no serious finding.
func TestPageIsForEverybody(t *testing.T) {
	script, err := os.ReadFile(checker)
	if err != nil {
		if browser.WithPicture() && os.Getenv("CI") == "true" {
			t.Fatalf("%v: go generate ./render/page brings it", err)
		}
		t.Skip("NOT CHECKED for everybody's use: the library is missing: go generate ./render/page")
	}
	b := openPage(t, lapShell(t, "joints:\n  - {id: lap, panels: [a, b]}\n"))
	for path, ready := range map[string]string{
		"":          `document.querySelectorAll('#list button[data-weld]').length > 5`,
		"station":   `document.querySelector('#count').textContent.startsWith('Step 1 of')`,
		"estimator": `document.querySelectorAll('#lines tr').length > 3`,
	} {
		b.Do(chromedp.Navigate(b.URL + path))
		b.Is(ready)
		if path == "" {
			browser.Told[bool](b.Tab, `document.querySelector('#list details[data-flange] > summary').click(), true`)
			b.Is(`document.querySelector('#graph svg')`)
		}
		browser.Told[bool](b.Tab, string(script)+";true")
		browser.Told[bool](b.Tab, `window.found_of_test = null, axe.run().then(r => { window.found_of_test = r }), true`)
		b.Is(`window.found_of_test`)
		serious := browser.Told[[]string](b.Tab, `found_of_test.violations.filter(v => ['serious', 'critical'].includes(v.impact))
			.map(v => v.id + ': ' + v.help + ' at ' + v.nodes.map(n => n.target.join(' ')).join(', '))`)
		if len(serious) > 0 {
			t.Errorf("/%s: %s", path, strings.Join(serious, "\n"))
		}
	}
}

// The engineer's page of the demo looks as the README shows it: of every hundred small squares of the page at most three differ by
// more than a tenth of grey. Fonts and the drawing of lines differ a little from one machine to another.
func TestPageOfTheDemo(t *testing.T) {
	if !browser.WithPicture() {
		t.Skip("NOT CHECKED: the picture is not in this program: go generate ./render/page")
	}
	dir := filepath.Join(t.TempDir(), "tarn")
	must(t, "demo", dir, "--quiet")
	b := openPage(t, filepath.Join(dir, "shell.yaml"))
	b.Do(chromedp.EmulateViewport(1280, 900), chromedp.Navigate(b.URL))
	b.Is(welds + ` > 1000 && window.viewer && viewer.box`)
	browser.Told[bool](b.Tab, `document.querySelector('#list details[data-flange="cross-front/1"] button[data-weld]').click(), true`)
	b.Is(`document.querySelector('#graph svg')`)
	browser.Told[bool](b.Tab, `document.querySelector('#home').click(), true`)
	b.Is(`viewer.fine.visible`)
	now, err := chromedp.Run(b, chromedp.CaptureScreenshot())
	if err != nil {
		t.Fatal(err)
	}
	stored := filepath.Join(pictures, "page-engineer.png")
	if *update {
		put(t, filepath.Dir(stored), filepath.Base(stored), string(now))
	}
	if share := unlike(t, read(t, stored), now); share > 0.03 {
		t.Errorf("%.1f %% of the page differ from %s: look at it, then go test ./internal/browser -run TestPageOfTheDemo -update",
			100*share, stored)
	}
	b.set("#only", "the picked flange")
	b.Is(`viewer.panels.children.filter(p => p.visible).map(p => p.name).sort().join(' ') === 'cross-front floor' &&
		viewer.marksOf.reduce((n, m) => n + m.userData.at.length, 0) === viewer.byWeld.filter(w => w.flange === 'cross-front/1').length`)
	b.Shot("alone")
	b.Do(chromedp.Navigate(b.URL + "station"))
	b.Is(`document.querySelector('#count').textContent.startsWith('Step 1 of') && document.querySelector('#said').textContent === ''`)
	for range 8 {
		b.Do(chromedp.Click("#next"))
	}
	b.Is(`document.querySelector('#count').textContent.startsWith('Step 9 of')`)
	b.Shot("station")
	b.Do(chromedp.Navigate(b.URL + "estimator"))
	b.Is(`document.querySelectorAll('#lines tr').length > 3`)
	b.Shot("estimator")
	if c := b.Complaints(); len(c) > 0 {
		t.Errorf("the browser complains: %s", strings.Join(c, "\n"))
	}
}

// unlike is the share of squares of 8 x 8 points whose mean grey differs by more than a tenth.
func unlike(t *testing.T, a, b []byte) float64 {
	t.Helper()
	p, q := decoded(t, a), decoded(t, b)
	if p.Bounds() != q.Bounds() {
		t.Errorf("pictures of %v and %v", p.Bounds(), q.Bounds())
		return 1
	}
	const side = 8
	grey := func(m image.Image, x, y int) float64 {
		sum := 0.0
		for i := range side {
			for k := range side {
				sum += float64(color.GrayModel.Convert(m.At(x+i, y+k)).(color.Gray).Y)
			}
		}
		return sum / (side * side * 255)
	}
	all, off := 0, 0
	for y := 0; y+side <= p.Bounds().Dy(); y += side {
		for x := 0; x+side <= p.Bounds().Dx(); x += side {
			all++
			if d := grey(p, x, y) - grey(q, x, y); d > 0.1 || d < -0.1 {
				off++
			}
		}
	}
	return float64(off) / float64(all)
}

func decoded(t *testing.T, data []byte) image.Image {
	t.Helper()
	m, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return m
}
