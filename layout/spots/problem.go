package spots

import (
	"fmt"
	"strings"
)

// String says the problem in one line of words, without its source or remedy.
func (p Problem) String() string {
	switch p.Kind {
	case Narrow:
		return fmt.Sprintf("%s, %s: the strip is %.1f mm wide, %.1f mm too narrow to keep clear of both sides (%d welds there)", p.Line,
			p.stretch(), p.Value, p.Limit-p.Value, p.Welds)
	case NarrowRows:
		return fmt.Sprintf("%s, %s: the strip is %.1f mm wide, %.1f mm too narrow for %s", p.Line, p.stretch(), p.Value, p.Limit-p.Value,
			rowsText(p.Rows))
	case LeftOut:
		return fmt.Sprintf("%s, %s: left out: the strip is %.1f mm wide, a weld needs %.1f mm", p.Line, p.stretch(), p.Value, p.Limit)
	case ByHand:
		return fmt.Sprintf("%s, edit %s: the nearest weld or end of the line is %.1f mm away, %.1f mm at most", p.Line, p.Other, p.Value,
			p.Limit)
	case Short:
		return fmt.Sprintf("%s: the line is %.1f mm long, two welds need %.1f mm", p.Line, p.Value, p.Limit)
	case Blocked:
		return fmt.Sprintf("%s, %s: no place is left for a weld%s", p.Line, p.stretch(), p.because())
	case EndOpen:
		return fmt.Sprintf("%s, %s: the end is %.1f mm from the nearest weld, %.1f mm at most%s", p.Line, p.stretch(), p.Value, p.Limit,
			p.because())
	case PitchAbove:
		return fmt.Sprintf("%s, %s: the pitch is %.1f mm, %.1f mm at most%s", p.Line, p.stretch(), p.Value, p.Limit, p.because())
	case CountShort, LoadWish:
		return fmt.Sprintf("%s: %.0f welds fit at the least pitch, %.0f are asked for", p.Line, p.Value, p.Limit)
	case PitchWish:
		return fmt.Sprintf("%s: the wanted pitch of %.1f mm is below the least; %.1f mm used", p.Line, p.Value, p.Limit)
	case TooNear:
		return fmt.Sprintf("%s at %.1f mm: %.1f mm from the weld on %s at %.1f mm, least pitch %.1f mm", p.Line, p.From, p.Value, p.Other,
			p.OtherS, p.Limit)
	case FewTacks:
		return fmt.Sprintf("%s: %.0f tacks can be reached, %.0f are needed%s", p.Line, p.Value, p.Limit, p.because())
	case TackGap:
		return fmt.Sprintf("%s, %s: %.1f mm between tacks, %.1f mm at most%s", p.Line, p.stretch(), p.Value, p.Limit, p.because())
	}
	return fmt.Sprintf("%s: %s", p.Line, p.Kind)
}

func rowsText(n int) string {
	if n == 2 {
		return "two rows"
	}
	return fmt.Sprintf("%d rows", n)
}

func (p Problem) stretch() string { return fmt.Sprintf("%.1f to %.1f mm", p.From, p.To) }

func (p Problem) because() string {
	if len(p.KeepOuts) == 0 {
		return ""
	}
	return " (" + strings.Join(p.KeepOuts, ", ") + " in the way)"
}
