package shell

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
)

func parseJSON(data []byte) (*node, error) {
	if len(bytes.TrimSpace(data)) == 0 {
		return &node{kind: nothing, line: 1}, nil
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.UseNumber()
	t := &jsonTree{dec: dec, lines: newLineIndex(data)}
	root, err := t.value(0)
	if err != nil {
		return nil, t.failure(err)
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		return nil, &parseFailure{t.line(), "something follows the closing brace; keep one shell in one file"}
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

func (t *jsonTree) value(depth int) (*node, error) {
	token, err := t.dec.Token()
	if err != nil {
		return nil, err
	}
	t.count++
	if t.count > mostValues || depth > mostDepth {
		return nil, &parseFailure{t.line(), fmt.Sprintf("the file holds more than %d values or nests deeper than %d; shorten it", mostValues,
			mostDepth)}
	}
	n := &node{line: t.line()}
	switch v := token.(type) {
	case json.Delim:
		if v == '{' {
			n.kind = table
			return n, t.table(n, depth)
		}
		n.kind = list
		return n, t.list(n, depth)
	case string:
		n.kind, n.text = text, v
	case json.Number:
		n.kind, n.text = whole, v.String()
		if strings.ContainsAny(n.text, ".eE") {
			n.kind = number
		}
	case bool:
		n.kind, n.text = truth, fmt.Sprint(v)
	}
	return n, nil
}

func (t *jsonTree) table(n *node, depth int) error {
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

func (t *jsonTree) list(n *node, depth int) error {
	for t.dec.More() {
		child, err := t.value(depth + 1)
		if err != nil {
			return err
		}
		n.items = append(n.items, child)
	}
	_, err := t.dec.Token()
	return err
}

// failure adds the line to the library's errors.
func (t *jsonTree) failure(err error) error {
	var ours *parseFailure
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &ours):
		return ours
	case errors.As(err, &syntax):
		return &parseFailure{t.lines.at(max(int(syntax.Offset)-1, 0)), "this is not JSON: " + syntax.Error()}
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return &parseFailure{len(t.lines), "this is not JSON: the file ends too early; close every brace and bracket"}
	}
	return &parseFailure{t.line(), "this is not JSON: " + err.Error()}
}
