package browser_test

import (
	"strings"
	"testing"

	"seamwright/internal/browser"

	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// touch sends where fingers are: one place each; none lifts them all.
func (b page) touch(kind input.DispatchTouchEventType, places ...[2]float64) {
	b.T.Helper()
	points := []*input.TouchPoint{}
	for i, p := range places {
		id := float64(i)
		points = append(points, &input.TouchPoint{X: p[0], Y: p[1], ID: &id})
	}
	if _, err := chromedp.Call(b, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: kind, TouchPoints: points}); err != nil {
		b.T.Fatal(err)
	}
}

// With fingers alone: one turns the picture, two bring it nearer, and a tap on a weld picks it in the list.
func TestPageByTouch(t *testing.T) {
	if !browser.WithPicture() {
		t.Skip("NOT CHECKED: the picture is not in this program: go generate ./render/page")
	}
	b := openPage(t, lapShell(t, "joints: [{id: lap, panels: [a, b]}]\n"))
	b.Do(chromedp.EmulateViewport(768, 1024, chromedp.EmulateTouch), chromedp.Navigate(b.URL))
	b.Is(welds + ` > 5 && window.viewer && viewer.box && document.querySelector('#said').textContent === ''`)
	middle := browser.Told[[]float64](b.Tab, `(() => { const r = document.querySelector('canvas').getBoundingClientRect()
		return [r.left + r.width / 2, r.top + r.height / 2] })()`)
	x, y := middle[0], middle[1]

	browser.Told[bool](b.Tab, `window.was_of_test = viewer.camera.position.clone(), true`)
	b.touch(input.DispatchTouchEventTypeTouchStart, [2]float64{x, y})
	for k := range 5 {
		b.touch(input.DispatchTouchEventTypeTouchMove, [2]float64{x + 20*float64(k+1), y + 5*float64(k+1)})
	}
	b.touch(input.DispatchTouchEventTypeTouchEnd)
	b.Is(`viewer.camera.position.distanceTo(was_of_test) > 100`)
	b.Is(`viewer.camera.zoom === 1`)

	b.touch(input.DispatchTouchEventTypeTouchStart, [2]float64{x - 30, y}, [2]float64{x + 30, y})
	for k := range 5 {
		d := 30 + 15*float64(k+1)
		b.touch(input.DispatchTouchEventTypeTouchMove, [2]float64{x - d, y}, [2]float64{x + d, y})
	}
	b.touch(input.DispatchTouchEventTypeTouchEnd)
	b.Is(`viewer.camera.zoom > 1.5`)
	if browser.Told[bool](b.Tab, `document.querySelector('#list button[aria-pressed=true]') !== null`) {
		t.Error("two fingers have picked a weld")
	}

	browser.Told[bool](b.Tab, `document.querySelector('#home').click(), true`)
	b.Is(`!viewer.asked`) // drawn
	at := browser.Told[[]float64](b.Tab, `(() => {
		const r = document.querySelector('canvas').getBoundingClientRect(), w = viewer.byWeld[2].position
		const p = viewer.camera.position.clone().set(w[0], w[1], w[2]).project(viewer.camera)
		return [r.left + (p.x + 1) / 2 * r.width, r.top + (1 - p.y) / 2 * r.height]
	})()`)
	b.touch(input.DispatchTouchEventTypeTouchStart, [2]float64{at[0] + 5, at[1] - 4})
	b.touch(input.DispatchTouchEventTypeTouchEnd)
	b.Is(`document.querySelector('#list button[aria-pressed=true]')?.dataset.weld === '2'`)
	if c := b.Complaints(); len(c) > 0 {
		t.Errorf("the browser complains: %s", strings.Join(c, "\n"))
	}
}
