// Package engine plans a shell stage by stage, and does again only what an edit changed.
//
//	e := engine.Engine{Cache: cache.New()}
//	first, err := e.Plan(ctx, engine.Input{Shell: sh, Notes: notes})
//	sh.Joints[3].Pitch = 40
//	again, err := e.Plan(ctx, engine.Input{Shell: sh, Notes: notes}) // reads no panel, finds no flange, looks only at the welds that moved
//
// What a stage makes is kept by a hash of all that it reads: a panel by its file and its keys; the flanges by the panels'
// shapes; how guns reach a weld by the weld, what stands in the jig, and the tools; a station's order by its stops; the whole
// plan by all files and the whole shell. A plan does not depend on what was kept.
package engine

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"fmt"
	"slices"
	"sync"

	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/planfile"
	"seamwright/layout/planner"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

// Engine plans shells. The zero value keeps nothing between plans.
type Engine struct {
	Cache    *cache.Cache     // nil: nothing is kept
	Writer   *planfile.Writer // of the plans before this one; nil: none
	Workers  int              // 0: one for each processor; plans do not depend on it
	Progress func(stage string, done, total int)
	Stage    func(name string) (done func()) // called as a stage begins, and what it returns as it ends; nil: nothing is told
	// NoRemedies leaves out what would let a gun in where none at hand reaches, which takes seconds; the findings say so.
	NoRemedies bool
}

// Input is what is to be planned. The shell must not change while its plan is in use.
type Input struct {
	Shell  *shell.Shell
	Notes  []string                  // of reading the shell file
	Digest func(files string) string // what the plan names as its input, given the hash of all files; nil: that hash itself
}

// Planned is a plan with what it was made from.
type Planned struct {
	Plan  *layout.Plan
	Text  []byte // the plan as it is written to a file
	Shell *shell.Shell
	Key   cache.Key   // of all that the plan depends on
	Looks []cache.Key // of each panel, of all that its mesh and its place depend on
	parts func(ctx context.Context) ([]parts.Part, error)
	again func(ctx context.Context) error // nil: it was planned just now
}

// Parts are the shell's panels, in their places. Where the plan was known, they are only read now.
func (p *Planned) Parts(ctx context.Context) ([]parts.Part, error) { return p.parts(ctx) }

// Rehearse plans once more what was known as a whole, so that the next change finds all its stages and does again only what it changes.
// It must not run beside another plan of the same engine.
func (p *Planned) Rehearse(ctx context.Context) error {
	if p.again == nil {
		return nil
	}
	return p.again(ctx)
}

// Plan plans a shell.
func (e *Engine) Plan(ctx context.Context, in Input) (*Planned, error) {
	e.Cache.Begin()
	sh := in.Shell
	defer sh.LetGo()
	r := &run{Engine: e, shell: sh, notes: in.Notes}
	if e.Cache == nil { // then panels are hashed as they are read, rather than to know whether they must be
		if _, err := r.read(ctx); err != nil {
			return nil, err
		}
	}
	err := e.stage("hash files", func() (err error) {
		r.digest, r.files, err = shell.Digests(sh, e.Cache)
		return err
	})
	if err != nil {
		if _, reading := r.read(ctx); reading != nil {
			return nil, reading // says of which panel
		}
		return nil, err
	}
	if in.Digest != nil {
		r.digest = in.Digest(r.digest)
	}
	out := &Planned{Shell: sh, Key: r.planKey(), parts: r.read}
	for _, p := range sh.Panels {
		key, _ := r.panelKey(p)
		out.Looks = append(out.Looks, key)
	}
	out.Text, err = cache.Get(e.Cache, out.Key, func() ([]byte, error) {
		var err error
		if out.Plan, err = r.plan(ctx); err != nil {
			return nil, err
		}
		var text []byte
		err = e.stage("write the plan", func() error {
			text, err = e.writer().Bytes(out.Plan)
			return err
		})
		return text, err
	})
	if err != nil {
		return nil, err
	}
	if out.Plan == nil { // it was known: everyone gets one of their own
		alone := *e
		alone.Workers = 1 // nobody waits for it, and others are at work
		once := &run{Engine: &alone, shell: r.shell, notes: r.notes, digest: r.digest, files: r.files}
		out.again = func(ctx context.Context) error {
			plan, err := once.plan(ctx)
			if err == nil {
				_, err = alone.writer().Bytes(plan)
			}
			return err
		}
		err = e.stage("read the plan", func() (err error) {
			out.Plan, err = planfile.Read(bytes.NewReader(out.Text))
			return err
		})
	}
	return out, err
}

func (e *Engine) writer() *planfile.Writer { return cmp.Or(e.Writer, new(planfile.Writer)) }

func (e *Engine) stage(name string, do func() error) error {
	if e.Stage != nil {
		defer e.Stage(name)()
	}
	return do()
}

