package program

import (
	"fmt"
	"os"
	"strings"
	"sync"

	"golang.org/x/term"
)

// Bar is a progress bar on a terminal; anywhere else it prints nothing. It uses no colour, so that NO_COLOR
// changes nothing.
type Bar struct {
	mu    sync.Mutex
	p     *Call
	shown string
}

// Bar is the call's progress bar.
func (p *Call) Bar() *Bar { return &Bar{p: p} }

func (b *Bar) visible() bool {
	file, ok := b.p.Err.(*os.File)
	return ok && !b.p.Quiet && term.IsTerminal(int(file.Fd()))
}

// Show draws the state of one stage.
func (b *Bar) Show(stage string, done, total int) {
	if !b.visible() || total == 0 {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	const width = 30
	full := width * done / total
	line := fmt.Sprintf("%-20s [%s%s] %d/%d", stage, strings.Repeat("=", full), strings.Repeat(" ", width-full), done, total)
	if line != b.shown {
		fmt.Fprintf(b.p.Err, "\r\x1b[K%s", line)
		b.shown = line
	}
}

// Clear takes the bar away.
func (b *Bar) Clear() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.shown != "" {
		fmt.Fprint(b.p.Err, "\r\x1b[K")
		b.shown = ""
	}
}
