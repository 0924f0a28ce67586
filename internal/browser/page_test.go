package browser_test

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"seamwright/internal/browser"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// The page as an engineer uses it: the list, a search, a pitch changed by keyboard alone, undo, and the file beside the shell's.
func TestPageInABrowser(t *testing.T) {
	file := lapShell(t, "joints:\n  - {id: lap, panels: [a, b]}\n")
	b := openPage(t, file)
	b.Do(chromedp.Navigate(b.URL))
	b.Is(`document.querySelectorAll('#list button[data-weld]').length > 5`)
	count := `document.querySelectorAll('#list button[data-weld]').length`
	before := browser.Told[int](b.Tab, count)

	b.Do(chromedp.SendKeys("#search", "weld 3"))
	b.Is(`document.querySelectorAll('#list button[data-weld]:not(.hidden)').length === 1`)
	browser.Told[bool](b.Tab, `(e => { e.value = ''; return e.dispatchEvent(new Event('input')) })(document.querySelector('#search'))`)

	// A flange is picked and its pitch set with the keyboard: no pointer is used.
	for _, at := range []string{`#list > details > details > summary`, `#list details[data-flange] > summary`, `#list button[data-weld="2"]`} {
		if strings.HasSuffix(at, "summary") && browser.Told[bool](b.Tab, fmt.Sprintf("document.querySelector('%s').parentElement.open", at)) {
			continue // the search has opened it
		}
		b.Do(chromedp.Focus(at), chromedp.KeyEvent(kb.Enter))
	}
	b.Is(`!document.querySelector('#change').hidden`)
	b.Is(`document.querySelectorAll('#graph svg circle, #graph svg rect').length === ` + fmt.Sprint(before))
	b.Do(chromedp.Focus(`#change input[name=to]`), chromedp.KeyEvent("20"), chromedp.KeyEvent(kb.Enter))
	b.Is(`document.querySelector('#answer').textContent.startsWith('joints.lap.pitch_mm')`)
	if after := browser.Told[int](b.Tab, count); after <= before {
		t.Errorf("a pitch of 20 mm gives %d welds, %d before", after, before)
	}
	changes := filepath.Join(filepath.Dir(file), "shell.changes.yaml")
	if text := string(read(t, changes)); !strings.Contains(text, "joints.lap.pitch_mm") {
		t.Errorf("%s:\n%s", changes, text)
	}
	_, note, _ := call(t, "check", file) // whatever it ends with
	if !strings.Contains(note, "1 change from") {
		t.Errorf("the command line does not say that it takes the change:\n%s", note)
	}
	b.Do(chromedp.Click("#undo"))
	b.Is(fmt.Sprintf(`document.querySelectorAll('#list button[data-weld]').length === %d`, before))

	b.pictureOrWord()
	b.otherDoors()
	if c := b.Complaints(); len(c) > 0 {
		t.Errorf("the browser complains: %s", strings.Join(c, "\n"))
	}
}

// pictureOrWord wants the picture, proved not blank, where the program has it, else the word that says how to add it.
func (b page) pictureOrWord() {
	b.T.Helper()
	if !browser.WithPicture() {
		b.Is(`document.querySelector('#said').textContent.includes('go generate ./render/page')`)
		return
	}
	b.Is(`window.viewer && document.querySelector('#said').textContent === ''`)
	if different := b.Colours(); different < 8 {
		b.T.Errorf("the picture has %d colours: it is blank", different)
	}
	b.Is(`viewer.byWeld.length === document.querySelectorAll('#list button[data-weld]').length`)
}

// otherDoors walks through the station's and the estimator's page, at three widths.
func (b page) otherDoors() {
	b.T.Helper()
	for _, width := range []int64{1280, 768, 390} {
		b.Do(chromedp.EmulateViewport(width, 800), chromedp.Navigate(b.URL+"station"))
		b.Is(`document.querySelector('#count').textContent.startsWith('Step 1 of')`)
		b.Do(chromedp.Click("#next"))
		b.Is(`document.querySelector('#count').textContent.startsWith('Step 2 of')`)
		b.fits("station", width)
		b.Do(chromedp.Navigate(b.URL + "estimator"))
		b.Is(`document.querySelectorAll('#lines tr').length > 3`)
		b.fits("estimator", width)
		b.Do(chromedp.Navigate(b.URL))
		b.Is(`document.querySelectorAll('#list button[data-weld]').length > 0`)
		b.fits("engineer", width)
	}
	b.Do(chromedp.Navigate(b.URL + "estimator"))
	b.Is(`document.querySelectorAll('#lines tr').length > 3`) // by then the page listens
	said := browser.Told[string](b.Tab, `document.querySelector('#movers').textContent`)
	if !strings.Contains(said, "fit a metre of flange together (fit_s_per_m)") {
		b.T.Errorf("what moves the cost is not told in words: %s", said)
	}
	b.Do(chromedp.Click("#breaks"))
	b.Is(`document.querySelectorAll('#quantity tr').length === 6`)
}

func (b page) fits(name string, width int64) {
	b.T.Helper()
	if wide := browser.Told[int64](b.Tab, `document.documentElement.scrollWidth`); wide > width {
		b.T.Errorf("the %s's page is %d wide at %d", name, wide, width)
	}
}
