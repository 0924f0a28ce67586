package browser_test

import (
	"os"
	"testing"
	"time"

	"seamwright/internal/browser"

	"github.com/chromedp/chromedp"
)

// Of a large shell, by hand: PAGE_SHELL=folder/shell.yaml go test ./internal/browser -run TestPageAtScale -v. It is opened twice, so
// that the second start finds what the first has kept, and prints what the second took.
func TestPageAtScale(t *testing.T) {
	file := os.Getenv("PAGE_SHELL")
	if file == "" {
		t.Skip("NOT CHECKED: PAGE_SHELL names no shell")
	}
	b := openPage(t, file)
	b.Do(chromedp.Navigate(b.URL))
	for !browser.Told[bool](b.Tab, `performance.getEntriesByName('picture').length > 0`) { // minutes, where nothing is kept yet
		time.Sleep(time.Second)
	}
	begun := time.Now()
	b = openPage(t, file)
	t.Logf("second start, until the browser is there: %.1f s", time.Since(begun).Seconds())
	b.Do(chromedp.Navigate(b.URL))
	b.Is(`window.viewer && performance.getEntriesByName('picture').length > 0 && ` + welds + ` > 0`)
	t.Logf("first picture after %.0f ms of the page's beginning",
		browser.Told[float64](b.Tab, `performance.getEntriesByName('picture')[0].startTime`))
	t.Logf("%.2f MB sent until then",
		browser.Told[float64](b.Tab, `performance.getEntries().reduce((n, e) => n + (e.transferSize || 0), 0) / 1e6`))
	b.Is(`viewer.fine.visible`)
	b.Shot("scale")
	for _, rest := range []bool{true, false} {
		browser.Told[bool](b.Tab, picked(rest))
		b.Is(`window.picked_of_test`)
		t.Logf("at rest %v: a pick takes %.1f ms in the middle of nine, %.1f ms at most", rest,
			browser.Told[float64](b.Tab, `picked_of_test[4]`), browser.Told[float64](b.Tab, `picked_of_test[8]`))
	}
	browser.Told[bool](b.Tab, turned)
	b.Is(`window.frames_of_test`)
	t.Logf("turning: %.1f frames a second, %.0f triangles each", browser.Told[float64](b.Tab, `frames_of_test`),
		browser.Told[float64](b.Tab, `viewer.renderer.info.render.triangles`))
	for range 3 {
		browser.Told[bool](b.Tab, changed)
		b.Is(`window.took_of_test`)
		took := browser.Told[[]float64](b.Tab, `took_of_test`)
		t.Logf("a joint's pitch changed: answer after %.0f ms, list and picture after %.0f ms, %.0f kB sent", took[0], took[1], took[2])
	}
	if c := b.Complaints(); len(c) > 0 {
		t.Error(c)
	}
}

// changed makes the pitch of the first joint a little greater, and takes the time until the change is saved and until it is seen.
const changed = `window.took_of_test = null, window.pitch_of_test = (window.pitch_of_test || 30) + 2, (() => {
	document.querySelector('#list details[data-flange]').open || document.querySelector('#list details[data-flange] > summary').click()
	setTimeout(() => {
		const form = document.querySelector('#change')
		form.elements.key.value = 'pitch_mm'
		form.elements.to.value = pitch_of_test
		performance.clearResourceTimings()
		const from = performance.now()
		new MutationObserver((_, o) => {
			o.disconnect()
			requestAnimationFrame(() => setTimeout(() => {
				const asked = performance.getEntriesByType('resource').filter(e => /api.(changes|parts)/.test(e.name))
				window.took_of_test = [asked[0].responseEnd - from, performance.now() - from, asked.reduce((n, e) => n + e.transferSize, 0) / 1e3]
			}))
		}).observe(document.querySelector('#differences'), { childList: true })
		form.requestSubmit()
	}, 1500)
})(), true`

// picked times nine clicks on the picture, those that hit a weld and those that hit a panel or nothing.
func picked(rest bool) string {
	level := "viewer.level(false)"
	if rest {
		level = "viewer.level(true)"
	}
	return level + `, window.picked_of_test = null, setTimeout(() => {
		const c = document.querySelector('canvas'), r = c.getBoundingClientRect(), took = []
		const on = viewer.on
		viewer.on = { ...on, weld: () => {}, panel: () => {} } // what the list does then is its own
		for (let k = 1; k < 10; k++) {
			const e = { clientX: r.left + r.width * k / 10, clientY: r.top + r.height * (3 + k % 4) / 10 }
			viewer.down = [e.clientX, e.clientY]
			const from = performance.now()
			viewer.click(e)
			took.push(performance.now() - from)
		}
		viewer.on = on
		window.picked_of_test = took.sort((a, b) => a - b)
	}, 300), true`
}

// turned counts frames over four seconds of turning, each waited for until its points can be read.
const turned = `window.frames_of_test = null, (() => {
	viewer.turning(true)
	const gl = viewer.renderer.getContext(), point = new Uint8Array(4), from = performance.now()
	let frames = 0
	const step = () => {
		const d = viewer.camera.position.clone().sub(viewer.controls.target)
		d.applyAxisAngle(viewer.camera.up, 0.05)
		viewer.camera.position.copy(viewer.controls.target).add(d)
		viewer.camera.lookAt(viewer.controls.target)
		viewer.renderer.render(viewer.scene, viewer.camera)
		gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, point)
		frames++
		if (performance.now() - from < 4000) requestAnimationFrame(step)
		else window.frames_of_test = frames / (performance.now() - from) * 1000
	}
	requestAnimationFrame(step)
})(), true`
