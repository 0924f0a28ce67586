package dxf

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/intake"
)

// opened is a reader at the first tag of a text file: groups by their codes and values, blanks between.
func opened(t *testing.T, groups string) *Reader {
	t.Helper()
	r, err := Open(strings.ReplaceAll(groups, " ", "\n") + "\n")
	if err == nil {
		err = r.Advance()
	}
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// Only the record's own groups are in it, each with its line.
func TestRecord(t *testing.T) {
	r := opened(t, "0 SPLINE 8 a 102 {ACAD 8 b 102 } 999 remark 70 4.0 10 1 20 2 30 3 10 4 20 5 101 Embedded 8 c 1040 7 0 EOF")
	rec, err := r.Record(2)
	if err != nil || rec.Kind != "SPLINE" || rec.At != 2 || rec.Text(8) != "a" || !r.Cur.Is("EOF") {
		t.Fatalf("%+v, %v, then %+v", rec, err, r.Cur)
	}
	if flags, err := rec.Whole(70, 0); flags != 4 || err != nil {
		t.Errorf("flags %d, %v", flags, err)
	}
	if list, err := rec.Points(10); fmt.Sprint(list) != fmt.Sprint([]r3.Vector{{X: 1, Y: 2, Z: 3}, {X: 4, Y: 5}}) || err != nil {
		t.Errorf("points %v, %v", list, err)
	}
	if p, ok, err := rec.Point(11); ok || err != nil {
		t.Errorf("point %v, which is not there, %v", p, err)
	}
	if tag, ok := rec.Find(70); !ok || tag.At != 14 {
		t.Errorf("%+v: want line 14", tag)
	}
	if err := r.Advance(); !errors.Is(err, io.EOF) || !Ended(err) {
		t.Errorf("after the last: %v", err)
	}
}

// What cannot be read is told with its line.
func TestRecordFaults(t *testing.T) {
	for groups, want := range map[string]string{
		"0 LINE 10 1 10 3 10 4 0 EOF": "8: LINE has more than 2 points: draw it with fewer, or allow more",
		"0 LINE 10 1 0 EOF":           "2: LINE has no place (groups 10 and 20): export the drawing again",
		"0 LI-NE 10 1 0 EOF":          `2: "LI-NE" has no place (groups 10 and 20): export the drawing again`,
		"0 LINE 10 2e12 20 1 0 EOF":   "4: group 10: coordinate 2e+12 is beyond 1e+12: the file is damaged; export it again",
		"0 LINE 10":                   "0: ends in the middle of a pair",
	} {
		r := opened(t, groups)
		rec, err := r.Record(2)
		if err == nil {
			_, err = rec.NeedPoint(10, "place")
		}
		at, fault := int64(0), (*intake.Fault)(nil)
		if errors.As(err, &fault) {
			at = fault.At
		}
		if got := fmt.Sprintf("%d: %v", at, err); got != want {
			t.Errorf("%s:\n got %s\nwant %s", groups, got, want)
		}
	}
}

// What would end a line or begin a control code is written as words that do neither.
func TestWords(t *testing.T) {
	w := &Writer{}
	w.Words(1, "50%%c\nand 𝄞 é")
	if got := w.buffer.String(); got != "  1\n50% %c and ? \\U+00E9\n" {
		t.Errorf("%q", got)
	}
}
