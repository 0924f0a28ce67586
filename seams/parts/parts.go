// Package parts turns the panels of a shell file into sheets in their places: meshes read from STL, and flat blanks
// filled in from their drawings.
//
//	loaded, err := parts.Load(ctx, sh, 0, nil)
//	if err != nil { … } // panel roof: …
//	for _, p := range loaded {
//		fmt.Println(p.Panel.ID, p.Area, p.Mass, p.Notes)
//	}
//
// Lengths are millimetres, areas mm², masses kg. Sheets and paths are in the shell's frame.
package parts

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"

	"seamwright/geometry/blank"
	"seamwright/geometry/drawing"
	"seamwright/geometry/flange"
	"seamwright/geometry/near"
	"seamwright/internal/work"
	"seamwright/seams/shell"
)

// Part is one panel, read and in its place.
type Part struct {
	Panel     shell.Panel
	Steel     shell.Steel
	Sheet     flange.Sheet
	Shape     *near.Shape      // the sheet's mesh, with its tree and topology for all who look at it
	Drawing   *drawing.Drawing // of a blank, as its file draws it, not in its place; nil for a mesh
	WeldLines []drawing.Path   // of a blank: its layers with the role weld-line, in their place
	KeepOuts  []drawing.Path   // of a blank: its layers with the role keep-out, in their place
	Area      float64          // of one side
	Blank     blank.Size       // the least rectangle that holds it laid flat
	Mass      float64          // as the shell file states it, or from area, thickness and the density of steel
	Notes     []string         // what was read, mended, skipped or looks doubtful
}

// mostErrors is how many panels that cannot be loaded are told one by one.
const mostErrors = 20

// Load reads every panel of a shell with at most workers at a time (0: one for each processor). The result is in
// the order of sh.Panels and does not depend on the number of workers. Progress, if given, is called after each
// panel, never twice at once.
//
// When panels cannot be read, the error tells each of them on a line of its own, in the order of the shell file:
// "panel roof: …". A cancelled context stops before the next panel and gives its cause.
func Load(ctx context.Context, sh *shell.Shell, workers int, progress func(done, total int)) ([]Part, error) {
	return LoadBy(ctx, sh, workers, progress, func(_ shell.Panel, read func() (Part, error)) (Part, error) { return read() })
}

// LoadBy is Load with each panel read by a function that may know it from before: it gets the panel and what reads it.
func LoadBy(ctx context.Context, sh *shell.Shell, workers int, progress func(done, total int),
	by func(p shell.Panel, read func() (Part, error)) (Part, error)) ([]Part, error) {
	loaded, failed := make([]Part, len(sh.Panels)), make([]error, len(sh.Panels))
	count := counter{total: len(sh.Panels), tell: progress}
	err := work.Each(ctx, workers, len(sh.Panels), func(i int) error {
		p := sh.Panels[i]
		part, err := by(p, func() (Part, error) { return load(sh, p) })
		if err != nil {
			failed[i] = fmt.Errorf("panel %s: %w", p.ID, err)
		}
		loaded[i] = part
		count.done()
		return nil
	})
	if ctx.Err() != nil {
		return nil, fmt.Errorf("loading panels: stopped: %w", context.Cause(ctx))
	}
	if err != nil {
		return nil, err
	}
	if err := together(failed); err != nil {
		return nil, err
	}
	return loaded, nil
}

// counter tells progress from several workers, one at a time and in order.
type counter struct {
	mu    sync.Mutex
	ready int
	total int
	tell  func(done, total int)
}

func (c *counter) done() {
	if c.tell == nil {
		return
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.ready++
	c.tell(c.ready, c.total)
}

// together joins the errors of several panels, one line each.
func together(failed []error) error {
	var errs []error
	for _, err := range failed {
		if err != nil {
			errs = append(errs, err)
		}
	}
	if more := len(errs) - mostErrors; more > 0 {
		errs = append(errs[:mostErrors], fmt.Errorf("and %d more panels that cannot be loaded; mend these first", more))
	}
	return errors.Join(errs...)
}

// load reads one panel.
func load(sh *shell.Shell, p shell.Panel) (Part, error) {
	s, ok := sh.Steel(p.Steel)
	if !ok {
		return Part{}, fmt.Errorf("there is no steel %q; name one of the shell file's steels", p.Steel)
	}
	part := Part{Panel: p, Steel: *s, Sheet: flange.Sheet{Name: p.ID, Thickness: s.Thickness,
		Surface: flange.Surface(p.Surface), Face: flange.Face(p.Skin)}}
	read := part.readMesh
	if p.Mesh == "" {
		read = part.readBlank
	}
	if err := read(sh); err != nil {
		return Part{}, err
	}
	part.Shape = near.NewShape(part.Sheet.Mesh)
	part.weigh()
	return part, nil
}

// layerNames lists names for a message, at most ten.
func layerNames(names []string) string {
	const most = 10
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}
