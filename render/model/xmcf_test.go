package model

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"seamwright/internal/record"
	"slices"
	"strconv"
	"strings"
	"testing"

	"seamwright/layout"
)

// tag is an element as read.
type tag struct {
	name     string
	attr     map[string]string
	text     string
	children []*tag
}

func (e *tag) all(name string) []*tag {
	var out []*tag
	for _, c := range e.children {
		if c.name == name {
			out = append(out, c)
		}
	}
	return out
}

func parse(data []byte) (*tag, error) {
	d := xml.NewDecoder(bytes.NewReader(data))
	root := &tag{}
	open := []*tag{root}
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		top := open[len(open)-1]
		switch token := token.(type) {
		case xml.StartElement:
			e := &tag{name: token.Name.Local, attr: map[string]string{}}
			if token.Name.Space != "" {
				return nil, fmt.Errorf("element %s is in namespace %s", e.name, token.Name.Space)
			}
			for _, a := range token.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			top.children = append(top.children, e)
			open = append(open, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			top.text += string(token)
		}
	}
	if len(root.children) != 1 {
		return nil, fmt.Errorf("%d roots", len(root.children))
	}
	return root.children[0], nil
}

// form is what is known of an element: which attributes it must and may have, and which children how often.
// It is what the working group's published schema declares (version 3.1.1; read), for the parts in use.
type form struct {
	must, may []string
	children  map[string][2]int // least and most; -1: any number
	text      *regexp.Regexp
}

var (
	vector3 = regexp.MustCompile(`^-?\d+(\.\d+)? -?\d+(\.\d+)? -?\d+(\.\d+)?$`)
	day     = regexp.MustCompile(`^\d{4}-\d{2}-\d{2}$`)
	any311  = regexp.MustCompile(`^3\.1\.1$`)
)

var forms = map[string]form{
	"xmcf":             {children: map[string][2]int{"version": {1, 1}, "units": {0, 1}, "date": {0, 1}, "connection_group": {0, -1}}},
	"version":          {text: any311},
	"date":             {text: day},
	"units":            {may: []string{"length", "angle", "mass", "force", "time"}},
	"connection_group": {must: []string{"id"}, children: map[string][2]int{"connected_to": {1, 1}, "connection_list": {1, 1}}},
	"connected_to":     {children: map[string][2]int{"part": {2, -1}}},
	"part":             {must: []string{"index", "label"}},
	"connection_list":  {children: map[string][2]int{"connection_0d": {0, -1}, "connection_1d": {0, -1}}},
	"connection_0d": {must: []string{"ident"}, may: []string{"label"}, children: map[string][2]int{"loc": {1, 1}, "stacking": {0, 1},
		"spotweld": {1, 1}}},
	"stacking":         {children: map[string][2]int{"level": {2, -1}}},
	"level":            {must: []string{"order", "part_index"}},
	"spotweld":         {must: []string{"diameter"}, may: []string{"technology"}, children: map[string][2]int{"normal_direction": {0, 1}}},
	"normal_direction": {must: []string{"x", "y", "z"}},
	"connection_1d": {must: []string{"ident"}, may: []string{"label"}, children: map[string][2]int{"loc_list": {1, 1},
		"seamweld": {1, 1}}},
	"loc_list": {children: map[string][2]int{"loc": {2, -1}}},
	"seamweld": {children: map[string][2]int{"i_weld": {1, 1}}},
	"i_weld": {must: []string{"base"}, may: []string{"technology"}, children: map[string][2]int{"weld_position": {1, 1},
		"sheet_parameter": {1, -1}}},
	"weld_position":     {must: []string{"u", "x", "y", "z"}, may: []string{"width", "filler"}},
	"sheet_parameter":   {must: []string{"index"}, may: []string{"gap", "sheet_thickness"}},
	"connection_0d/loc": {text: vector3},
	"loc_list/loc":      {must: []string{"v"}, text: vector3},
}

