package document

import (
	"errors"
	"fmt"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/pelletier/go-toml/v2/unstable"
)

func parseTOML(data []byte) (*Node, error) {
	// The library's decoder knows the rules on repeated keys and tables; its parser knows the lines.
	var values map[string]any
	if err := toml.Unmarshal(data, &values); err != nil {
		return nil, tomlFailure(err)
	}
	t := &tomlTree{lines: newLineIndex(data), root: &Node{Kind: Table, Line: 1}}
	t.parser.Reset(data)
	at := t.root
	for t.parser.NextExpression() {
		expression := t.parser.Expression()
		var err error
		switch expression.Kind {
		case unstable.Table:
			at, err = t.descend(t.root, keys(expression), false)
		case unstable.ArrayTable:
			at, err = t.descend(t.root, keys(expression), true)
		case unstable.KeyValue:
			err = t.keyValue(at, expression, 0)
		}
		if err != nil {
			return nil, err
		}
	}
	if err := t.parser.Error(); err != nil {
		return nil, tomlFailure(err)
	}
	return t.root, nil
}

// tomlTree builds the tree from the library's expressions.
type tomlTree struct {
	parser unstable.Parser
	lines  lineIndex
	root   *Node
	count  int
}

type tomlKey struct {
	name   string
	offset uint32
}

func keys(n *unstable.Node) []tomlKey {
	var out []tomlKey
	for it := n.Key(); it.Next(); {
		out = append(out, tomlKey{string(it.Node().Data), it.Node().Raw.Offset})
	}
	return out
}

func (t *tomlTree) line(offset uint32) int { return t.lines.at(int(offset)) }

// descend walks a table header's keys from n and makes the tables that are not there yet; with grow the last key
// gets one more entry of a list.
func (t *tomlTree) descend(n *Node, path []tomlKey, grow bool) (*Node, error) {
	for i, key := range path {
		line := t.line(key.offset)
		if err := t.bound(line, i); err != nil {
			return nil, err
		}
		child := n.ByKey[key.name]
		if child == nil {
			child = &Node{Kind: Table, Line: line}
			if grow && i == len(path)-1 {
				child.Kind = List
			}
			n.put(key.name, line, child)
		}
		if child.Kind == List {
			if grow && i == len(path)-1 {
				child.Items = append(child.Items, &Node{Kind: Table, Line: line})
			}
			if len(child.Items) == 0 {
				return nil, &Failure{line, fmt.Sprintf("%s is an empty list here; give it an entry first", key.name)}
			}
			child = child.Items[len(child.Items)-1]
		}
		n = child
	}
	return n, nil
}

func (t *tomlTree) keyValue(at *Node, kv *unstable.Node, depth int) error {
	path := keys(kv)
	last := path[len(path)-1]
	parent, err := t.descend(at, path[:len(path)-1], false)
	if err != nil {
		return err
	}
	line := t.line(last.offset)
	value, err := t.value(kv.Value(), line, depth+1)
	if err != nil {
		return err
	}
	parent.put(last.name, line, value)
	return nil
}

func (t *tomlTree) value(v *unstable.Node, line, depth int) (*Node, error) {
	if err := t.bound(line, depth); err != nil {
		return nil, err
	}
	if v.Raw.Length > 0 {
		line = t.line(v.Raw.Offset)
	}
	n := &Node{Kind: tomlKind(v.Kind), Line: line, Text: string(v.Data)}
	for it := v.Children(); it.Next(); {
		child := it.Node()
		if v.Kind == unstable.InlineTable {
			if err := t.keyValue(n, child, depth+1); err != nil {
				return nil, err
			}
			continue
		}
		item, err := t.value(child, line, depth+1)
		if err != nil {
			return nil, err
		}
		n.Items = append(n.Items, item)
	}
	return n, nil
}

func (t *tomlTree) bound(line, depth int) error {
	t.count++
	if t.count > MostValues || depth > mostDepth {
		return &Failure{line, fmt.Sprintf("the file holds more than %d values or nests deeper than %d; shorten it", MostValues, mostDepth)}
	}
	return nil
}

func tomlKind(k unstable.Kind) Kind {
	switch k {
	case unstable.InlineTable:
		return Table
	case unstable.Array:
		return List
	case unstable.String:
		return Text
	case unstable.Integer:
		return Whole
	case unstable.Float:
		return Number
	case unstable.Bool:
		return Truth
	case unstable.LocalDate, unstable.LocalTime, unstable.LocalDateTime, unstable.DateTime:
		return Date
	}
	return Strange
}

func tomlFailure(err error) error {
	var decode *toml.DecodeError
	if errors.As(err, &decode) {
		line, _ := decode.Position()
		return &Failure{line, "this is not TOML: " + strings.TrimPrefix(decode.Error(), "toml: ")}
	}
	return &Failure{0, "this is not TOML: " + strings.TrimPrefix(err.Error(), "toml: ")}
}
