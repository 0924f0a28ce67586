package main

import (
	"bufio"
	"context"
	"fmt"
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
	"github.com/chromedp/chromedp/kb"

	"seamwright/render/page"
)

// browser is a tab of a real browser and what its pages complained of.
type browser struct {
	context.Context
	t        *testing.T
	url      string
	mu       sync.Mutex
	complain []string
}

// openPage serves the shell file and opens a browser; it skips where there is none, unless in CI.
func openPage(t *testing.T, file string) *browser {
	t.Helper()
	needChromium(t)
	c := command(t, "serve", file)
	out, err := c.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Process.Kill(); _ = c.Wait() })
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatal(err)
	}
	return browse(t, strings.TrimSpace(line))
}

func needChromium(t *testing.T) {
	t.Helper()
	if _, err := exec.LookPath("chromium"); err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("chromium is missing: install it")
		}
		t.Skip("NOT CHECKED in a browser: chromium is missing")
	}
}

// browse opens a browser for the pages of an address.
func browse(t *testing.T, url string) *browser {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath("chromium"), chromedp.NoSandbox,
		chromedp.WindowSize(1280, 800), chromedp.Flag("enable-unsafe-swiftshader", true), chromedp.Flag("disable-gpu", false),
		chromedp.WSURLReadTimeout(2*time.Minute))
	ctx, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, stop = chromedp.NewContext(ctx)
	t.Cleanup(stop)
	b := &browser{Context: ctx, t: t, url: url}
	if err := chromedp.Do(ctx); err != nil { // the browser lives as long as this context
		t.Fatal(err)
	}
	go b.listen(chromedp.Console(ctx))
	return b
}

// listen keeps what the pages complain of.
func (b *browser) listen(messages iter.Seq2[chromedp.ConsoleMessage, error]) {
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

// complaints are those so far; viewer.js is not missed where the program was built without it.
func (b *browser) complaints() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.DeleteFunc(slices.Clone(b.complain), func(c string) bool {
		return !withPicture() && strings.Contains(c, "404")
	})
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b, steps...); err != nil {
		b.t.Fatal(err)
	}
}

