package check

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/strips"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// idleKeys says which keys of a joint change nothing, as its flanges are. What can be told from the shell file alone is
// refused when that is read.
func (c *checker) idleKeys() {
	for i := range c.Plan.Joints {
		j := &c.Plan.Joints[i]
		stated, ok := c.Shell.Joint(j.ID)
		if !ok {
			continue
		}
		var own []*strips.Strip
		for _, s := range c.Strips {
			if s.Flange.Joint == j.ID {
				own = append(own, s)
			}
		}
		if len(own) == 0 { // that nothing is welded is said already
			continue
		}
		if j.Kind == layout.RollerJoint && c.WeldsOf(j.ID) == 0 {
			c.idle(j, "nothing of it is spotted", "take it out, or make the joint's kind spot+roller", spotKeys(stated)...)
		}
		if !slices.ContainsFunc(own, func(s *strips.Strip) bool { return s.LastRow > 1 }) {
			c.idle(j, "none of its flanges holds two rows", "take it out, or state rows: 2 on a flange wide enough",
				keyIf(stated.RowDistance > 0, "row_distance_mm")...)
		}
		if !slices.ContainsFunc(own, func(s *strips.Strip) bool { return !s.Flange.Patch || stated.RowPitch == 0 }) {
			c.idle(j, "the rows over its broad contact are as many as row_pitch_mm asks for", "take it out, or change row_pitch_mm",
				keyIf(stated.Rows > 0, "rows")...)
		}
	}
}

func keyIf(stated bool, key string) []string {
	if stated {
		return []string{key}
	}
	return nil
}

// spotKeys are the keys of a joint that only spots follow.
func spotKeys(j *shell.Joint) []string {
	return slices.Concat(keyIf(j.Pitch > 0, "pitch_mm"), keyIf(j.Tack > 0, "tack_every_mm"),
		keyIf(j.Fill != "" && j.Fill != "middle-out", "fill"), keyIf(j.Sealed, "sealed"), keyIf(j.Compression > 0, "compression_mpa"))
}

func (c *checker) idle(j *layout.Joint, why, remedy string, keys ...string) {
	if len(keys) == 0 {
		return
	}
	have := "has"
	if len(keys) > 1 {
		have = "have"
	}
	c.Say(rule.Problem{Rule: "joint.key", Remedy: remedy}, finding.About{Joint: j.ID},
		fmt.Sprintf("joint %s: %s %s no effect, as %s", j.ID, strings.Join(keys, " and "), have, why))
}
