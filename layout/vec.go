package layout

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
)

// UnmarshalJSON refuses a point that has not three numbers.
func (v *Vec) UnmarshalJSON(text []byte) error {
	if v.read(text) { // a large plan has hundreds of thousands
		return nil
	}
	numbers := make([]float64, 0, len(v))
	if err := json.Unmarshal(text, &numbers); err != nil {
		return err
	}
	if len(numbers) != len(v) {
		return fmt.Errorf("%s holds %d numbers: a point is [x, y, z]", text, len(numbers))
	}
	copy(v[:], numbers)
	return nil
}

// read takes a list of three numbers, and nothing else.
func (v *Vec) read(text []byte) bool {
	text, ok := bytes.CutPrefix(bytes.TrimSpace(text), []byte("["))
	text, end := bytes.CutSuffix(text, []byte("]"))
	if !ok || !end {
		return false
	}
	var out Vec
	for i := range out {
		number, rest, more := bytes.Cut(text, []byte(","))
		n, err := strconv.ParseFloat(string(bytes.TrimSpace(number)), 64)
		if err != nil || more != (i < len(out)-1) {
			return false
		}
		out[i], text = n, rest
	}
	*v = out
	return true
}