// told is the value of an expression of the page.
func told[T any](b *browser, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b, chromedp.Evaluate[T](expression))
	if err != nil {
		b.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// patience is how often a page is asked whether something holds, a tenth of a second apart. It bounds a test that fails.
const patience = 300

// is waits until an expression of the page holds.
func (b *browser) is(expression string) {
	b.t.Helper()
	for range patience {
		if ok, err := chromedp.Run(b, chromedp.Evaluate[bool]("Boolean("+expression+")")); err == nil && ok {
			return
		}
		time.Sleep(100 * time.Millisecond)
	}
	b.t.Fatalf("%s does not hold on the page:\n%s\n%s", expression, told[string](b, "document.body.innerText"), b.complaints())
}

// The page as an engineer uses it: the list, a search, a pitch changed by keyboard alone, undo, and the file beside the shell's.
func TestPageInABrowser(t *testing.T) {
	file := lapShell(t, "joints:\n  - {id: lap, panels: [a, b]}\n")
	b := openPage(t, file)
	b.do(chromedp.Navigate(b.url))
	b.is(`document.querySelectorAll('#list button[data-weld]').length > 5`)
	count := `document.querySelectorAll('#list button[data-weld]').length`
	before := told[int](b, count)

	b.do(chromedp.SendKeys("#search", "weld 3"))
	b.is(`document.querySelectorAll('#list button[data-weld]:not(.hidden)').length === 1`)
	told[bool](b, `document.querySelector('#search').value = '', document.querySelector('#search').dispatchEvent(new Event('input'))`)

	// A flange is picked and its pitch set with the keyboard: no pointer is used.
	for _, at := range []string{`#list > details > details > summary`, `#list details[data-flange] > summary`, `#list button[data-weld="2"]`} {
		if strings.HasSuffix(at, "summary") && told[bool](b, fmt.Sprintf("document.querySelector('%s').parentElement.open", at)) {
			continue // the search has opened it
		}
		b.do(chromedp.Focus(at), chromedp.KeyEvent(kb.Enter))
	}
	b.is(`!document.querySelector('#change').hidden`)
	b.is(`document.querySelectorAll('#graph svg circle, #graph svg rect').length === ` + fmt.Sprint(before))
	b.do(chromedp.Focus(`#change input[name=to]`), chromedp.KeyEvent("20"), chromedp.KeyEvent(kb.Enter))
	b.is(`document.querySelector('#answer').textContent.startsWith('joints.lap.pitch_mm')`)
	if after := told[int](b, count); after <= before {
		t.Errorf("a pitch of 20 mm gives %d welds, %d before", after, before)
	}
	changes := filepath.Join(filepath.Dir(file), "shell.changes.yaml")
	if text := string(read(t, changes)); !strings.Contains(text, "joints.lap.pitch_mm") {
		t.Errorf("%s:\n%s", changes, text)
	}
	_, _, note := call(t, "check", file)
	if !strings.Contains(note, "1 change from") {
		t.Errorf("the command line does not say that it takes the change:\n%s", note)
	}
	b.do(chromedp.Click("#undo"))
	b.is(fmt.Sprintf(`document.querySelectorAll('#list button[data-weld]').length === %d`, before))

	b.pictureOrWord()
	b.otherDoors()
	if c := b.complaints(); len(c) > 0 {
		t.Errorf("the browser complains: %s", strings.Join(c, "\n"))
	}
}

// withPicture says whether the program was built with the picture's part.
func withPicture() bool {
	_, err := fs.Stat(page.Bundle(), "viewer.js")
	return err == nil
}

// pictureOrWord wants the picture, proved not blank, where the program has it, else the word that says how to add it.
func (b *browser) pictureOrWord() {
	b.t.Helper()
	if !withPicture() {
		b.is(`document.querySelector('#said').textContent.includes('go generate ./render/page')`)
		return
	}
	b.is(`window.viewer && document.querySelector('#said').textContent === ''`)
	if different := b.colours(); different < 8 {
		b.t.Errorf("the picture has %d colours: it is blank", different)
	}
	b.is(`viewer.byWeld.length === document.querySelectorAll('#list button[data-weld]').length`)
}

// colours is how many the picture's canvas has.
func (b *browser) colours() int {
	b.t.Helper()
	return told[int](b, `(() => {
		const c = document.querySelector('canvas'), d = document.createElement('canvas')
		d.width = c.width; d.height = c.height
		const x = d.getContext('2d')
		x.drawImage(c, 0, 0)
		return new Set(new Uint32Array(x.getImageData(0, 0, d.width, d.height).data.buffer)).size
	})()`)
}

// otherDoors walks through the station's and the estimator's page, at three widths.
func (b *browser) otherDoors() {
	b.t.Helper()
	for _, width := range []int64{1280, 768, 390} {
		b.do(chromedp.EmulateViewport(width, 800), chromedp.Navigate(b.url+"station"))
		b.is(`document.querySelector('#count').textContent.startsWith('Step 1 of')`)
		b.do(chromedp.Click("#next"))
		b.is(`document.querySelector('#count').textContent.startsWith('Step 2 of')`)
		b.fits("station", width)
		b.do(chromedp.Navigate(b.url + "estimator"))
		b.is(`document.querySelectorAll('#lines tr').length > 3`)
		b.fits("estimator", width)
		b.do(chromedp.Navigate(b.url))
		b.is(`document.querySelectorAll('#list button[data-weld]').length > 0`)
		b.fits("engineer", width)
	}
	b.do(chromedp.Navigate(b.url + "estimator"))
	b.is(`document.querySelectorAll('#lines tr').length > 3`) // by then the page listens
	said := told[string](b, `document.querySelector('#movers').textContent`)
	if !strings.Contains(said, "fit a metre of flange together (fit_s_per_m)") {
		b.t.Errorf("what moves the cost is not told in words: %s", said)
	}
	b.do(chromedp.Click("#breaks"))
	b.is(`document.querySelectorAll('#quantity tr').length === 6`)
}

func (b *browser) fits(name string, width int64) {
	b.t.Helper()
	if wide := told[int64](b, `document.documentElement.scrollWidth`); wide > width {
		b.t.Errorf("the %s's page is %d wide at %d", name, wide, width)
	}
}