// allowed are the values known of some attributes.
var allowed = map[string][]string{
	"units length": {"mm", "m", "in", "ft"}, "units angle": {"deg", "rad"}, "units mass": {"g", "kg", "t", "lb"}, "units force": {"kN", "N"},
	"units time":          {"s", "min", "h"},
	"spotweld technology": {"resistance", "laser", "projection", "friction"}, "i_weld technology": {"resistance", "arc", "laser", "friction",
		"brazing"},
	"weld_position filler": {"no"},
}

// checkForm holds an element and what is in it to what is known.
func checkForm(e *tag, parent string) error {
	f, known := forms[e.name]
	if e.name == "loc" {
		f, known = forms[parent+"/loc"]
	}
	if !known {
		return fmt.Errorf("element %s in %s is not one that was read about", e.name, parent)
	}
	for _, a := range f.must {
		if e.attr[a] == "" {
			return fmt.Errorf("%s has no %s", e.name, a)
		}
	}
	for a, v := range e.attr {
		if !slices.Contains(f.must, a) && !slices.Contains(f.may, a) {
			return fmt.Errorf("%s has %s", e.name, a)
		}
		if values := allowed[e.name+" "+a]; values != nil && !slices.Contains(values, v) {
			return fmt.Errorf("%s: %s is %q", e.name, a, v)
		}
	}
	if text := strings.TrimSpace(e.text); f.text != nil && !f.text.MatchString(text) || f.text == nil && text != "" {
		return fmt.Errorf("%s holds %q", e.name, text)
	}
	count := map[string]int{}
	for _, c := range e.children {
		count[c.name]++
		if _, ok := f.children[c.name]; !ok {
			return fmt.Errorf("%s in %s", c.name, e.name)
		}
		if err := checkForm(c, e.name); err != nil {
			return err
		}
	}
	for name, n := range f.children {
		if count[name] < n[0] || n[1] >= 0 && count[name] > n[1] {
			return fmt.Errorf("%s: %d of %s", e.name, count[name], name)
		}
	}
	return nil
}

// checkXMCF holds a file to what is known: forms, unique idents, indices that exist, stacks that name every part.
func checkXMCF(data []byte) error {
	root, err := parse(data)
	if err != nil {
		return err
	}
	if err := checkForm(root, ""); err != nil {
		return err
	}
	groups, idents := map[string]bool{}, map[string]bool{}
	for _, g := range root.all("connection_group") {
		if groups[g.attr["id"]] {
			return fmt.Errorf("connection_group %s twice", g.attr["id"])
		}
		groups[g.attr["id"]] = true
		if err := checkGroup(g, idents); err != nil {
			return fmt.Errorf("connection_group %s: %w", g.attr["id"], err)
		}
	}
	return nil
}

func checkGroup(g *tag, idents map[string]bool) error {
	parts := map[string]bool{}
	for _, p := range g.all("connected_to")[0].all("part") {
		i, err := strconv.Atoi(p.attr["index"])
		if err != nil || i <= 0 || parts[p.attr["index"]] {
			return fmt.Errorf("part index %s", p.attr["index"])
		}
		parts[p.attr["index"]] = true
	}
	list := g.all("connection_list")[0]
	for _, c := range slices.Concat(list.all("connection_0d"), list.all("connection_1d")) {
		if i, err := strconv.Atoi(c.attr["ident"]); err != nil || i <= 0 || idents[c.attr["ident"]] {
			return fmt.Errorf("ident %s", c.attr["ident"])
		}
		idents[c.attr["ident"]] = true
		if err := errors.Join(checkSpot(c, parts), checkSeam(c, parts)); err != nil {
			return fmt.Errorf("ident %s: %w", c.attr["ident"], err)
		}
	}
	return nil
}

