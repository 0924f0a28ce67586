package planfile

import (
	"bytes"
	"encoding/json"
	"fmt"

	"seamwright/geometry/curve"
	"seamwright/layout"
)

// flange1 is what a flange of format 1 says in other words than this program's.
type flange1 struct {
	Length   float64      `json:"length"`
	Closed   bool         `json:"closed"`
	WeldLine []layout.Vec `json:"weld_line"`
	Normals  []layout.Vec `json:"normals"`
	Left     []float64    `json:"left"`
	Right    []float64    `json:"right"`
	Air      []float64    `json:"air"`
	Sides    []struct {
		To    float64     `json:"to"`
		Left  layout.Edge `json:"left"`
		Right layout.Edge `json:"right"`
	} `json:"sides"`
}

// facesOfSpots leaves the face that a spot's setting was published for out: only a roller's wheel stands there now.
func facesOfSpots(plan map[string]json.RawMessage) error {
	var settings []map[string]json.RawMessage
	raw, ok := plan["settings"]
	if !ok {
		return nil
	}
	if err := json.Unmarshal(raw, &settings); err != nil {
		return err
	}
	for _, s := range settings {
		if string(s["kind"]) != `"roller"` {
			s["face"] = json.RawMessage("0")
		}
	}
	text, err := json.Marshal(settings)
	plan["settings"] = text
	return err
}

// fromFormat1 puts the members of a plan of format 1 into the names and lists of this format. Unknown members stay, for the
// reader to refuse.
func fromFormat1(text []byte) ([]byte, error) {
	var plan map[string]json.RawMessage
	if err := json.Unmarshal(text, &plan); err != nil {
		return nil, err
	}
	plan["format"] = fmt.Append(nil, layout.Format)
	if seams, ok := plan["rollers"]; ok {
		plan["seams"] = seams
		delete(plan, "rollers")
	}
	if err := facesOfSpots(plan); err != nil {
		return nil, err
	}
	var flanges []map[string]json.RawMessage
	var old []flange1
	if raw, ok := plan["flanges"]; ok {
		if err := json.Unmarshal(raw, &flanges); err != nil {
			return nil, err
		}
		if err := json.Unmarshal(raw, &old); err != nil {
			return nil, err
		}
	}
	for i, f := range flanges {
		line, err := json.Marshal(old[i].line())
		if err != nil {
			return nil, err
		}
		f["line"] = line
		if gap, ok := f["gap"]; ok {
			f["air"] = gap
		} else {
			delete(f, "air")
		}
		for _, gone := range []string{"gap", "weld_line", "normals", "left", "right", "sides"} {
			delete(f, gone)
		}
	}
	var err error
	if plan["flanges"], err = json.Marshal(flanges); err != nil {
		return nil, err
	}
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	err = encoder.Encode(plan)
	return out.Bytes(), err
}

// line is the weld line. Format 1 does not hold the finder's lengths along it, so those of its chords are stretched to its
// length: a hair off.
func (f flange1) line() []layout.LinePoint {
	out := make([]layout.LinePoint, len(f.WeldLine))
	if len(out) == 0 {
		return out
	}
	chords := curve.New(layout.R3s(f.WeldLine), f.Closed)
	stretch := 1.0
	if chords.Length() > 0 && f.Length > 0 {
		stretch = f.Length / chords.Length()
	}
	nth := func(list []float64, i int) float64 {
		if i < len(list) {
			return list[i]
		}
		return 0
	}
	side := 0
	for i, at := range f.WeldLine {
		p := layout.LinePoint{Along: float64(chords.Sum(i) * stretch), At: at, Left: nth(f.Left, i), Right: nth(f.Right, i), Air: nth(f.Air, i)}
		if i < len(f.Normals) {
			p.Normal = f.Normals[i]
		}
		for side+1 < len(f.Sides) && p.Along > f.Sides[side].To {
			side++
		}
		if len(f.Sides) > 0 {
			p.Ends = [2]layout.Edge{f.Sides[side].Left, f.Sides[side].Right}
		}
		out[i] = p
	}
	return out
}
