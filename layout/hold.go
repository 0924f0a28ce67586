package layout

import (
	"fmt"
	"slices"
	"strings"
)

// Tacks stands for a station's tacks where ids are stated.
const Tacks = "tacks"

// Stated lists the ids that the shell file names as waiting for the hold point.
func (h HoldPoint) Stated() []string {
	if h.Before == "" {
		return nil
	}
	return strings.Split(h.Before, ", ")
}

// First says that everything at the station waits for the hold point.
func (h HoldPoint) First() bool { return h.Before == "" && len(h.Joints) == 0 }

// Holds says whether a joint waits for the hold point. A plan that lists no joints means what is stated.
func (h HoldPoint) Holds(joint string) bool {
	if len(h.Joints) > 0 {
		return slices.Contains(h.Joints, joint)
	}
	return slices.Contains(h.Stated(), joint)
}

// BeforeWords says what waits for the hold point, to be read after "before".
func (h HoldPoint) BeforeWords() string {
	const most = 3 // ids that are read at a glance
	joints := h.Joints
	if len(joints) == 0 {
		joints = h.Stated()
	}
	switch n := len(joints); {
	case n == 0:
		return "first weld"
	case h.Before == Tacks:
		return Tacks
	case n == 1:
		return "joint " + joints[0]
	case n <= most:
		return "joints " + strings.Join(joints, ", ")
	default:
		return fmt.Sprintf("first weld of %d joints", n)
	}
}
