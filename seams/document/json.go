package document

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

func parseJSON(data []byte) (*Node, error) {
	if len(bytes.TrimSpace(data)) == 0 {
		return &Node{Kind: Nothing, Line: 1}, nil
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	t := &jsonTree{dec: dec, lines: newLineIndex(data)}
	root, err := t.value(0)
	if err != nil {
		return nil, t.failure(err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, &Failure{t.line(), "something follows the closing brace; keep one shell in one file"}
	}
	return root, nil
}

// jsonTree builds the tree from the library's tokens.
type jsonTree struct {
	dec   *json.Decoder
	lines lineIndex
	count int
}

// line is the line of the token read last.
func (t *jsonTree) line() int { return t.lines.at(max(int(t.dec.InputOffset())-1, 0)) }

func (t *jsonTree) value(depth int) (*Node, error) {
	token, err := t.dec.Token()
	if err != nil {
		return nil, err
	}
	t.count++
	if t.count > MostValues || depth > mostDepth {
		return nil, &Failure{t.line(), fmt.Sprintf("the file holds more than %d values or nests deeper than %d; shorten it", MostValues,
			mostDepth)}
	}
	n := &Node{Line: t.line()}
	switch v := token.(type) {
	case json.Delim:
		if v == '{' {
			n.Kind = Table
			return n, t.table(n, depth)
		}
		n.Kind = List
		return n, t.list(n, depth)
	case string:
		n.Kind, n.Text = Text, v
	case json.Number:
		n.Kind, n.Text = Whole, v.String()
		if strings.ContainsAny(n.Text, ".eE") {
			n.Kind = Number
		}
	case bool:
		n.Kind, n.Text = Truth, fmt.Sprint(v)
	}
	return n, nil
}

func (t *jsonTree) table(n *Node, depth int) error {
	for t.dec.More() {
		token, err := t.dec.Token()
		if err != nil {
			return err
		}
		key, _ := token.(string) // the decoder lets nothing else stand here
		line := t.line()
		child, err := t.value(depth + 1)
		if err != nil {
			return err
		}
		n.put(key, line, child)
	}
	_, err := t.dec.Token()
	return err
}

func (t *jsonTree) list(n *Node, depth int) error {
	for t.dec.More() {
		child, err := t.value(depth + 1)
		if err != nil {
			return err
		}
		n.Items = append(n.Items, child)
	}
	_, err := t.dec.Token()
	return err
}

// failure adds the line to the library's errors.
func (t *jsonTree) failure(err error) error {
	var ours *Failure
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &ours):
		return ours
	case errors.As(err, &syntax):
		return &Failure{t.lines.at(max(int(syntax.Offset)-1, 0)), "this is not JSON: " + syntax.Error()}
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return &Failure{len(t.lines), "this is not JSON: the file ends too early; close every brace and bracket"}
	}
	return &Failure{t.line(), "this is not JSON: " + err.Error()}
}
