package rule

import (
	"bytes"
	"cmp"
	_ "embed"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"github.com/go-viper/mapstructure/v2"
	"github.com/spf13/viper"

	"seamwright/geometry/intake"
	"seamwright/seams/schedule"
	"seamwright/seams/spelling"
)

// Rules is a rule book, in the order that it is printed in.
type Rules []Rule

// Rule is one rule of the book: what it means, and the sources that give it a value.
type Rule struct {
	ID       string   `mapstructure:"id" json:"id"`
	Title    string   `mapstructure:"title" json:"title"`
	Unit     string   `mapstructure:"unit" json:"unit"`
	Sentence string   `mapstructure:"sentence" json:"sentence"`
	Severity Severity `mapstructure:"severity" json:"severity,omitempty"` // of breaking it; empty: the rule only aims
	Remedy   string   `mapstructure:"remedy" json:"remedy,omitempty"`
	Use      string   `mapstructure:"use" json:"use"` // id of the source in force
	Sources  []Source `mapstructure:"sources" json:"sources"`
	Value    float64  `mapstructure:"value" json:"-"` // short form in a works' book: a constant in the rule's unit
	From     Origin   `mapstructure:"-" json:"from"`
}

// Source is one way to a rule's value. The value is that of How, plus Plus, for three sheets times ThreeSheets,
// then held between Least and Greatest where those are given. Of How Buckling, Value is Young's modulus in MPa.
type Source struct {
	ID          string    `mapstructure:"id" json:"id"`
	How         How       `mapstructure:"how" json:"how"`
	Of          Thickness `mapstructure:"of" json:"of,omitempty"`
	Value       float64   `mapstructure:"value" json:"value,omitempty"`
	Factor      float64   `mapstructure:"factor" json:"factor,omitempty"`
	Plus        float64   `mapstructure:"plus" json:"plus,omitempty"`
	Table       string    `mapstructure:"table" json:"table,omitempty"`
	Column      string    `mapstructure:"column" json:"column,omitempty"`
	Inelastic   Inelastic `mapstructure:"inelastic" json:"inelastic,omitempty"` // of Buckling, above half the yield stress
	ThreeSheets float64   `mapstructure:"three_sheets" json:"three_sheets,omitempty"`
	Least       float64   `mapstructure:"least" json:"least,omitempty"`
	Greatest    float64   `mapstructure:"greatest" json:"greatest,omitempty"`
	Note        string    `mapstructure:"note" json:"note,omitempty"` // of How Seen: what would do, in words
	Source      string    `mapstructure:"source" json:"source"`
	Certainty   Certainty `mapstructure:"certainty" json:"certainty"`
}

// How says how a source gives its value.
type How string

// The ways to a value.
const (
	Constant  How = "constant"  // Value
	Root      How = "root"      // Factor x root of a thickness in mm
	Multiple  How = "thickness" // Factor x a thickness
	Diameters How = "diameter"  // Factor x weld.diameter
	FromTable How = "table"     // Column of Table at a thickness
	Buckling  How = "buckling"  // a thickness x root of (Factor x Value / the stated compressive stress)
	Across    How = "width"     // edge.least + half the electrode face + bend.clearance
	AcrossTwo How = "rows"      // what width gives, and row.staggered.least for the second of two rows
	Seen      How = "seen"      // no limit by the stack: it is so or not, or what it is held against comes from elsewhere
)

// Inelastic names the formula for buckling above the elastic range.
type Inelastic string

// The formulas. Above the yield stress none holds.
const (
	ElasticOnly Inelastic = ""
	// Johnson's parabola, the CRC column curve: above half the yield stress the tangent modulus over Young's modulus is
	// eta = 4 (s / f_y) (1 - s / f_y) (Bleich, Buckling Strength of Metal Structures, 1952: memory).
	Johnson Inelastic = "johnson"
)

// Thickness says which thickness of the stack is meant.
type Thickness string

// The thicknesses of a stack that rules go by.
const (
	Governing Thickness = "governing" // second greatest
	Outside   Thickness = "outside"   // thinner of the two outside sheets
	Thinnest  Thickness = "thinnest"
	Thickest  Thickness = "thickest"
)

//go:embed book.yaml
var bookText []byte

// The default book is compiled in and never changes, so it is read once. A book that does not parse is a
// fault of the program, which its tests catch; every rule then says so instead of passing silently.
var defaultBook = sync.OnceValue(func() Rules {
	r, err := parseBook(bookText, "yaml", false)
	if err == nil {
		err = r.validate()
	}
	if err != nil {
		return Rules{}
	}
	for i := range r {
		r[i].From = FromDefault
	}
	return r
})

// Book is the default rule book, a copy, in the order that it is printed in.
func Book() Rules { return defaultBook().clone() }

func (r Rules) clone() Rules {
	c := slices.Clone(r)
	for i := range c {
		c[i].Sources = slices.Clone(c[i].Sources)
	}
	return c
}

// Limited reports whether the source in force gives a limit to hold values against.
func (r Rule) Limited() bool {
	s, ok := r.source(r.Use)
	return ok && s.How != Seen
}