// run is one plan in the making.
type run struct {
	*Engine
	shell  *shell.Shell
	notes  []string
	digest string
	files  map[string][sha256.Size]byte
	mu     sync.Mutex
	loaded []parts.Part
}

// planKey is what the whole plan depends on. The folder that the shell lies in is no part of it.
func (r *run) planKey() cache.Key {
	stage := "plan"
	if r.NoRemedies {
		stage = "plan without remedies"
	}
	return r.Cache.KeyOf(stage, cache.Input{Name: "files", Value: r.digest}, cache.Input{Name: "shell", Value: r.shell.Stated()},
		cache.Input{Name: "notes", Value: r.notes})
}

func (r *run) plan(ctx context.Context) (*layout.Plan, error) {
	loaded, err := r.read(ctx)
	if err != nil {
		return nil, err
	}
	notes := slices.Clone(r.notes)
	for _, part := range loaded {
		for _, n := range part.Notes {
			notes = append(notes, fmt.Sprintf("panel %s: %s", part.Panel.ID, n))
		}
	}
	found, by, err := r.find(ctx, loaded)
	if err != nil {
		return nil, err
	}
	return planner.Build(ctx, planner.Input{
		Shell: r.shell, Parts: loaded, Found: found, FoundBy: by, Digest: r.digest, Notes: notes,
		Cache: r.Cache, Workers: r.Workers, Progress: r.Progress,
		Stage: r.Stage, NoRemedies: r.NoRemedies,
	})
}

// progress is what a stage tells how far it is.
func (r *run) progress(stage string) func(done, total int) {
	return func(done, total int) {
		if r.Progress != nil {
			r.Progress(stage, done, total)
		}
	}
}

// read reads the panels, once.
func (r *run) read(ctx context.Context) ([]parts.Part, error) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.loaded != nil {
		return r.loaded, nil
	}
	err := r.stage("read panels", func() (err error) {
		r.loaded, err = parts.LoadBy(ctx, r.shell, r.Workers, r.progress("read panels"), r.readPanel)
		return err
	})
	return r.loaded, err
}

// readPanel reads one panel, unless its file and all that the shell file says of it are known.
func (r *run) readPanel(p shell.Panel, read func() (parts.Part, error)) (parts.Part, error) {
	key, ok := r.panelKey(p)
	if !ok {
		return read()
	}
	return cache.GetHere(r.Cache, key, read)
}

// panelKey is what a panel depends on; false where that is not known yet.
func (r *run) panelKey(p shell.Panel) (cache.Key, bool) {
	steel, ok := r.shell.Steel(p.Steel)
	if !ok || r.files == nil {
		return cache.Key{}, false
	}
	return r.Cache.KeyOf("panel", cache.Input{Name: "file", Value: r.files[cmp.Or(p.Mesh, p.Outline)]}, cache.Input{Name: "panel", Value: p},
		cache.Input{Name: "steel", Value: steel}, cache.Input{Name: "unit", Value: r.shell.UnitOf(p.Unit)}), true
}

// find finds the flanges between the panels.
func (r *run) find(ctx context.Context, loaded []parts.Part) (*flange.Found, cache.Key, error) {
	opt := flange.Options{GapLimit: r.shell.GapLimit, Clamps: clampsOf(r.shell, loaded)}
	var sheets, bare []flange.Sheet
	var shapes [][sha256.Size]byte
	for _, p := range loaded {
		sheets = append(sheets, p.Sheet)
		if r.Cache != nil {
			p.Sheet.Mesh = nil
			bare, shapes = append(bare, p.Sheet), append(shapes, p.Shape.Hash())
		}
	}
	key := r.Cache.KeyOf("flanges", cache.Input{Name: "sheets", Value: bare}, cache.Input{Name: "shapes", Value: shapes},
		cache.Input{Name: "options", Value: opt})
	opt.Cache, opt.Workers, opt.Progress = r.Cache, r.Workers, r.progress("find flanges")
	var out flange.Found
	err := r.stage("find flanges", func() (err error) {
		out, err = cache.Get(r.Cache, key, func() (flange.Found, error) {
			found, err := flange.Find(ctx, sheets, opt)
			if err != nil {
				return flange.Found{}, err
			}
			return *found, nil
		})
		return err
	})
	return &out, key, err
}

// clampsOf is what clamps close between the panels of the joints that say so.
func clampsOf(sh *shell.Shell, loaded []parts.Part) (out []flange.Clamps) {
	for _, j := range sh.Joints {
		if j.ClampGap == 0 && j.ClampAngle == 0 {
			continue
		}
		var sheets []int
		for i := range loaded {
			if slices.Contains(j.Panels, loaded[i].Panel.ID) {
				sheets = append(sheets, i)
			}
		}
		for i, a := range sheets {
			for _, b := range sheets[i+1:] {
				out = append(out, flange.Clamps{Sheets: [2]int{a, b}, Gap: j.ClampGap, Angle: j.ClampAngle})
			}
		}
	}
	return out
}
