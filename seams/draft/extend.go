package draft

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Addition is what Extend adds. A panel's steel is the id that Steel names.
type Addition struct {
	Panels   []Panel
	Joints   []Joint
	Arrivals map[string][]string // panels by the station to which they come
	Parts    map[string][]string // panels by the sub-assembly that they are parts of
}

// Extend adds to the text of a shell file in YAML, each entry marked CHECK, behind those that are there. Every other byte
// stays as it is. Joints are added only to a list of joints: a file without one has them found anew at each plan.
func Extend(text []byte, add Addition) ([]byte, error) {
	var doc yaml.Node
	if err := yaml.Unmarshal(text, &doc); err != nil || len(doc.Content) != 1 || doc.Content[0].Kind != yaml.MappingNode {
		return nil, fmt.Errorf("it cannot be added to: it is no YAML file of keys and values")
	}
	e := extension{lines: strings.SplitAfter(string(text), "\n"), newline: "\n"}
	if bytes.Contains(text, []byte("\r\n")) {
		e.newline = "\r\n"
	}
	if last := len(e.lines) - 1; e.lines[last] == "" {
		e.lines = e.lines[:last]
	}
	keys := doc.Content[0].Content
	var err error
	for i := len(keys) - 2; i >= 0 && err == nil; i -= 2 { // from below, so that the lines above keep their numbers
		end := len(e.lines)
		if i+2 < len(keys) {
			end = keys[i+2].Line - 1
		}
		switch keys[i].Value {
		case "panels":
			err = e.add(keys[i], keys[i+1], end, panelEntries(add.Panels))
		case "joints":
			err = e.add(keys[i], keys[i+1], end, jointEntries(add.Joints, idsIn(keys[i+1])))
		case "stations":
			err = e.within(keys[i+1], "arrives", end, add.Arrivals)
		case "subassemblies":
			err = e.within(keys[i+1], "parts", end, add.Parts)
		}
	}
	return []byte(strings.Join(e.lines, "")), err
}

// extension is a text that is being added to.
type extension struct {
	lines   []string // each with its end
	newline string
}

// add puts entries, each several lines, behind those of a list that ends before the line of number end, from 0.
func (e *extension) add(key, list *yaml.Node, end int, entries [][]string) error {
	if len(entries) == 0 {
		return nil
	}
	indent := "  "
	switch {
	case list.Kind == yaml.SequenceNode && list.Style&yaml.FlowStyle == 0 && len(list.Content) > 0:
		line := e.lines[list.Content[0].Line-1]
		indent = line[:len(line)-len(strings.TrimLeft(line, " "))]
	case list.Kind == yaml.SequenceNode && len(list.Content) == 0 && list.Line == key.Line:
		e.lines[key.Line-1] = strings.Replace(e.lines[key.Line-1], "[]", "", 1)
		end = key.Line
	default:
		return fmt.Errorf("line %d: %s is not written one entry below the other: write it so, and call new again", key.Line, key.Value)
	}
	for end > key.Line && apart(e.lines[end-1], indent) {
		end--
	}
	if n := len(e.lines); end == n && !strings.HasSuffix(e.lines[n-1], "\n") {
		e.lines[n-1] += e.newline
	}
	var added []string
	for _, entry := range entries {
		for k, line := range entry {
			added = append(added, indent+map[bool]string{true: "- ", false: "  "}[k == 0]+line+e.newline)
		}
	}
	e.lines = slices.Insert(e.lines, end, added...)
	return nil
}

