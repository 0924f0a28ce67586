package variants

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"seamwright/layout/whatif"
)

func TestParse(t *testing.T) {
	for _, test := range []struct {
		name, text, want, err string
	}{
		{"keys in the first line", "name,batch,crew.a\nbig,48,\n,,2\n", "1 big [batch=48]; 2 crew.a=2 [crew.a=2]", ""},
		{"settings alone", "batch=12\nbatch=48,crew.a=3\n", "1 batch=12 [batch=12]; 2 batch=48,crew.a=3 [batch=48 crew.a=3]", ""},
		{"a column of settings", "name,set\nbig,\"batch=48,crew.a=3\"\n", "1 big [batch=48,crew.a=3]", ""},
		{"semicolons, a byte-order mark, remarks", "\xef\xbb\xbf# ours\nname;batch\nbig;48\n", "1 big [batch=48]", ""},
		{"nothing changed", "name,batch\n,\n", "1 as stated []", ""},
		{"empty", "", "", "no variant in the list: write a line of settings for each, such as batch=12,rates.labour=40"},
		{"a head alone", "name,batch\n", "", "no variant in the list: write a line of settings for each, such as batch=12,rates.labour=40"},
		{"two columns of one name", "batch,batch\n1,2\n", "", "line 1: column batch stands there twice: keep one"},
		{"a column without a name", "batch,\n1,2\n", "", "line 1: column 2 has no name: write a key of the shell file, or name, or set"},
		{"too many cells", "name,batch\nbig,48,3\n", "", "line 2: 3 cells below 2 columns: put quotes round a cell with a comma in it"},
		{"no setting", "batch=12\nbatch\n", "", `line 2: "batch" is no setting: write key=value, or name the columns in the first line`},
		{"a quote left open", "batch=12\n\"batch=13\n", "", `parse error on line 2, column 11: extraneous or missing " in ` +
			`quoted-field: write one variant a line`},
		{"not text", "\xff\xfe", "", "not text in UTF-8: save it as CSV in UTF-8"},
	} {
		rows, err := parse([]byte(test.text))
		var got []string
		for _, r := range rows {
			got = append(got, fmt.Sprintf("%d %s %v", r.Number, r.Name, r.Settings))
		}
		if s := strings.Join(got, "; "); s != test.want || (err == nil) != (test.err == "") || err != nil && err.Error() != test.err {
			t.Errorf("%s: %q, %v", test.name, s, err)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add("name,batch\nbig,48\n")
	f.Add("batch=12\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := parse([]byte(text))
		if err != nil && strings.Contains(err.Error(), "\n") {
			t.Errorf("an error of two lines: %q", err)
		}
		for i, r := range rows {
			if r.Number != i+1 || r.Name == "" {
				t.Errorf("row %d: %+v", i, r)
			}
		}
	})
}

func TestParsePart(t *testing.T) {
	for text, want := range map[string]Part{"": {}, "1/1": {1, 1}, "2/8": {2, 8}} {
		if got, err := ParsePart(text); got != want || err != nil {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"0/2", "3/2", "1/0", "1", "a/b", "1/2/3", "-1/2", "1/1000000000"} {
		if got, err := ParsePart(text); err == nil {
			t.Errorf("%q: %v", text, got)
		}
	}
}

// Of however many parts, each row is in just one.
func TestPartsShareOutTheRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		list := &List{}
		for i := range rapid.IntRange(1, 60).Draw(t, "rows") {
			list.Rows = append(list.Rows, Row{Number: i + 1})
		}
		of := rapid.IntRange(1, 70).Draw(t, "parts")
		seen := map[int]int{}
		for i := range of {
			for _, r := range list.Part(Part{i + 1, of}) {
				seen[r.Number]++
			}
		}
		for _, r := range list.Rows {
			if seen[r.Number] != 1 {
				t.Fatalf("row %d is in %d of %d parts", r.Number, seen[r.Number], of)
			}
		}
	})
}

func TestFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "results")
	list := &List{Text: []byte("batch=1\nbatch=2\nbatch=3\n"),
		Rows: []Row{{1, "one", []string{"batch=1"}, 1}, {2, "two", nil, 2}, {3, "three", nil, 3}}}
	f, err := Open(dir, list)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := Gather(context.Background(), dir); err == nil {
		t.Error("gathered without the shell as stated")
	}
	v := &whatif.Variant{CostPerShell: 7}
	for _, r := range []Result{
		{Row: 0, Key: "k0", Base: "b", Variant: v}, {Row: 1, Key: "k1", Base: "b", Problem: "no"},
		{Row: 2, Key: "k2", Base: "earlier", Variant: v},
	} {
		if err := f.Put(r); err != nil {
			t.Fatal(err)
		}
	}
	if _, ok := f.Has(1, "k1"); !ok {
		t.Error("row 1 is not known")
	}
	if _, ok := f.Has(1, "other"); ok {
		t.Error("row 1 is known by another key")
	}
	if err := os.WriteFile(f.path(3), []byte(`{"row": 3}`), 0o600); err != nil { // damaged
		t.Fatal(err)
	}
	got, err := Gather(context.Background(), dir)
	if err != nil {
		t.Fatal(err)
	}
	var missing []bool
	for _, r := range got {
		missing = append(missing, r.Missing())
	}
	if !slices.Equal(missing, []bool{false, false, true, true}) || got[2].Name != "two" {
		t.Errorf("%v, %+v", missing, got)
	}
	if _, err := Open(dir, list); err != nil {
		t.Errorf("the same list again: %v", err)
	}
	if _, err := Open(dir, &List{Text: []byte("batch=4\n"), Rows: list.Rows[:1]}); err == nil {
		t.Error("took the folder of another list")
	}
	_, err = Gather(context.Background(), t.TempDir())
	if err == nil || !strings.Contains(err.Error(), "no results of variants in it: name") {
		t.Errorf("an empty folder: %v", err)
	}
}

func TestListTooLarge(t *testing.T) {
	path := filepath.Join(t.TempDir(), "list.csv")
	if err := os.WriteFile(path, []byte("batch=4\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Truncate(path, MostBytes+1); err != nil {
		t.Fatal(err)
	}
	_, err := ReadList(path)
	if err == nil || !strings.Contains(err.Error(), "list.csv") || !strings.Contains(err.Error(), "is larger than 16 MiB") {
		t.Errorf("%v", err)
	}
}

func ExampleList_Part() {
	rows, _ := parse([]byte("name,batch\nsmall,6\nlarge,48\nlargest,96\n"))
	list := &List{Rows: rows}
	for _, r := range list.Part(Part{Index: 1, Of: 2}) {
		fmt.Println(r.Number, r.Name, r.Settings)
	}
	// Output:
	// 1 small [batch=6]
	// 3 largest [batch=96]
}
