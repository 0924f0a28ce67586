package drawing

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/geometry/intake"
)

// tally counts what the notes of a drawing say.
type tally struct {
	skipped map[string]int
	order   []string // of skipped, as first met
	paper   int
	hidden  int
	unseen  map[string]int // entities read from a layer that is off or frozen, by what the note says
	mended  []string
}

func (t *tally) skip(what string) {
	if t.skipped == nil {
		t.skipped = map[string]int{}
	}
	if t.skipped[what] == 0 {
		t.order = append(t.order, what)
	}
	t.skipped[what]++
}

// mend notes something assumed, once however often it happens.
func (t *tally) mend(note string) {
	if note != "" && !slices.Contains(t.mended, note) {
		t.mended = append(t.mended, note)
	}
}

// read counts an entity that became a path; inUnseen says that it is in a block whose insert is not shown.
func (t *tally) read(e *entity, l layer, inUnseen bool) {
	t.mend(e.curve.note)
	if e.hidden || inUnseen {
		t.hidden++
	}
	state := ""
	switch {
	case l.frozen:
		state = "frozen"
	case l.off:
		state = "off"
	default:
		return
	}
	if t.unseen == nil {
		t.unseen = map[string]int{}
	}
	t.unseen[fmt.Sprintf("layer %s is %s in the drawing", intake.Quoted(l.name), state)]++
}

// notes lists everything counted, in a fixed order.
func (t *tally) notes() []string {
	notes := slices.Clone(t.mended)
	var unseen []string
	for _, what := range sortedKeys(t.unseen) {
		unseen = append(unseen, fmt.Sprintf("%s; its entities are read all the same: %d", what, t.unseen[what]))
	}
	notes = append(notes, firstOf(unseen, "such layers")...)
	if t.hidden > 0 {
		notes = append(notes, fmt.Sprintf("marked invisible in the drawing, but read all the same: %d", t.hidden))
	}
	if t.paper > 0 {
		notes = append(notes, fmt.Sprintf("skipped: %d in paper space; draw outlines in model space", t.paper))
	}
	if len(t.order) > 0 {
		var parts []string
		for _, what := range t.order {
			parts = append(parts, fmt.Sprintf("%d %s", t.skipped[what], what))
		}
		notes = append(notes, "skipped: "+strings.Join(firstOf(parts, "kinds"), ", "))
	}
	return notes
}

// firstOf keeps a list of notes to a length that somebody may read, and says how many more there are.
func firstOf(list []string, of string) []string {
	const most = 30
	if len(list) <= most {
		return list
	}
	return append(list[:most:most], fmt.Sprintf("and %d more %s", len(list)-most, of))
}

func sortedKeys(m map[string]int) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