func checkSpot(c *tag, parts map[string]bool) error {
	for _, s := range c.all("stacking") {
		orders, named := map[string]bool{}, map[string]bool{}
		for _, l := range s.all("level") {
			if !parts[l.attr["part_index"]] || orders[l.attr["order"]] {
				return fmt.Errorf("level %v", l.attr)
			}
			orders[l.attr["order"]], named[l.attr["part_index"]] = true, true
		}
		if len(named) != len(parts) {
			return fmt.Errorf("%d of %d parts in the stack", len(named), len(parts))
		}
	}
	for _, s := range c.all("spotweld") {
		if d, err := strconv.ParseFloat(s.attr["diameter"], 64); err != nil || !(d > 0) {
			return fmt.Errorf("diameter %s", s.attr["diameter"])
		}
	}
	return nil
}

func checkSeam(c *tag, parts map[string]bool) error {
	for _, l := range c.all("loc_list") {
		seen := map[string]bool{}
		for _, p := range l.all("loc") {
			if v, err := strconv.ParseFloat(p.attr["v"], 64); err != nil || v < 0 || v > 1 || seen[p.attr["v"]] {
				return fmt.Errorf("v %s", p.attr["v"])
			}
			seen[p.attr["v"]] = true
		}
	}
	for _, s := range c.all("seamweld") {
		w := s.all("i_weld")[0]
		if !parts[w.attr["base"]] {
			return fmt.Errorf("base %s", w.attr["base"])
		}
		if u, err := strconv.ParseFloat(w.all("weld_position")[0].attr["u"], 64); err != nil || u < 0 || u > 1 {
			return fmt.Errorf("u %v", w.all("weld_position")[0].attr)
		}
		for _, p := range w.all("sheet_parameter") {
			if !parts[p.attr["index"]] || p.attr["index"] == w.attr["base"] {
				return fmt.Errorf("sheet_parameter of part %s", p.attr["index"])
			}
		}
	}
	return nil
}

func TestXMCFIsAsDescribed(t *testing.T) {
	data := written(t, XMCF, sample())
	if err := checkXMCF(data); err != nil {
		t.Errorf("%v in\n%s", err, data)
	}
	golden(t, "sample.xmcf", data)
}

// The checker sees what is wrong: every line of this table breaks the file in one place.
func TestXMCFCheckerSees(t *testing.T) {
	good := string(written(t, XMCF, sample()))
	for name, c := range map[string][2]string{
		"unknown element":   {"<stacking>", "<stacking><pile/>"},
		"unknown attribute": {`technology="resistance"`, `technology="resistance" gun="A"`},
		"bad technology":    {`technology="resistance"`, `technology="glue"`},
		"no version":        {"<version>3.1.1</version>", ""},
		"ident twice":       {`ident="2"`, `ident="1"`},
		"no diameter":       {`diameter="4.7"`, `diameter="0"`},
		"unknown part":      {`part_index="1"`, `part_index="9"`},
		"part left out":     {`<level order="2" part_index="2"></level>`, `<level order="2" part_index="1"></level>`},
		"two numbers":       {">45 0 0<", ">45 0<"},
		"v twice":           {`v="1"`, `v="0"`},
		"base is a sheet":   {`base="2"`, `base="1"`},
		"text between":      {"<connection_list>", "<connection_list>x"},
	} {
		bad := strings.Replace(good, c[0], c[1], 1)
		if bad == good {
			t.Errorf("%s: %q is not in the file", name, c[0])
		}
		if err := checkXMCF([]byte(bad)); err == nil {
			t.Errorf("%s: not seen", name)
		}
	}
}

