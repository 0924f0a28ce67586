package survey

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"seamwright/internal/record"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

func TestReadPoints(t *testing.T) {
	for _, c := range []struct {
		name, text string
		unit       space.Unit
		want       string // id at joint
		notes      string
	}{
		{"bare", "1,2,3\n4,5,6.5\n", "", "line 1 (1, 2, 3) ; line 2 (4, 5, 6.5) ", "no unit is stated"},
		{"header", "x,y,z\n1,2,3\n", "", "line 2 (1, 2, 3) ", "no unit is stated"},
		{"units in the header", "id,x_mm,y_mm,z_mm,joint\nW7,1,2,3,roof\n", "", "W7 (1, 2, 3) roof", ""},
		{"inches in brackets", "X [inch],Y [inch],Z [inch]\n1,2,-3\n", "", "line 2 (25.4, 50.8, -76.2) ", ""},
		{"given unit stands above", "x_mm,y_mm,z_mm\n1,2,3\n", space.Centimetre, "line 2 (10, 20, 30) ", ""},
		{"semicolons, remarks, blanks, other columns", "# probe 3\nz;force;x;y\n\n3;900;1;2\n", space.Millimetre, "line 4 (1, 2, 3) ", ""},
		{"tabs, byte order mark, CRLF", "\ufeffx\ty\tz\r\n1\t2\t3\r\n", space.Millimetre, "line 2 (1, 2, 3) ", ""},
		{"quotes", "x,y,z,id\n1,2,3,\"a, b\"\n", space.Millimetre, "a, b (1, 2, 3) ", ""},
		{"twice", "1,2,3\n9,9,9\n1.2,2,3\n", space.Millimetre, "line 1 (1, 2, 3) ; line 2 (9, 9, 9) ; line 3 (1.2, 2, 3) ",
			"1 points lie within 0.5 mm of an earlier one, such as lines 1 and 3"},
	} {
		points, notes, err := Read(strings.NewReader(c.text), "p.csv", c.unit)
		var got []string
		for _, p := range points {
			got = append(got, fmt.Sprintf("%s (%.4g, %.4g, %.4g) %s", p.ID, p.At.X, p.At.Y, p.At.Z, p.Joint))
		}
		if err != nil || strings.Join(got, "; ") != c.want {
			t.Errorf("%s: %q, %v", c.name, strings.Join(got, "; "), err)
		}
		if all := strings.Join(notes, "; "); !strings.Contains(all, c.notes) || c.notes == "" && all != "" {
			t.Errorf("%s: notes %q", c.name, all)
		}
	}
}

func TestReadBrokenPoints(t *testing.T) {
	said := record.Errors(t)
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "no point is in it"},
		{"header alone", "x,y,z\n", "no point is in it"},
		{"binary", "x\x00y", "this is not text"},
		{"no z", "x,y\n1,2\n", "line 1: no column z among \"x,y\""},
		{"words", "weld,place\n", "no column x"},
		{"short row", "x,y,z\n1,2\n", "line 2: z is missing"},
		{"empty field", "x,y,z\n1,,3\n", "line 2: y is missing"},
		{"decimal comma", "x;y;z\n1,5;2;3\n", "line 2: x is \"1,5\": write a number with a decimal point"},
		{"not a number", "x,y,z\n1,2,NaN\n", "line 2: z is NaN: that is no place"},
		{"infinite", "x,y,z\n1,2,Inf\n", "that is no place"},
		{"far", "x,y,z\n1,2,1e9\n", "that is no place"},
		{"column twice", "x,y,z,X\n1,2,3,4\n", "two columns are named x"},
		{"two units", "x_mm,y_inch,z_mm\n1,2,3\n", "the header states two units, mm and inch"},
		{"unknown unit", "x_ell,y,z\n1,2,3\n", "unit \"ell\" is not known"},
		{"open quote", "x,y,z\n1,2,\"3\n", "line 2"},
	} {
		points, _, err := Read(strings.NewReader(c.text), "p.csv", "")
		if err == nil || !said.Has(err, c.want) || !strings.HasPrefix(err.Error(), "file p.csv: ") ||
			strings.Contains(err.Error(), "\n") || points != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if _, _, _, err := ReadFile(filepath.Join(t.TempDir(), "gone.csv"), ""); err == nil || !strings.Contains(err.Error(),
		"gone.csv: cannot be read") {
		t.Errorf("%v", err)
	}
}

func TestReadFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "p.csv")
	if err := os.WriteFile(path, []byte("1,2,3\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	points, _, _, err := ReadFile(path, "")
	if err != nil || len(points) != 1 || points[0].At != (r3.Vector{X: 1, Y: 2, Z: 3}) {
		t.Errorf("%v, %v", points, err)
	}
}

// Whatever comes in, the reader gives finite points or an error of one line.
func FuzzReadPoints(f *testing.F) {
	for _, seed := range []string{"1,2,3\n", "x_mm;y_mm;z_mm;id\n1;2;3;a\n", "x,y,z\n\"1\",2,3", "#\n\t\n", "x [inch]\ty\tz\n1\t2\t3"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		points, _, err := Read(strings.NewReader(text), "p.csv", "")
		if err != nil {
			if strings.Contains(err.Error(), "\n") || len(points) > 0 {
				t.Fatalf("%q, %d points", err, len(points))
			}
			return
		}
		for _, p := range points {
			if math.IsNaN(p.At.Norm()) || math.IsInf(p.At.Norm(), 0) || p.Line < 1 {
				t.Fatalf("%+v", p)
			}
		}
	})
}

func ExampleCompare() {
	plan := body()
	var points []Point
	for _, w := range plan.Welds[1:] { // the first weld is missing on the original
		points = append(points, Point{ID: fmt.Sprint(w.Number), At: r3.Vector{X: w.Position[0], Y: w.Position[1], Z: w.Position[2] + 1}})
	}
	report, err := Compare(plan, points, Options{Fixed: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d matched, weld %d missing, rms %.1f mm\n", len(report.Matched), report.Missing[0].Number, report.RMS)
	// Output: 330 matched, weld 1 missing, rms 1.0 mm
}