// within adds ids to a list of ids in the entries of a list, by the entries' ids.
func (e *extension) within(list *yaml.Node, key string, end int, ids map[string][]string) error {
	for i := len(list.Content) - 1; i >= 0; i-- {
		entry := list.Content[i].Content
		last := end
		if i+1 < len(list.Content) {
			last = list.Content[i+1].Line - 1
		}
		for k := len(entry) - 2; k >= 0; k -= 2 {
			if k+2 < len(entry) {
				last = max(entry[k].Line, entry[k+2].Line-1)
			}
			if added := ids[valueOf(entry, "id")]; entry[k].Value == key && len(added) > 0 {
				if err := e.addIDs(entry[k], entry[k+1], last, added); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func valueOf(entry []*yaml.Node, key string) string {
	for k := 0; k+1 < len(entry); k += 2 {
		if entry[k].Value == key {
			return entry[k+1].Value
		}
	}
	return ""
}

// addIDs adds ids to a list of ids, one below the other or all on one line as the list is written.
func (e *extension) addIDs(key, list *yaml.Node, end int, ids []string) error {
	if list.Style&yaml.FlowStyle == 0 {
		entries := make([][]string, len(ids))
		for i, id := range ids {
			entries[i] = []string{strconv.Quote(id) + " # CHECK: added"}
		}
		return e.add(key, list, end, entries)
	}
	last := list
	if n := len(list.Content); n > 0 {
		last = list.Content[n-1]
	}
	line := []rune(e.lines[last.Line-1])
	at := last.Column - 1
	switch {
	case last == list:
		at++ // behind the bracket
	case line[at] == '"' || line[at] == '\'':
		for quote := line[at]; at+1 < len(line) && line[at+1] != quote; at++ {
		}
		at += 2
	default:
		at += len([]rune(last.Value))
	}
	if at > len(line) {
		return fmt.Errorf("line %d: %s cannot be added to: write it one entry below the other, and call new again", key.Line, key.Value)
	}
	words := strings.Trim(quotedList(ids), "[]")
	if last != list {
		words = ", " + words
	}
	e.lines[last.Line-1] = string(line[:at]) + words + string(line[at:])
	return nil
}

// apart reports whether a line is no part of the list before it: an empty one, or a remark that stands no deeper than the
// list's entries.
func apart(line, indent string) bool {
	text := strings.TrimSpace(line)
	return text == "" || strings.HasPrefix(text, "#") && len(line)-len(strings.TrimLeft(line, " ")) <= len(indent)
}

func panelEntries(panels []Panel) [][]string {
	var out [][]string
	for _, p := range panels {
		entry := []string{fmt.Sprintf("id: %-24s # CHECK: added", strconv.Quote(p.ID))}
		if isDrawing(p.File) {
			entry = append(entry, "outline: "+strconv.Quote(p.File))
			if len(p.Layers) > 0 {
				entry = append(entry, "layers:                      # CHECK: outline, weld-line, hole, keep-out or ignore")
			}
			for _, l := range p.Layers {
				entry = append(entry, fmt.Sprintf("  - {layer: %s, role: %s}", strconv.Quote(l), LayerRole(l)))
			}
		} else {
			entry = append(entry, "mesh: "+strconv.Quote(p.File), fmt.Sprintf("surface: %-19s # CHECK: mid, skin or solid", p.Surface))
		}
		if p.Unit != "" {
			entry = append(entry, "unit: "+strconv.Quote(p.Unit))
		}
		out = append(out, append(entry, fmt.Sprintf("steel: %-21s # CHECK: %s", strconv.Quote(p.Steel), p.How)))
	}
	return out
}

func jointEntries(joints []Joint, taken map[string]bool) [][]string {
	var out [][]string
	for _, j := range joints {
		id := free(cut(strings.Join(j.Panels, "+")), taken)
		out = append(out, []string{
			fmt.Sprintf("id: %-24s # CHECK: added; %d flanges, %.0f mm long, %.1f mm wide", strconv.Quote(id), j.Flanges, j.Length, j.Width),
			"panels: " + quotedList(j.Panels), "kind: spot",
		})
	}
	return out
}

// idsIn are the ids of a list's entries, letter case folded.
func idsIn(list *yaml.Node) map[string]bool {
	out := map[string]bool{}
	for _, entry := range list.Content {
		for k := 0; k+1 < len(entry.Content); k += 2 {
			if entry.Content[k].Value == "id" {
				out[strings.ToLower(entry.Content[k+1].Value)] = true
			}
		}
	}
	return out
}
