package commands

import (
	"context"
	"fmt"
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"seamwright/cmd/seamwright/program"
	"seamwright/cmd/seamwright/server"
	"seamwright/internal/browser"
	"seamwright/internal/cache"
	"seamwright/internal/calls"
	"seamwright/render/page"
	"seamwright/seams/changes"
)

// A page that is opened while the first picture is still in the making: weld lines and welds at once, panels as they come, which the
// page says, and all of them in the end. The panels are held back here and let through one by one.
func TestPageWhilePanelsCome(t *testing.T) {
	if !browser.WithPicture() {
		t.Skip("NOT CHECKED: the picture is not in this program: go generate ./render/page")
	}
	browser.Need(t)
	chromium, err := browser.Start()
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(chromium.Stop)
	through := make(chan bool)
	b := chromium.Open(t, heldBack(t, fourPlates(t), through))
	b.Do(chromedp.Navigate(b.URL))
	b.Is(`document.querySelector('#said').textContent.startsWith('The panels are made light')`)
	const triangles = `Number(document.querySelector('#canvas-host').dataset.triangles)`
	const welds = `document.querySelectorAll('#list button[data-weld]').length`
	b.Is(welds + ` > 30 && ` + triangles + ` > 300`)
	marks := browser.Told[int](b, triangles)
	if colours := b.Colours(); colours < 3 { // there are no faces yet, whose shades are many
		t.Errorf("weld lines and welds alone have %d colours: the picture is blank", colours)
	}
	b.Shot("lines-first")
	for k := 1; k <= 3; k++ {
		through <- true
		b.Is(fmt.Sprintf(`document.querySelector('#said').textContent.includes('%d of 4; those that are ready are drawn')`, k))
		b.Is(fmt.Sprintf(`%s === %d`, triangles, marks+2*k)) // a plate is two
	}
	b.Shot("three-of-four")
	if browser.Told[bool](b, `window.viewer !== undefined`) {
		t.Error("the picture counts as whole while a panel is missing")
	}
	through <- true
	b.Is(`window.viewer && document.querySelector('#said').textContent === ''`)
	if n := browser.Told[int](b, `viewer.panels.children.length`); n != 4 {
		t.Errorf("%d panels in the end", n)
	}
	b.Is(fmt.Sprintf(`%s === %d`, triangles, marks+8))
	if c := b.Complaints(); len(c) > 0 {
		t.Errorf("the browser complains: %s", strings.Join(c, "\n"))
	}
}

// fourPlates is a shell of four plates, each lapping the one before.
func fourPlates(t *testing.T) string {
	t.Helper()
	file := calls.Lap(t, `  - {id: c, mesh: c.stl, unit: mm, steel: thin}
  - {id: d, mesh: d.stl, unit: mm, steel: thick}
joints: [{id: ab, panels: [a, b]}, {id: bc, panels: [b, c]}, {id: cd, panels: [c, d]}]
`)
	calls.Plate(t, filepath.Dir(file), "c.stl", 0, 80, 400, 140, 1.05)
	calls.Plate(t, filepath.Dir(file), "d.stl", 0, 120, 400, 180, 0)
	return file
}

// heldBack serves a shell whose panels for the picture wait, each to be let through, and says at which address.
func heldBack(t *testing.T, file string, through <-chan bool) string {
	t.Helper()
	p := program.NewCall(io.Discard, io.Discard)
	p.KeepIn(cache.New())
	config := pageOf(p, file, cache.New())
	build := config.Build
	config.Build = func(ctx context.Context, c changes.Changes, progress func(string, int, int)) (*server.Planned, error) {
		planned, err := build(ctx, c, progress)
		if err != nil {
			return nil, err
		}
		light := planned.Light
		planned.Light = func(ctx context.Context, ready func(page.Panel, int, int)) ([]page.Panel, error) {
			return light(ctx, func(panel page.Panel, done, total int) {
				select {
				case <-through:
				case <-ctx.Done():
				}
				ready(panel, done, total)
			})
		}
		return planned, nil
	}
	l, address, err := server.Open("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	s, err := server.New(ctx, config)
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan error)
	go func() { done <- s.Serve(ctx, l, address) }()
	t.Cleanup(func() {
		stop()
		if err := <-done; err != nil {
			t.Errorf("serve: %v", err)
		}
	})
	return address.URL
}
