package shellfile

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"seamwright/seams/document"
)

// mostProblems is how many problems are told one by one; a file in the wrong format would give thousands.
const mostProblems = 20

// Problem is one thing wrong with a shell file, an environment variable or an override.
type Problem struct {
	File   string // the shell file as it was given, "environment" or "override"
	Line   int    // from 1; 0 when there is none
	Place  string // the key with its full place, such as panels[3].thickness_mm
	What   string
	Remedy string
	Cause  error // the operating system's or parser's error, if there is one
}

// Error is one line: file:line: place: what; remedy.
func (p Problem) Error() string {
	var b strings.Builder
	b.WriteString(p.File)
	if p.Line > 0 {
		fmt.Fprintf(&b, ":%d", p.Line)
	}
	b.WriteString(": ")
	if p.Place != "" {
		b.WriteString(p.Place + ": ")
	}
	b.WriteString(p.What)
	if p.Remedy != "" {
		b.WriteString("; " + p.Remedy)
	}
	return document.OneLine(b.String())
}

// Unwrap gives the cause, so that callers can ask for fs.ErrNotExist.
func (p Problem) Unwrap() error { return p.Cause }

// Problems is the error that Read returns: everything found wrong, in the order of the file, at most twenty one
// by one.
type Problems struct {
	List []Problem
	More int // problems beyond those in List
}

// Error is one line for each problem.
func (p *Problems) Error() string {
	lines := make([]string, 0, len(p.List)+1)
	for _, one := range p.List {
		lines = append(lines, one.Error())
	}
	if p.More > 0 {
		lines = append(lines, fmt.Sprintf("and %d more problems; mend these first", p.More))
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the single problems.
func (p *Problems) Unwrap() []error {
	errs := make([]error, len(p.List))
	for i, one := range p.List {
		errs[i] = one
	}
	return errs
}

// problems collects what is wrong with one file.
type problems struct {
	file  string
	lines map[string]int    // place to line, of everything that stands in the file
	from  map[string]source // place to where its value comes from instead
	list  []Problem
}

// source is where a value comes from that is not the file's.
type source struct {
	file string // "environment" or "override"
	key  string
}

// at reports a problem with a value that was read; its line is found from its place.
func (p *problems) at(place, what, remedy string) {
	if s, ok := p.from[place]; ok {
		p.list = append(p.list, Problem{File: s.file, Place: s.key, What: what, Remedy: remedy})
		return
	}
	p.list = append(p.list, Problem{File: p.file, Line: p.line(place), Place: place, What: what, Remedy: remedy})
}

// line is the line of a place, or of the nearest thing around it that stands in the file.
func (p *problems) line(place string) int {
	for place != "" {
		if n, ok := p.lines[place]; ok {
			return n
		}
		place = place[:max(strings.LastIndexAny(place, ".["), 0)]
	}
	return p.lines[""]
}

// stated reports whether a place has a value from the file, the environment or an override.
func (p *problems) stated(place string) bool {
	_, inFile := p.lines[place]
	_, elsewhere := p.from[place]
	return inFile || elsewhere
}

// err gives everything collected as one error, or nil.
func (p *problems) err() error {
	if len(p.list) == 0 {
		return nil
	}
	list := slices.Clone(p.list)
	slices.SortStableFunc(list, func(a, b Problem) int { return cmp.Compare(a.Line, b.Line) })
	shown := min(len(list), mostProblems)
	return &Problems{List: list[:shown], More: len(list) - shown}
}
