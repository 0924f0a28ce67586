package document

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

func parseYAML(data []byte) (*Node, error) {
	dec := yaml.NewDecoder(bytes.NewReader(data))
	var doc yaml.Node
	if err := dec.Decode(&doc); err != nil {
		if errors.Is(err, io.EOF) {
			return &Node{Kind: Nothing, Line: 1}, nil
		}
		return nil, yamlFailure(err)
	}
	// A second document would be passed over without a word by whoever decodes the file.
	var second yaml.Node
	switch err := dec.Decode(&second); {
	case err == nil:
		return nil, &Failure{second.Line, "a second document begins here; keep one shell in one file"}
	case !errors.Is(err, io.EOF):
		return nil, yamlFailure(err)
	}
	c := &yamlTree{open: map[*yaml.Node]bool{}}
	return c.tree(doc.Content[0], doc.Content[0].Line, 0)
}

// yamlTree turns the library's nodes into ours, with aliases written out.
type yamlTree struct {
	count int
	open  map[*yaml.Node]bool // aliased nodes that are being written out: meeting one again is a circle
}

// tree converts y. Line is where y counts as standing: for an aliased value, the alias.
func (c *yamlTree) tree(y *yaml.Node, line, depth int) (*Node, error) {
	c.count++
	if c.count > MostValues || depth > mostDepth {
		return nil, &Failure{line, fmt.Sprintf("the file holds more than %d values or nests deeper than %d; shorten it", MostValues,
			mostDepth)}
	}
	switch y.Kind {
	case yaml.AliasNode:
		if c.open[y.Alias] {
			return nil, &Failure{line, fmt.Sprintf("the alias *%s stands within what it stands for; write the value out", y.Value)}
		}
		c.open[y.Alias] = true
		defer delete(c.open, y.Alias)
		return c.tree(y.Alias, line, depth+1)
	case yaml.MappingNode:
		return c.table(y, line, depth)
	case yaml.SequenceNode:
		n := &Node{Kind: List, Line: line}
		for _, child := range y.Content {
			item, err := c.tree(child, child.Line, depth+1)
			if err != nil {
				return nil, err
			}
			n.Items = append(n.Items, item)
		}
		return n, nil
	}
	return &Node{Kind: yamlKind(y), Line: line, Text: y.Value}, nil
}

func (c *yamlTree) table(y *yaml.Node, line, depth int) (*Node, error) {
	n := &Node{Kind: Table, Line: line}
	for i := 0; i+1 < len(y.Content); i += 2 {
		key, value := y.Content[i], y.Content[i+1]
		switch {
		case key.Kind != yaml.ScalarNode:
			return nil, &Failure{key.Line, "a key is not a plain word; write key: value"}
		case key.ShortTag() == "!!merge":
			return nil, &Failure{key.Line, "merge keys (<<) are not read; write the values out"}
		}
		child, err := c.tree(value, max(value.Line, key.Line), depth+1)
		if err != nil {
			return nil, err
		}
		n.put(key.Value, key.Line, child)
	}
	return n, nil
}

func yamlKind(y *yaml.Node) Kind {
	switch y.ShortTag() {
	case "!!null":
		return Nothing
	case "!!str":
		return Text
	case "!!int":
		return Whole
	case "!!float":
		return Number
	case "!!bool":
		return Truth
	case "!!timestamp":
		return Date
	}
	return Strange
}

var (
	yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)
	// The library counts lines from 0 in the messages of its parser, and from 1 in those of its scanner.
	yamlParser = regexp.MustCompile(`^did not find expected (key|node content|<document start>|'-' indicator|',' or)`)
)

// yamlFailure takes the line out of the library's message. The library names no line for the first.
func yamlFailure(err error) error {
	m := yamlLine.FindStringSubmatch(OneLine(err.Error()))
	if m == nil {
		return &Failure{0, err.Error()}
	}
	line, what := 1, "this is not YAML: "+m[2]
	if m[1] != "" {
		line, _ = strconv.Atoi(m[1])
		if yamlParser.MatchString(m[2]) {
			line++
		}
	}
	if strings.Contains(m[2], "tab character") {
		what += "; indent with spaces, not tabs"
	}
	return &Failure{line, what}
}
