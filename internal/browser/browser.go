// Package browser opens pages in a real browser, headless Chromium, and looks at them; it is there for tests.
//
//	c, err := browser.Start()
//	defer c.Stop()
//	tab := c.Open(t, url)
//	tab.Is(`document.title !== ''`)
//	n := browser.Told[int](tab, `document.links.length`)
package browser

import (
	"context"
	"io/fs"
	"iter"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"seamwright/render/page"
)

// Need skips a test where there is no Chromium; in CI it fails.
func Need(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("chromium"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("chromium is missing: install it")
		}
		t.Skip("NOT CHECKED in a browser: chromium is missing")
	}
}

// WithPicture says whether the program is built with the picture's part.
func WithPicture() bool {
	_, err := fs.Stat(page.Bundle(), "viewer.js")
	return err == nil
}

// Chromium is a browser that runs.
type Chromium struct {
	ctx  context.Context
	stop []context.CancelFunc
}

// Start starts a browser, with pictures drawn by software.
func Start() (*Chromium, error) {
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath("chromium"), chromedp.NoSandbox,
		chromedp.WindowSize(1280, 800), chromedp.Flag("enable-unsafe-swiftshader", true), chromedp.Flag("disable-gpu", false),
		chromedp.WSURLReadTimeout(2*time.Minute))
	ctx, stop := chromedp.NewExecAllocator(context.Background(), options...)
	tab, close := chromedp.NewContext(ctx)
	c := &Chromium{tab, []context.CancelFunc{close, stop}}
	if err := chromedp.Do(tab); err != nil { // the browser lives as long as this context
		c.Stop()
		return nil, err
	}
	return c, nil
}

// Stop ends it.
func (c *Chromium) Stop() {
	for _, stop := range c.stop {
		stop()
	}
}

// Tab is a tab of the browser and what its pages complained of.
type Tab struct {
	context.Context
	T   *testing.T
	URL string // of the pages that are looked at

	mu       sync.Mutex
	complain []string
}

// Open opens a tab of its own for the pages of an address, until the test ends.
func (c *Chromium) Open(t *testing.T, url string) *Tab {
	t.Helper()
	ctx, stop := chromedp.NewContext(c.ctx)
	t.Cleanup(stop)
	b := &Tab{Context: ctx, T: t, URL: url}
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(1280, 800)); err != nil {
		t.Fatal(err)
	}
	go b.listen(chromedp.Console(ctx))
	return b
}

// listen keeps what the pages complain of.
func (b *Tab) listen(messages iter.Seq2[chromedp.ConsoleMessage, error]) {
	for m, err := range messages {
		if err != nil {
			return
		}
		if m.IsException() || m.Type == "error" {
			b.mu.Lock()
			b.complain = append(b.complain, m.String())
			b.mu.Unlock()
		}
	}
}

// Complaints are those so far; viewer.js is not missed where the program was built without it.
func (b *Tab) Complaints() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.DeleteFunc(slices.Clone(b.complain), func(c string) bool {
		return !WithPicture() && strings.Contains(c, "404")
	})
}

// Do takes steps.
func (b *Tab) Do(steps ...chromedp.Action[chromedp.Void]) {
	b.T.Helper()
	if err := chromedp.Do(b, steps...); err != nil {
		b.T.Fatal(err)
	}
}

// Told is the value of an expression of the page.
func Told[T any](b *Tab, expression string) T {
	b.T.Helper()
	v, err := chromedp.Run(b, chromedp.Evaluate[T](expression))
	if err != nil {
		b.T.Fatalf("%s: %v", expression, err)
	}
	return v
}

// patience is how often a page is asked whether something holds, a tenth of a second apart. It bounds a test that fails.
const patience = 300

// Is waits until an expression of the page holds.
func (b *Tab) Is(expression string) {
	b.T.Helper()
	for range patience {
		if ok, err := chromedp.Run(b, chromedp.Evaluate[bool]("Boolean("+expression+")")); err == nil && ok {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	b.T.Fatalf("%s does not hold on the page:\n%s\n%s", expression, Told[string](b, "document.body.innerText"), b.Complaints())
}

// Shot keeps a picture of the page where PAGE_PICTURES names a folder, to be looked at.
func (b *Tab) Shot(name string) {
	b.T.Helper()
	dir := os.Getenv("PAGE_PICTURES")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(b, chromedp.CaptureScreenshot())
	if err == nil {
		err = os.MkdirAll(dir, 0o755)
	}
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644)
	}
	if err != nil {
		b.T.Fatal(err)
	}
}

// Colours is how many the picture's canvas has.
func (b *Tab) Colours() int {
	b.T.Helper()
	return Told[int](b, `(() => {
		const c = document.querySelector('canvas'), d = document.createElement('canvas')
		d.width = c.width; d.height = c.height
		const x = d.getContext('2d')
		x.drawImage(c, 0, 0)
		return new Set(new Uint32Array(x.getImageData(0, 0, d.width, d.height).data.buffer)).size
	})()`)
}
