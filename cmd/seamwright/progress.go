package main

import (
	"fmt"
	"os"
	"strings"
	"sync"

	"golang.org/x/term"
)

// bar is a progress bar on a terminal; anywhere else it prints nothing. It uses no colour, so that NO_COLOR
// changes nothing.
type bar struct {
	mu    sync.Mutex
	p     *program
	shown string
}

func (p *program) bar() *bar { return &bar{p: p} }

func (b *bar) visible() bool {
	file, ok := b.p.err.(*os.File)
	return ok && !b.p.quiet && term.IsTerminal(int(file.Fd()))
}

// show draws the state of one stage.
func (b *bar) show(stage string, done, total int) {
	if !b.visible() || total == 0 {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	const width = 30
	full := width * done / total
	line := fmt.Sprintf("%-20s [%s%s] %d/%d", stage, strings.Repeat("=", full), strings.Repeat(" ", width-full), done, total)
	if line != b.shown {
		fmt.Fprintf(b.p.err, "\r\x1b[K%s", line)
		b.shown = line
	}
}

// clear takes the bar away.
func (b *bar) clear() {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.shown != "" {
		fmt.Fprint(b.p.err, "\r\x1b[K")
		b.shown = ""
	}
}
