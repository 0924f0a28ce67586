// Package planfile writes and reads the file of a plan, plan.json: the same plan gives the same bytes, every number at the precision
// that its unit asks for, and what fits on a line stands on one. Schema describes it, made from the Go types. Plans of the format
// before are read too.
//
//	err := planfile.Write(file, plan)
//	plan, err := planfile.Read(file)
package planfile

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	jsonv2 "github.com/go-json-experiment/json"
	"github.com/go-json-experiment/json/jsontext"

	"seamwright/layout"
)

// Write writes the plan as JSON: rounded as by Round, members in the order of the Go types, and what fits in
// lineWidth columns on one line. The same plan gives the same bytes. p is not changed. A number that is infinite
// or not a number is an error that names its field, and nothing is written.
func Write(w io.Writer, p *layout.Plan) error {
	q, err := roundedCopy(p)
	if err != nil {
		return err
	}
	text, err := new(Writer).Bytes(q)
	if err != nil {
		return err
	}
	if _, err := w.Write(text); err != nil {
		return fmt.Errorf("plan: write: %w", err)
	}
	return nil
}

// marshal is JSON in the fixed layout, with a line end after it.
func marshal(v any) ([]byte, error) {
	compact, err := compactJSON(v)
	if err != nil {
		return nil, err
	}
	return append(layOutWithin(compact, 0), '\n'), nil
}

func compactJSON(v any) ([]byte, error) {
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSpace(out.Bytes()), nil
}

// Read reads a plan that Write wrote, or one of format 1, which it puts into this format. An unknown member, another format
// number or anything after the plan is an error that names the line. Missing lists come back as lists of length zero.
func Read(r io.Reader) (*layout.Plan, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("plan: %w", err)
	}
	return Parse(text)
}

// Parse is Read of what is in memory.
func Parse(text []byte) (*layout.Plan, error) {
	var err error
	switch format := formatOf(text); {
	case format == 1:
		if text, err = fromFormat1(text); err != nil {
			return nil, fmt.Errorf("plan of format 1: line %d: %w", lineOf(text, err), err)
		}
	case format > layout.Format:
		return nil, fmt.Errorf("plan: its format is %d, this program reads formats 1 to %d: it was written by a newer seamwright; "+
			"use that one, or plan the shell again with this one", format, layout.Format)
	}
	p := new(layout.Plan)
	if err := jsonv2.Unmarshal(text, p, jsonv2.RejectUnknownMembers(true)); err != nil { // half the time of encoding/json
		return nil, fmt.Errorf("plan: line %d: %s", lineOf(text, err), why(err))
	}
	if p.Format != layout.Format {
		return nil, fmt.Errorf("plan: format is %d, this program reads formats 1 to %d: plan the shell again", p.Format, layout.Format)
	}
	return p, Round(p)
}

// formatOf is the format that a plan says it is of; 0 where it does not say so, or is no plan, which decoding tells.
func formatOf(text []byte) int {
	d := json.NewDecoder(bytes.NewReader(text))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return 0
	}
	for d.More() { // format comes first in what Write wrote: the rest is not looked at
		name, err := d.Token()
		if err != nil {
			return 0
		}
		if name == "format" {
			format := 0
			if d.Decode(&format) != nil {
				return 0
			}
			return format
		}
		if err := d.Decode(new(json.RawMessage)); err != nil {
			return 0
		}
	}
	return 0
}

// why says what decoding met, without the Go types.
func why(err error) string {
	var written *jsontext.SyntacticError
	var meant *jsonv2.SemanticError
	switch {
	case errors.As(err, &written):
		return strings.Replace(strings.TrimPrefix(written.Error(), "jsontext: "), "after top-level value", "follows the plan's closing brace", 1)
	case !errors.As(err, &meant):
		return err.Error()
	case errors.Is(meant.Err, jsonv2.ErrUnknownName):
		return fmt.Sprintf("%q is nothing that a plan has within %s", meant.JSONPointer.LastToken(), within(meant.JSONPointer.Parent()))
	case meant.Err != nil:
		return fmt.Sprintf("%s: %v", within(meant.JSONPointer), meant.Err)
	}
	return fmt.Sprintf("%s is of another kind than a plan's", within(meant.JSONPointer))
}

func within(place jsontext.Pointer) string {
	if place == "" {
		return "its outermost level"
	}
	return strconv.Quote(string(place))
}

// lineOf is the line at which decoding stopped.
func lineOf(text []byte, err error) int {
	var offset int64
	var syntax *json.SyntaxError
	var kind *json.UnmarshalTypeError
	var written *jsontext.SyntacticError
	var meant *jsonv2.SemanticError
	switch {
	case errors.As(err, &syntax):
		offset = syntax.Offset
	case errors.As(err, &kind):
		offset = kind.Offset
	case errors.As(err, &written):
		offset = written.ByteOffset
	case errors.As(err, &meant):
		offset = meant.ByteOffset
	}
	return 1 + bytes.Count(text[:min(max(offset, 0), int64(len(text)))], []byte("\n"))
}
