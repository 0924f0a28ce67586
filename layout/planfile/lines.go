package planfile

import "bytes"

// lineWidth is the greatest width of a line that holds a whole list or object, in bytes.
const lineWidth = 200

// indentStep is what each level is set in by.
const indentStep = "  "

// span is one list or object of compact JSON.
type span struct {
	end    int // index of its closing bracket
	spaces int // blanks that it gains when written on one line
	next   int // index of the first span that opens after it closes
}

// layOutWithin spreads compact JSON over lines: a list or object that fits on the line is kept whole, so that a point
// reads [12.5, 0, 3]; any other has one member a line. The text stands so many levels deep, at the beginning of its line.
func layOutWithin(compact []byte, depth int) []byte {
	l := lines{in: compact, spans: findSpans(compact), depth: depth, start: -depth * len(indentStep)}
	l.out.Grow(len(compact) + len(compact)/2)
	for l.at < len(l.in) {
		l.token()
	}
	return l.out.Bytes()
}

// lines is the state of one pass over compact JSON.
type lines struct {
	in    []byte
	at    int
	spans []span
	span  int // the next span to open
	depth int
	start int // where the line begins in out
	out   bytes.Buffer
}

func (l *lines) token() {
	switch c := l.in[l.at]; c {
	case '{', '[':
		l.open()
		return
	case '}', ']':
		l.depth--
		l.newLine()
		l.out.WriteByte(c)
	case ',':
		l.out.WriteByte(c)
		l.newLine()
	case ':':
		l.out.WriteString(": ")
	case '"':
		end := stringEnd(l.in, l.at)
		l.out.Write(l.in[l.at : end+1])
		l.at = end
	default:
		l.out.WriteByte(c)
	}
	l.at++
}

// open writes the whole span when it fits, else its bracket alone.
func (l *lines) open() {
	s := l.spans[l.span]
	column := l.out.Len() - l.start
	if width := s.end + 1 - l.at + s.spaces; column+width < lineWidth || s.end == l.at+1 {
		l.inline(s.end)
		l.span = s.next
		return
	}
	l.out.WriteByte(l.in[l.at])
	l.at++
	l.span++
	l.depth++
	l.newLine()
}

// inline copies up to end with a blank after each comma and colon.
func (l *lines) inline(end int) {
	for ; l.at <= end; l.at++ {
		c := l.in[l.at]
		if c == '"' {
			close := stringEnd(l.in, l.at)
			l.out.Write(l.in[l.at : close+1])
			l.at = close
			continue
		}
		l.out.WriteByte(c)
		if c == ',' || c == ':' {
			l.out.WriteByte(' ')
		}
	}
}

func (l *lines) newLine() {
	l.out.WriteByte('\n')
	l.start = l.out.Len()
	for range l.depth {
		l.out.WriteString(indentStep)
	}
}

// findSpans lists the lists and objects of compact JSON in the order in which they open.
func findSpans(in []byte) []span {
	var spans []span
	var open, before []int // spans that have not closed; separators seen when they opened
	separators := 0
	for i := 0; i < len(in); i++ {
		switch in[i] {
		case '"':
			i = stringEnd(in, i)
		case ',', ':':
			separators++
		case '{', '[':
			open, before = append(open, len(spans)), append(before, separators)
			spans = append(spans, span{})
		case '}', ']':
			last := len(open) - 1
			spans[open[last]] = span{end: i, spaces: separators - before[last], next: len(spans)}
			open, before = open[:last], before[:last]
		}
	}
	return spans
}

// stringEnd is the index of the quote that closes the string opened at i.
func stringEnd(in []byte, i int) int {
	for i++; in[i] != '"'; i++ {
		if in[i] == '\\' {
			i++
		}
	}
	return i
}