// InForce is the source that the rule goes by.
func (r Rule) InForce() Source {
	s, _ := r.source(r.Use)
	return s
}

// Find returns a rule by its id.
func (r Rules) Find(id string) (Rule, bool) {
	for _, rule := range r {
		if rule.ID == id {
			return rule, true
		}
	}
	return Rule{}, false
}

// DefaultBytes is the largest works' book that is read unless more is allowed: some eight times the default book.
const DefaultBytes = 512 << 10

// ReadBook lays a works' book (YAML, TOML or JSON, by the file's ending) over the default one. In a works' book
// every rule names its id and what changes: "value" (a constant), "use" (another source of the book), "severity",
// "remedy", or "sources" (a source with an id that the rule has is replaced, another is added). The second result is what
// was read of the file, which may be of most bytes; 0: DefaultBytes.
func ReadBook(path string, most int64) (Rules, intake.Sum, error) {
	text, sum, err := intake.ReadFile(path, cmp.Or(most, DefaultBytes))
	if large := new(intake.TooLargeError); errors.As(err, &large) {
		return nil, sum, fmt.Errorf("rule book: %w: leave out what it does not change, or allow more", err)
	}
	if err != nil {
		return nil, sum, fmt.Errorf("rule book: %w", err)
	}
	book, err := laidOver(text, path)
	return book, sum, err
}

func laidOver(text []byte, path string) (Rules, error) {
	format := strings.TrimPrefix(strings.ToLower(filepath.Ext(path)), ".")
	over, err := parseBook(text, format, true)
	if err != nil {
		return nil, fmt.Errorf("rule book %s: %w", path, err)
	}
	book, err := Book().With(over)
	if err == nil {
		err = book.switchedOff(over)
	}
	if err != nil {
		return nil, fmt.Errorf("rule book %s: %s%w", path, linesOf(text, format).of(err), err)
	}
	return book, nil
}

// parseBook reads a book strictly: a key that is not known is an error; in a works' book so is one that is missing or would do
// nothing where it stands. It does not check what the rules say.
func parseBook(text []byte, format string, works bool) (Rules, error) {
	if !slices.Contains([]string{"yaml", "yml", "toml", "json"}, format) {
		return nil, fmt.Errorf("ending %q is not known; name it .yaml, .toml or .json", format)
	}
	v := viper.New()
	v.SetConfigType(format)
	if err := v.ReadConfig(bytes.NewReader(text)); err != nil {
		return nil, fmt.Errorf("%s", oneLine(err))
	}
	if rules, ok := v.Get("rules").([]any); ok && works {
		if err := strict(rules, linesOf(text, format)); err != nil {
			return nil, err
		}
	}
	if works {
		if err := onlyRules(v.AllKeys(), text, format); err != nil {
			return nil, err
		}
	}
	var file struct {
		Rules Rules `mapstructure:"rules"`
	}
	exact := func(c *mapstructure.DecoderConfig) { c.WeaklyTypedInput = false }
	if err := v.UnmarshalExact(&file, exact); err != nil {
		return nil, fmt.Errorf("%s", oneLine(err))
	}
	if len(file.Rules) == 0 {
		return nil, fmt.Errorf("no rules: start the file with \"rules:\" and a list of rules")
	}
	return file.Rules, nil
}

func oneLine(err error) string { return strings.Join(strings.Fields(err.Error()), " ") }

// With lays another book over this one and returns the result; r itself stays as it is.
func (r Rules) With(over Rules) (Rules, error) {
	book := r.clone()
	seen := map[string]bool{}
	for n, o := range over {
		i := slices.IndexFunc(book, func(b Rule) bool { return b.ID == o.ID })
		switch {
		case i < 0:
			return nil, fault{n, -1, fmt.Errorf("rule %d: no rule %q; the nearest is %s", n+1, o.ID, r.Nearest(o.ID))}
		case seen[o.ID]:
			return nil, fault{n, -1, fmt.Errorf("rule %s stands twice; keep one", o.ID)}
		case o.Unit != "" && o.Unit != book[i].Unit:
			return nil, fault{n, -1, fmt.Errorf("rule %s: unit is %s, not %s; convert the value", o.ID, book[i].Unit, o.Unit)}
		}
		seen[o.ID] = true
		book[i].lay(o)
		if source, err := book[i].validate(); err != nil {
			return nil, fault{n, slices.IndexFunc(o.Sources, func(s Source) bool { return s.ID == source }), err}
		}
	}
	return book, nil
}

// Choose returns the book with a rule going by another of its sources; from says who chose.
func (r Rules) Choose(id, source string, from Origin) (Rules, error) {
	book := r.clone()
	i := slices.IndexFunc(book, func(b Rule) bool { return b.ID == id })
	if i < 0 {
		return nil, fmt.Errorf("no rule %q; the nearest is %s", id, r.Nearest(id))
	}
	if _, ok := book[i].source(source); !ok {
		var have []string
		for _, s := range book[i].Sources {
			have = append(have, s.ID)
		}
		return nil, fmt.Errorf("rule %s: no source %q; choose from %s", id, source, strings.Join(have, ", "))
	}
	book[i].Use, book[i].From = source, from
	return book, nil
}

