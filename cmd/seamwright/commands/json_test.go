package commands

import (
	"io"
	"path/filepath"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
	"seamwright/layout"
)

// schemaOf is what the command says of its result, compiled.
func schemaOf(t *testing.T, command string) (*jsonschema.Schema, any) {
	t.Helper()
	document, err := jsonschema.UnmarshalJSON(strings.NewReader(whole.Must(t, program.ExitDone, command, "--json-schema")))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	if err := c.AddResource("result.json", document); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("result.json")
	if err != nil {
		t.Fatal(err)
	}
	return s, document
}

// What every command prints with --json is what its schema says.
func TestResultsFitTheirSchemas(t *testing.T) {
	file := calls.Lap(t, "")
	dir := filepath.Dir(file)
	a, b := filepath.Join(dir, "a.stl"), filepath.Join(dir, "b.stl")
	whole.Must(t, program.ExitDone, "plan", file)
	plan, other := filepath.Join(dir, "plan", "plan.json"), filepath.Join(dir, "other")
	whole.Must(t, program.ExitDone, "plan", file, "--set", "batch=40", "--set", "steels.thin.thickness_mm=1", "-o", other)
	station := calls.Decode[layout.Plan](t, string(calls.Read(t, plan))).Stations[0].ID
	actuals := calls.Put(t, dir, "times.csv", "station,shell,minutes\n"+station+",1,30\n"+station+",2,28\n")
	corner := calls.Corner(t)
	points := calls.CornerPoints(t, whole, corner)
	calls := map[string][][]string{
		"plan":     {{file}},
		"flanges":  {{a, b, "--unit", "mm"}, {a, "--unit", "mm"}},
		"cost":     {{file}, {file, "--variant", "batch=20"}, {file, "--actuals", actuals}},
		"stations": {{file}, {file, "--stations", "1"}},
		"reach":    {{file}},
		"order":    {{file}},
		"rules":    {{}, {file}, {"--stack", "0.9, 1.2"}},
		"check":    {{file}},
		"survey":   {{corner, points}, {corner, points, "--adopt", "adopted.yaml"}},
		"compare":  {{plan, plan}, {plan, filepath.Join(other, "plan.json")}},
		"keys":     {{}},
		"quote":    {{file}, {file, "--quantities", "6,12"}},
	}
	for _, c := range program.Root(program.NewCall(io.Discard, io.Discard), All()).Commands() {
		if c.Flags().Lookup("json") == nil {
			continue
		}
		if len(calls[c.Name()]) == 0 {
			t.Errorf("%s prints JSON that no call here checks", c.Name())
			continue
		}
		s, _ := schemaOf(t, c.Name())
		for _, args := range calls[c.Name()] {
			out := whole.Must(t, program.ExitDone, append(append([]string{c.Name()}, args...), "--json")...)
			result, err := jsonschema.UnmarshalJSON(strings.NewReader(out))
			if err != nil {
				t.Fatalf("%s %q: %v", c.Name(), args, err)
			}
			if err := s.Validate(result); err != nil {
				t.Errorf("%s %q: %v", c.Name(), args, err)
			}
			if object, ok := result.(map[string]any); ok {
				object["misspelt"] = 1
				if s.Validate(result) == nil {
					t.Errorf("%s: its schema lets a misspelt member pass", c.Name())
				}
			}
		}
	}
}

// Every member of every result says what it means.
func TestResultsAreDescribed(t *testing.T) {
	for _, c := range program.Root(program.NewCall(io.Discard, io.Discard), All()).Commands() {
		if c.Flags().Lookup("json") == nil {
			continue
		}
		_, document := schemaOf(t, c.Name())
		undescribed(t, c.Name(), document)
	}
}

func undescribed(t *testing.T, where string, v any) {
	switch v := v.(type) {
	case []any:
		for _, item := range v {
			undescribed(t, where, item)
		}
	case map[string]any:
		properties, _ := v["properties"].(map[string]any)
		for name, p := range properties {
			if p.(map[string]any)["description"] == "" {
				t.Errorf("%s: %s says nothing: add a tag about", where, name)
			}
		}
		for name, item := range v {
			undescribed(t, where+"/"+name, item)
		}
	}
}
