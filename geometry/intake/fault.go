package intake

import "fmt"

// Fault is what is wrong at a place of a file, and how to mend it. Who knows the file's name adds it.
type Fault struct {
	At      int64 // a line from 1, or a byte from the start of the file, as its reader says; 0 where it is the file as a whole
	Problem string
}

// FaultAt is the fault at a place, its problem worded as by fmt.Sprintf.
func FaultAt(at int64, format string, args ...any) error {
	return &Fault{At: at, Problem: fmt.Sprintf(format, args...)}
}

func (f *Fault) Error() string { return f.Problem }

// Quoted shortens a text from a file for an error message and makes it printable.
func Quoted(s string) string {
	const most = 40
	if len(s) > most {
		s = s[:most] + "…"
	}
	return fmt.Sprintf("%q", s)
}