// lay puts what o says over the rule.
func (r *Rule) lay(o Rule) {
	if o.Title+o.Sentence+o.Remedy+o.Use+string(o.Severity) != "" || o.Value != 0 || len(o.Sources) > 0 {
		r.From = FromWorks
	}
	replace := func(to *string, from string) {
		if from != "" {
			*to = from
		}
	}
	replace(&r.Title, o.Title)
	replace(&r.Sentence, o.Sentence)
	replace(&r.Remedy, o.Remedy)
	replace(&r.Use, o.Use)
	if o.Severity != "" {
		r.Severity = o.Severity
	}
	if o.Value != 0 {
		o.Sources = append(o.Sources, Source{ID: "works", How: Constant, Value: o.Value})
		r.Use = "works"
	}
	for _, s := range o.Sources {
		if s.Source == "" {
			s.Source = "works' rule book"
		}
		if s.Certainty == "" {
			s.Certainty = Stated
		}
		if i := slices.IndexFunc(r.Sources, func(x Source) bool { return x.ID == s.ID }); i >= 0 {
			r.Sources[i] = s
			continue
		}
		r.Sources = append(r.Sources, s)
	}
}

// Nearest is the id of the book that takes the fewest changes of a letter to reach.
func (r Rules) Nearest(id string) string {
	ids := make([]string, len(r))
	for i, rule := range r {
		ids[i] = rule.ID
	}
	return spelling.Nearest(id, ids)
}

// validate checks that every rule can be worked out.
func (r Rules) validate() error {
	for _, rule := range r {
		if _, err := rule.validate(); err != nil {
			return err
		}
	}
	return nil
}

// validate checks that the rule can be worked out; where a source of its is at fault, it names the source.
func (r Rule) validate() (source string, err error) {
	if !slices.Contains([]Severity{"", Broken, Doubt, Note}, r.Severity) {
		return "", fmt.Errorf("rule %s: severity %q is not known; choose from broken, doubt, note", r.ID, r.Severity)
	}
	if _, ok := r.source(r.Use); !ok {
		return "", fmt.Errorf("rule %s: no source %q to use", r.ID, r.Use)
	}
	for _, s := range r.Sources {
		if err := s.validate(); err != nil {
			return s.ID, fmt.Errorf("rule %s, source %s: %w", r.ID, s.ID, err)
		}
		if s.How == Diameters && r.ID == "weld.diameter" {
			return s.ID, fmt.Errorf("rule %s, source %s: a weld diameter cannot follow from itself", r.ID, s.ID)
		}
		if (s.How == Across || s.How == AcrossTwo) && slices.Contains([]string{"edge.least", "tip.face", "bend.clearance", "weld.diameter",
			"row.staggered.least"}, r.ID) {
			return s.ID, fmt.Errorf("rule %s, source %s: a width cannot be a part of itself", r.ID, s.ID)
		}
	}
	return "", nil
}

func (s Source) validate() error {
	for _, v := range []float64{s.Value, s.Factor, s.Plus, s.ThreeSheets, s.Least, s.Greatest} {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			return fmt.Errorf("%g is not a usable number; give a finite one, zero or above", v)
		}
	}
	if !slices.Contains([]Certainty{Read, SecondHand, Memory, Practice, Calculated, Stated}, s.Certainty) {
		return fmt.Errorf("certainty %q is not known; choose from read, read at second hand, memory, common practice, calculated, stated",
			s.Certainty)
	}
	if s.Source == "" || s.ID == "" {
		return fmt.Errorf("name the source and give it an id")
	}
	needsThickness := s.How == Root || s.How == Multiple || s.How == FromTable || s.How == Buckling
	if needsThickness && !slices.Contains([]Thickness{Governing, Outside, Thinnest, Thickest}, s.Of) {
		return fmt.Errorf("of %q is not known; choose from governing, outside, thinnest, thickest", s.Of)
	}
	switch s.How {
	case Constant, Across, AcrossTwo, Seen:
		return nil
	case Root, Multiple, Diameters:
		if s.Factor == 0 {
			return fmt.Errorf("give a factor above zero")
		}
		return nil
	case Buckling:
		if s.Factor == 0 || s.Value == 0 {
			return fmt.Errorf("give a factor and, as value, Young's modulus in MPa, both above zero")
		}
		if s.Inelastic != ElasticOnly && s.Inelastic != Johnson {
			return fmt.Errorf("inelastic %q is not known; write johnson, or leave it out", s.Inelastic)
		}
		return nil
	case FromTable:
		t, err := schedule.Named(s.Table)
		if err != nil {
			return err
		}
		if least, _ := t.Range(); !t.Has(s.Column, least) {
			return fmt.Errorf("table %s has no column %q", s.Table, s.Column)
		}
		return nil
	}
	return fmt.Errorf("how %q is not known; choose from constant, root, thickness, diameter, table, buckling, width, rows, seen", s.How)
}

func (r Rule) source(id string) (Source, bool) {
	for _, s := range r.Sources {
		if s.ID == id {
			return s, true
		}
	}
	return Source{}, false
}
