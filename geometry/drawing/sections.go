package drawing

import (
	"fmt"
	"seamwright/geometry/dxf"
	"seamwright/geometry/intake"

	"github.com/golang/geo/r3"
)

// content is what a DXF file holds, before blocks are inserted and curves flattened.
type content struct {
	header   header
	names    dxf.Names
	layers   map[string]layer // by folded name
	blocks   map[string]*block
	entities []entity
	mended   []string // notes on what was not as it should be
}

// layer is an entry of the layer table.
type layer struct {
	name        string
	frozen, off bool
}

// block is a group of entities that INSERT copies.
type block struct {
	name     string
	base     r3.Vector
	external bool // its content is in another file
	entities []entity
	err      error // why its base point cannot be read
}

// parser reads the sections of a DXF file, looking one tag ahead.
type parser struct {
	*dxf.Reader
	section string // being read
	drawn   bool   // the ENTITIES section has been read to its end
	file    content
	opt     Options
	count   int // entities so far, those of blocks included
	curves  int // pieces of curves so far
}

// parse reads the whole file.
func parse(src *dxf.Reader, opt Options) (*content, error) {
	p := &parser{Reader: src, opt: opt}
	p.file.layers = map[string]layer{}
	p.file.blocks = map[string]*block{}
	sections, err := p.sections()
	if err != nil && !dxf.Ended(err) && !p.drawn {
		return nil, err
	}
	switch {
	case sections == 0:
		return nil, intake.FaultAt(0, "holds no DXF section: save it as a DXF drawing, R12 to 2018")
	case err == nil:
	case !p.drawn:
		return nil, intake.FaultAt(src.Position(), "file ends within %s: it was cut off; export it again", p.where())
	case dxf.Ended(err):
		p.mend("file ends without its EOF mark; the entities before are complete")
	default:
		p.mend("what follows the entities was not read: %v", err)
	}
	return &p.file, nil
}

// where names the part of the file being read.
func (p *parser) where() string {
	if p.section == "" {
		return "the file, before its entities"
	}
	return "section " + intake.Quoted(p.section)
}

func (p *parser) mend(format string, args ...any) {
	p.file.mended = append(p.file.mended, fmt.Sprintf(format, args...))
}

// sections reads section after section up to EOF and returns how many there were.
func (p *parser) sections() (n int, err error) {
	if err := p.Advance(); err != nil {
		return 0, err
	}
	for !p.Cur.Is("EOF") {
		if p.Cur.Is("SECTION") {
			n++
			err = p.oneSection()
		} else {
			err = p.Advance()
		}
		if err != nil {
			return n, err
		}
	}
	return n, nil
}

// oneSection reads a section, SECTION and ENDSEC included.
func (p *parser) oneSection() error {
	if err := p.Advance(); err != nil {
		return err
	}
	const sectionName = 2
	p.section = ""
	if p.Cur.Code == sectionName {
		p.section = p.Cur.Name()
	}
	read := map[string]func() error{"HEADER": p.readHeader, "TABLES": p.readTables, "BLOCKS": p.readBlocks,
		"ENTITIES": p.readEntities}[p.section]
	if read == nil {
		read = p.skipSection
	}
	if err := read(); err != nil {
		return err
	}
	name := p.section
	p.section = ""
	p.drawn = p.drawn || name == "ENTITIES"
	if !p.Cur.Is("ENDSEC") {
		p.mend("section %s has no ENDSEC", dxf.TypeName(name))
		return nil
	}
	return p.Advance()
}

// atEnd reports whether the section ends here, by ENDSEC or, in careless files, by the next section or EOF.
func (p *parser) atEnd() bool {
	return p.Cur.Is("ENDSEC") || p.Cur.Is("SECTION") || p.Cur.Is("EOF")
}

func (p *parser) skipSection() error {
	for !p.atEnd() {
		if err := p.Advance(); err != nil {
			return err
		}
	}
	return nil
}

// readTables picks the layers out of the tables.
func (p *parser) readTables() error {
	for !p.atEnd() {
		if !p.Cur.Is("LAYER") {
			if err := p.Advance(); err != nil {
				return err
			}
			continue
		}
		r, err := p.Record(p.opt.mostPoints())
		if err != nil {
			return err
		}
		p.addLayer(r)
	}
	return nil
}

// addLayer notes a layer's name and state. A state that cannot be read counts as shown: it only feeds a note.
func (p *parser) addLayer(r dxf.Record) {
	const nameCode, flagsCode, colourCode, frozen = 2, 70, 62, 1
	name := p.file.names.Decode(r.Text(nameCode))
	flags, _ := r.Whole(flagsCode, 0)
	colour, _ := r.Whole(colourCode, 1)
	if name != "" {
		p.file.layers[dxf.Folded(name)] = layer{name: name, frozen: flags&frozen != 0, off: colour < 0}
	}
}

// readBlocks reads the block definitions.
func (p *parser) readBlocks() error {
	for !p.atEnd() {
		var err error
		if p.Cur.Is("BLOCK") {
			err = p.readBlock()
		} else {
			err = p.Advance()
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (p *parser) readBlock() error {
	r, err := p.Record(p.opt.mostPoints())
	if err != nil {
		return err
	}
	const nameCode, flagsCode, xref, overlay = 2, 70, 4, 8
	b := &block{name: p.file.names.Decode(r.Text(nameCode))}
	flags, _ := r.Whole(flagsCode, 0)
	b.external = flags&(xref|overlay) != 0
	b.base, _, b.err = r.Point(10)
	for !p.atEnd() && !p.Cur.Is("ENDBLK") && !p.Cur.Is("BLOCK") {
		e, err := p.entity()
		if err != nil {
			return err
		}
		b.entities = append(b.entities, e...)
	}
	if _, twice := p.file.blocks[dxf.Folded(b.name)]; twice {
		p.mend("block %s is defined twice: the first is taken", intake.Quoted(b.name))
		return nil
	}
	p.file.blocks[dxf.Folded(b.name)] = b
	return nil
}

func (p *parser) readEntities() error {
	for !p.atEnd() {
		e, err := p.entity()
		if err != nil {
			return err
		}
		p.file.entities = append(p.file.entities, e...)
	}
	return nil
}