// Everything of the plan that the format has a place for is in the file.
func TestXMCFHoldsThePlan(t *testing.T) {
	p := sample()
	root, err := parse(written(t, XMCF, p))
	if err != nil {
		t.Fatal(err)
	}
	type found struct{ loc, sheets, normal, diameter string }
	got := map[string]found{}
	seams := map[string]int{}
	for _, g := range root.all("connection_group") {
		label := map[string]string{}
		for _, part := range g.all("connected_to")[0].all("part") {
			label[part.attr["index"]] = part.attr["label"]
		}
		for _, c := range g.all("connection_list")[0].all("connection_0d") {
			var sheets []string
			for _, l := range c.all("stacking")[0].all("level") {
				sheets = append(sheets, label[l.attr["part_index"]])
			}
			w := c.all("spotweld")[0]
			n := w.all("normal_direction")[0].attr
			got[c.attr["label"]] = found{c.all("loc")[0].text, strings.Join(sheets, " + "), n["x"] + " " + n["y"] + " " + n["z"], w.attr["diameter"]}
		}
		for _, c := range g.all("connection_list")[0].all("connection_1d") {
			seams[c.attr["label"]] = len(c.all("loc_list")[0].all("loc"))
		}
	}
	for name, want := range map[string]found{
		"st1 weld 1":  {"10.1235 0 0", "roof + rail", "0 0 1", "4.7"}, // rounded to 0.0001, half up
		"st1 weld 2":  {"45 0 0", "rail + roof", "0.707107 0 0.707107", "4.7"},
		"st/2 weld 1": {"-300 250.5 1200", `roof + rail + brace & "b"`, "0 0 -1", "5.5"},
		"st/2 weld 2": {"-300 280.5 1200", `roof + rail + brace & "b"`, "0 -1 0", "5.5"},
	} {
		if got[name] != want {
			t.Errorf("%s: %+v, want %+v", name, got[name], want)
		}
	}
	if len(got) != len(p.Welds) || seams["gutter/1/roll"] != 4 || seams["seam 2"] != 2 {
		t.Errorf("%d welds, seams %v", len(got), seams)
	}
	if n := len(root.all("connection_group")); n != 2 {
		t.Errorf("%d groups for two sets of panels", n)
	}
}

func TestXMCFRefuses(t *testing.T) {
	said := record.Errors(t)
	for name, c := range map[string]struct {
		spoil func(p *layout.Plan)
		want  string
	}{
		"one sheet":     {func(p *layout.Plan) { p.Welds[0].Sheets = []string{"roof"} }, "st1 weld 1 joins 1 sheets"},
		"sheet twice":   {func(p *layout.Plan) { p.Welds[0].Sheets = []string{"roof", "roof"} }, "every sheet must be a panel of its own"},
		"no diameter":   {func(p *layout.Plan) { p.Welds[1].WeldDiameter = math.NaN() }, "st1 weld 2: weld diameter NaN"},
		"ghost flange":  {func(p *layout.Plan) { p.Seams[0].Flange = "x" }, `roller seam gutter/1/roll: flange "x"`},
		"no normal":     {func(p *layout.Plan) { p.Seams[1].Normals = nil }, "roller seam seam 2: it has no sheet normal"},
		"seam is point": {func(p *layout.Plan) { p.Seams[1].Path[1] = p.Seams[1].Path[0] }, "all points of its path are one"},
	} {
		p := sample()
		c.spoil(p)
		var b bytes.Buffer
		if err := XMCF(&b, p); err == nil || !said.Has(err, c.want) || b.Len() > 0 {
			t.Errorf("%s: error %v", name, err)
		}
	}
	p := sample()
	p.Shell.Issued = "next week"
	if data := written(t, XMCF, p); bytes.Contains(data, []byte("<date>")) {
		t.Error("a date of issue that is no date was written")
	}
}

func ExampleXMCF() {
	plan := &layout.Plan{Welds: []layout.Weld{{Number: 1, Station: "st1", Position: layout.Vec{120, 40, 0}, Axis: layout.Vec{0, 0, 1},
		Sheets: []string{"roof", "rail"}, WeldDiameter: 5}}}
	var b bytes.Buffer
	if err := XMCF(&b, plan); err != nil {
		fmt.Println(err)
		return
	}
	for _, line := range strings.Split(b.String(), "\n") {
		if strings.Contains(line, "loc") || strings.Contains(line, "part index") {
			fmt.Println(strings.TrimSpace(line))
		}
	}
	// Output:
	// <part index="1" label="roof"></part>
	// <part index="2" label="rail"></part>
	// <loc>120 40 0</loc>
}
