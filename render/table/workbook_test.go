package table

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"seamwright/layout"
)

// parts unpacks a workbook and checks that every part is well-formed XML.
func parts(t *testing.T, data []byte) map[string][]byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		part, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		out[f.Name] = part
		d := xml.NewDecoder(bytes.NewReader(part))
		for {
			if _, err := d.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
		}
	}
	return out
}

// cells reads a sheet from the parts alone, without the library that wrote it: strings by their number in the
// table of strings, numbers as they stand.
func cells(t *testing.T, parts map[string][]byte, sheet string) map[string]any {
	t.Helper()
	var shared struct {
		SI []struct {
			T string `xml:"t"`
		} `xml:"si"`
	}
	if err := xml.Unmarshal(parts["xl/sharedStrings.xml"], &shared); err != nil {
		t.Fatal(err)
	}
	var ws struct {
		Rows []struct {
			C []struct {
				R string  `xml:"r,attr"`
				T string  `xml:"t,attr"`
				V string  `xml:"v"`
				F *string `xml:"f"`
			} `xml:"c"`
		} `xml:"sheetData>row"`
	}
	if err := xml.Unmarshal(parts["xl/worksheets/"+sheet], &ws); err != nil {
		t.Fatal(err)
	}
	out := map[string]any{}
	for _, row := range ws.Rows {
		for _, c := range row.C {
			switch {
			case c.F != nil:
				t.Errorf("%s!%s is a formula", sheet, c.R)
			case c.V == "":
			case c.T == "s":
				i, err := strconv.Atoi(c.V)
				if err != nil || i >= len(shared.SI) {
					t.Fatalf("%s!%s: string %q", sheet, c.R, c.V)
				}
				out[c.R] = shared.SI[i].T
			default:
				v, err := strconv.ParseFloat(c.V, 64)
				if err != nil {
					t.Fatalf("%s!%s: %v", sheet, c.R, err)
				}
				out[c.R] = v
			}
		}
	}
	return out
}

func TestWorkbookHoldsThePlan(t *testing.T) {
	data, err := Workbook(plan())
	if err != nil {
		t.Fatal(err)
	}
	p := parts(t, data)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"Summary", "Welds", "Runs", "Roller seams", "Joints", "Settings", "Stations", "Work", "Money", "Findings"}
	if d := cmp.Diff(want, f.GetSheetList()); d != "" {
		t.Error(d)
	}
	welds := cells(t, p, "sheet3.xml") // the library's own first sheet is gone
	for cell, want := range map[string]any{
		"A1": "Station", "A2": "st10", "B2": 1., "C2": `=HYPERLINK("http://x")`, "D2": "+f1", "G2": -12.34567, "L2": 1.0,
		"N2": "-roof + rail, left", "O2": 4.9, "Q2": "A", "R2": "@tip", "W2": 3999.6, "B3": 2., "J3": 0.6, "Z2": `'quoted' "twice" and broken`,
		"AA1": "Opened weld good from mm", "AA2": 4.35,
	} {
		if welds[cell] != want {
			t.Errorf("Welds!%s: %v, want %v", cell, welds[cell], want)
		}
	}
	if v, there := welds["O3"]; there {
		t.Errorf("what is not a number was written as %v", v)
	}
	if _, there := welds["A4"]; there {
		t.Error("more rows than welds")
	}
	for name := range p {
		if strings.HasPrefix(name, "xl/worksheets/sheet") {
			cells(t, p, strings.TrimPrefix(name, "xl/worksheets/"))
		}
	}
}

func TestWorkbookSameBytes(t *testing.T) {
	first, err := Workbook(plan())
	if err != nil {
		t.Fatal(err)
	}
	for range 4 {
		again, err := Workbook(plan())
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(first, again) {
			t.Fatal("the same plan gave other bytes")
		}
	}
	if core := string(parts(t, first)["docProps/core.xml"]); !strings.Contains(core, "2000-01-01T00:00:00Z") || strings.Contains(core,
		"xuri") {
		t.Error(core)
	}
}

// A plan of nothing, or with what is no number, still gives a workbook.
func TestEmptyPlanGivesAWorkbook(t *testing.T) {
	data, err := Workbook(&layout.Plan{Cost: layout.Cost{CostPerShell: math.Inf(1)}})
	if err != nil {
		t.Fatal(err)
	}
	parts(t, data)
}

func ExampleWorkbook() {
	data, err := Workbook(plan())
	if err != nil {
		fmt.Println(err)
		return
	}
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		fmt.Println(err)
		return
	}
	welds, err := f.GetRows("Welds")
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(welds[0][:2], len(welds)-1)
	// Output: [Station Number] 2
}
