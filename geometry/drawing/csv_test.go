package drawing

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"seamwright/geometry/space"
)

func TestCSV(t *testing.T) {
	for _, c := range []struct {
		name, text string
		unit       space.Unit
		want       string // layers, lengths and whether closed
		note       string
	}{
		{"plain", "0,0\n3,4\n", "mm", "[0:5]", ""},
		{"with heights", "0,0,0\n3,4,12\n", "mm", "[0:13]", ""},
		{"header", "x,y\n0,0\n3,4\n", "mm", "[0:5]", ""},
		{"header with heights, capitals and blanks", " X , Y , Z \n0,0,0\n3,4,0\n", "mm", "[0:5]", ""},
		{"unit in the header", "x_inch,y_inch\n0,0\n3,4\n", "", "[0:127]", ""},
		{"unit in brackets", "x [m];y [m]\n0;0\n3;4\n", "", "[0:5000]", ""},
		{"header and caller differ", "x (in),y (in)\n0,0\n3,4\n", "mm", "[0:5]", "taken as mm as told, though the header says inch"},
		{"nobody states a unit", "0,0\n3,4\n", "", "[0:5]", "the file states none: millimetres assumed"},
		{"caller says foot", "0,0\n3,4\n", "foot", "[0:1524]", ""},
		{"semicolons", "0;0\n3;4\n", "mm", "[0:5]", ""},
		{"tabs", "0\t0\n3\t4\n", "mm", "[0:5]", ""},
		{"quotes", "\"0\",\"0\"\n\"3\",\"4\"\n", "mm", "[0:5]", ""},
		{"CR LF, byte-order mark", "\ufeff0,0\r\n3,4\r\n", "mm", "[0:5]", ""},
		{"CR", "0,0\r3,4\r", "mm", "[0:5]", ""},
		{"no last line end", "0,0\n3,4", "mm", "[0:5]", ""},
		{"blank lines part polylines", "\n\n0,0\n3,4\n\n\n0,0,0\n0,0,7\n\n", "mm", "[0:5 0:7]", ""},
		{"hash lines part polylines", "# first\n0,0\n3,4\n#\n0,0\n0,7\n", "mm", "[0:5 0:7]", ""},
		{"layers", "# layer: outline\n0,0\n3,4\n# Layer:weld line\n0,0\n0,7\n\n1,0\n2,0\n", "mm", "[outline:5 weld line:7 weld line:1]", ""},
		{"closed", "0,0\n3,0\n3,4\n0,0\n", "mm", "[0:12 closed]", ""},
		{"there and back is open", "0,0\n3,4\n0,0\n", "mm", "[0:10]", ""},
		{"points given twice", "0,0\n0,0\n3,4\n3,4\n", "mm", "[0:5]", ""},
		{"numbers in every form", "0,-0\n+3.0e0,.4e1\n", "mm", "[0:5]", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			d, err := ReadCSV(strings.NewReader(c.text), "f.csv", Options{Unit: c.unit})
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, p := range d.Paths {
				s := fmt.Sprintf("%s:%v", p.Layer, rounded(p.Length))
				if p.Closed {
					s += " closed"
				}
				got = append(got, s)
			}
			if fmt.Sprint(got) != c.want {
				t.Errorf("got %v, want %s", got, c.want)
			}
			if c.note == "" && len(d.Notes) > 0 || c.note != "" && !hasNote(d, c.note) {
				t.Errorf("notes %q", d.Notes)
			}
		})
	}
}

func TestBrokenCSV(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "f.csv: holds no points: write one point x,y or x,y,z on each line"},
		{"header alone", "x,y\n", "f.csv: holds no points: write one point x,y or x,y,z on each line"},
		{"UTF-16", "\xff\xfe0\x00", "f.csv: is UTF-16 text: save it as CSV in UTF-8"},
		{"zero byte", "0,0\n1,\x00\n", "f.csv: line 2: holds a zero byte: this is not a text file; save it as CSV"},
		{"one column", "1\n2\n", "f.csv: line 1: 1 values where x,y or x,y,z is due: write one point on each line"},
		{"four columns", "0,0\n0,0,0,0\n", "f.csv: line 2: 4 values where x,y or x,y,z is due: write one point on each line"},
		{"columns change", "x,y\n0,0\n1,0,0\n", "f.csv: line 3: 3 values, but the polyline began with 2: give all its points the same columns"},
		{"word", "0,0\n1,one\n", `f.csv: line 2: "one" is not a number: write it with a decimal point, as in 12.5`},
		{"decimal comma", "0;0\n1,5;2\n", `f.csv: line 2: "1,5" is not a number: write it with a decimal point, as in 12.5`},
		{"missing value", "0,0\n1,\n", `f.csv: line 2: "" is not a number: write it with a decimal point, as in 12.5`},
		{"not a number", "0,0\nNaN,1\n", "f.csv: line 2: NaN is not a coordinate within ±1e+12: mend or leave out the point"},
		{"out of reach", "0,0\n1e13,1\n", "f.csv: line 2: 1e13 is not a coordinate within ±1e+12: mend or leave out the point"},
		{"out of reach in its unit", "x_m,y_m\n0,0\n1e11,1\n", "f.csv: line 2: polyline reaches beyond 1e+12 mm: check the unit"},
		{"single point", "0,0\n1,0\n\n5,5\n", "f.csv: line 4: polyline of a single point: give it two points or more, or take out the blank " +
			"line"},
		{"columns named otherwise", "y,x\n0,0\n1,0\n",
			`f.csv: line 1: header names column 1 "y": it must be x,y or x,y,z, with a unit if you like, as in x_mm`},
		{"more columns named", "x,y,z,r\n0,0,0,0\n", "f.csv: line 1: header has 4 columns: it must be x,y or x,y,z"},
		{"two units", "x_mm,y_in\n0,0\n1,0\n", "f.csv: line 1: header states different units: give all columns one unit"},
		{"prose", "Dear Sir,\nplease find attached\n",
			`f.csv: line 1: header names column 1 "Dear Sir": it must be x,y or x,y,z, with a unit if you like, as in x_mm`},
		{"header twice", "x,y\nx,y\n", `f.csv: line 2: "x" is not a number: write it with a decimal point, as in 12.5`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadCSV(strings.NewReader(c.text), "f.csv", Options{})
			if err == nil {
				t.Fatal("no error")
			}
			var fault *FileError
			if err.Error() != c.want || !errors.As(err, &fault) {
				t.Errorf("got  %s\nwant %s", err, c.want)
			}
		})
	}
}
