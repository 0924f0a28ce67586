// Package shellfile reads the shell file, strictly: YAML, TOML or JSON, with the environment and overrides laid over it, defaults filled
// in, and every value checked against what its key may be and what it names.
//
//	sh, notes, err := shellfile.Read("tarn/shell.yaml", nil)
//	if err != nil { … } // names the file, the key, its line where the format allows, and the nearest known key
//	fmt.Println(sh.Name, len(sh.Panels), notes)
package shellfile

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"strings"

	"seamwright/geometry/intake"
	"seamwright/seams/document"
	"seamwright/seams/shell"

	"github.com/go-viper/mapstructure/v2"
	"github.com/spf13/viper"
)

// delimiter parts the keys of nested tables inside viper. No key that passes checkStructure holds this sign, so
// that a dot in a key is never taken for a step into a table.
const delimiter = "\x1f"

// mostBytes bounds what is read at all; a shell file of a thousand panels stays far below it.
const mostBytes = 2 << 20

// Read reads a shell file: YAML, TOML or JSON by its extension. What the file leaves out follows Keys; environment
// variables SEAMWRIGHT_… stand above the file and overrides above both. Keys of overrides are dotted and reach
// into lists by id: batch, rates.labour_per_hour, stations.main-jig.crew.
//
// The second result are notes for the user: what was overridden, filled in or is doubtful. Everything wrong with
// the file comes back at once as *Problems, one line each.
func Read(path string, overrides map[string]string) (*shell.Shell, []string, error) {
	data, sum, format, err := load(path)
	if err != nil {
		return nil, nil, &Problems{List: []Problem{*err}}
	}
	r := newReading(path, overrides)
	r.sh.Opened(sum)
	if err := r.read(data, format); err != nil {
		return nil, nil, err
	}
	return r.sh, r.notes, nil
}

// Default is a shell with every default of Keys and the stand-in guns, tips and roller, and nothing else.
func Default() *shell.Shell {
	r := &reading{keys: shell.KeysByName(), sh: &shell.Shell{Dir: "."}}
	r.addGear()
	r.fillDefaults()
	r.letter()
	r.notes = nil
	return r.sh
}

// reading is one call of Read.
type reading struct {
	problems
	keys      map[string]shell.Key
	sh        *shell.Shell
	overrides map[string]string
	notes     []string
}

func newReading(path string, overrides map[string]string) *reading {
	return &reading{
		problems:  problems{file: path, lines: map[string]int{}, from: map[string]source{}},
		keys:      shell.KeysByName(),
		sh:        &shell.Shell{Dir: filepath.Dir(path), File: filepath.Base(path)},
		overrides: overrides,
	}
}

func (r *reading) note(format string, args ...any) {
	r.notes = append(r.notes, document.OneLine(fmt.Sprintf(format, args...)))
}

// read goes through the steps in the order in which they build on each other. Problems are collected within a
// step; a later step does not start on what an earlier one refused.
func (r *reading) read(data []byte, format string) error {
	root, err := document.Parse(format, data)
	if err != nil {
		return &Problems{List: []Problem{syntaxProblem(r.file, err)}}
	}
	for _, step := range []func(){
		func() { checkStructure(root, &r.problems); r.checkEnvironment() },
		func() { r.decode(data, format) },
		func() { r.addGear(); r.addStation(); r.fillNumbers(); r.override() },
		func() { r.fillDefaults(); r.letter() },
		func() { r.checkValues(); r.checkSheets(); r.checkGear(); r.checkIDs() },
		func() { r.fillEnds(); r.fillStations(); r.checkReferences() },
		func() { r.checkAssembly(); r.checkFiles() },
	} {
		step()
		if err := r.err(); err != nil {
			return err
		}
	}
	return nil
}

// load reads a file as a whole, within bounds.
func load(path string) (data []byte, sum intake.Sum, format_ string, problem *Problem) {
	fail := func(what, remedy string, cause error) ([]byte, intake.Sum, string, *Problem) {
		return nil, intake.Sum{}, "", &Problem{File: path, What: what, Remedy: remedy, Cause: cause}
	}
	kind, err := document.Format(path)
	if err != nil {
		return fail(err.Error(), "name a YAML, TOML or JSON file", err)
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return fail("there is no such file", "check the path, or let `seamwright new` write a shell file", err)
	case err != nil:
		return fail("the file cannot be read: "+plainCause(err), "check its permissions", err)
	case !info.Mode().IsRegular():
		return fail("this is not a file", "name the shell file itself", nil)
	}
	data, sum, err = intake.ReadFile(path, mostBytes)
	var large *intake.TooLargeError
	switch {
	case errors.As(err, &large):
		return fail("the file "+large.Error(), "name a shell file, not a mesh", nil)
	case errors.Is(err, intake.ErrChanged):
		return fail("the file changed while it was read", "let it be written to its end, then run again", err)
	case err != nil:
		return fail("the file cannot be read: "+intake.Reason(err), "check its permissions and the disk", err)
	}
	return bytes.TrimPrefix(data, []byte("\uFEFF")), sum, kind, nil
}

// plainCause leaves the path out of an operating system's error: the message names it already.
func plainCause(err error) string {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err.Error()
	}
	return err.Error()
}

func syntaxProblem(file string, err error) Problem {
	var f *document.Failure
	if !errors.As(err, &f) {
		return Problem{File: file, What: err.Error(), Cause: err}
	}
	what, remedy, _ := strings.Cut(f.What, "; ")
	if remedy == "" {
		remedy = "mend that line or one next to it"
	}
	return Problem{File: file, Line: f.Line, What: what, Remedy: remedy}
}

// decode lets viper read the file and lay the environment over it.
func (r *reading) decode(data []byte, format string) {
	v := viper.NewWithOptions(viper.KeyDelimiter(delimiter))
	v.SetConfigType(format)
	if err := v.ReadConfig(bytes.NewReader(data)); err != nil {
		r.at("", "the file cannot be decoded: "+document.OneLine(err.Error()), "mend the place that it names")
		return
	}
	for _, key := range scalarKeys() {
		name := variable(key)
		if err := v.BindEnv(strings.ReplaceAll(key, ".", delimiter), name); err != nil {
			r.at(key, "the environment cannot be bound: "+err.Error(), "unset "+name)
		}
	}
	hooks := viper.DecodeHook(mapstructure.ComposeDecodeHookFunc(environmentText, shell.Lengthen))
	err := v.UnmarshalExact(r.sh, hooks, func(c *mapstructure.DecoderConfig) {
		c.WeaklyTypedInput = false
		c.MatchName = func(key, field string) bool { return key == field }
	})
	if err != nil {
		r.at("", "the file cannot be decoded: "+document.OneLine(err.Error()), "mend the place that it names")
	}
}

// environmentText turns the text of an environment variable into the type of its key. Text from the file never
// gets here: checkStructure has refused it where a number is wanted.
func environmentText(from, to reflect.Type, data any) (any, error) {
	if from.Kind() != reflect.String {
		return data, nil
	}
	return typed(to, data.(string))
}

func (r *reading) walk(visit func(shell.Leaf)) {
	shell.Walk(reflect.ValueOf(r.sh).Elem(), "", "", visit)
}
