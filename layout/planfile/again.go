package planfile

import (
	"bytes"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"sync"

	"seamwright/layout"
)

// Writer writes one plan after another as Write does. Flanges and welds make up most of a plan: those that are as they were
// when they were last written are not worded anew. The zero value is ready; several goroutines may use it.
type Writer struct {
	mu      sync.Mutex
	flanges worded[layout.Flange]
	welds   worded[layout.Weld]
}

// Bytes is what Write writes of a plan that is rounded, as Round and Read leave it.
func (w *Writer) Bytes(p *layout.Plan) ([]byte, error) {
	w.mu.Lock()
	defer w.mu.Unlock()
	q := *p
	q.Flanges, q.Welds = []layout.Flange{}, []layout.Weld{}
	rest, err := marshal(&q)
	if err != nil {
		return nil, fmt.Errorf("plan: %w", err)
	}
	if w.flanges, err = reword(w.flanges, p.Flanges, func(f *layout.Flange) string { return f.ID }, sameFlange); err != nil {
		return nil, fmt.Errorf("plan: flanges: %w", err)
	}
	number := func(x *layout.Weld) string { return x.Station + " " + strconv.Itoa(x.Number) }
	if w.welds, err = reword(w.welds, p.Welds, number, sameWeld); err != nil {
		return nil, fmt.Errorf("plan: welds: %w", err)
	}
	out := make([]byte, 0, len(rest)+w.flanges.size+w.welds.size)
	out, rest = putList(out, rest, "flanges", w.flanges.texts)
	out, rest = putList(out, rest, "welds", w.welds.texts)
	return append(out, rest...), nil
}

// putList moves the text up to an empty member of the plan to out, and what the member holds after it.
func putList(out, text []byte, member string, items [][]byte) (so, rest []byte) {
	open := []byte("\n" + indentStep + `"` + member + `": [`)
	at := bytes.Index(text, open) + len(open) // no string of JSON has a line end in it
	out = append(out, text[:at]...)
	for i, item := range items {
		if i > 0 {
			out = append(out, ',')
		}
		out = append(out, memberIndent...)
		out = append(out, item...)
	}
	if len(items) > 0 {
		out = append(out, "\n"+indentStep...)
	}
	return out, text[at:]
}

// memberIndent begins the line of an item of one of the plan's lists.
const memberIndent = "\n" + indentStep + indentStep

// worded is a list as it was last written.
type worded[T any] struct {
	items []T
	texts [][]byte       // of each, as it stands in one of the plan's lists
	at    map[string]int // by a name, which may be missing or another's
	size  int            // of the whole list in bytes
}

// reword words a list, with the words that it had for things that are the same.
func reword[T any](was worded[T], items []T, name func(*T) string, same func(a, b *T) bool) (worded[T], error) {
	n := len(items)
	out := worded[T]{items: slices.Clone(items), texts: make([][]byte, n), at: make(map[string]int, n), size: len(memberIndent)}
	for i := range items {
		key := name(&items[i])
		if k, ok := was.at[key]; ok && same(&was.items[k], &items[i]) {
			out.texts[i] = was.texts[k]
		} else {
			compact, err := compactJSON(items[i])
			if err != nil {
				return was, err
			}
			out.texts[i] = layOutWithin(compact, 2)
		}
		out.at[key] = i
		out.size += len(out.texts[i]) + len(memberIndent) + 1
	}
	return out, nil
}

// sameFlange compares the long lists first, and all else by what the type holds.
func sameFlange(a, b *layout.Flange) bool {
	x, y := *a, *b
	x.Line, y.Line, x.Outline, y.Outline = nil, nil, nil, nil
	return slices.Equal(a.Line, b.Line) && slices.EqualFunc(a.Outline, b.Outline, slices.Equal[[]layout.Vec]) && reflect.DeepEqual(x, y)
}

func sameWeld(a, b *layout.Weld) bool { return reflect.DeepEqual(a, b) }
