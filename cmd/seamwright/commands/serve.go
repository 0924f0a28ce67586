package commands

import (
	"bytes"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

	"github.com/golang/geo/r3"
	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/money"
	"seamwright/cmd/seamwright/panels"
	"seamwright/cmd/seamwright/program"
	"seamwright/cmd/seamwright/server"
	"seamwright/internal/cache"
	"seamwright/internal/fileset"
	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/arming"
	"seamwright/layout/labour"
	"seamwright/layout/poses"
	"seamwright/layout/price"
	"seamwright/layout/quote"
	"seamwright/layout/whatif"
	"seamwright/render/offer"
	"seamwright/render/pack"
	"seamwright/render/page"
	"seamwright/render/table"
	"seamwright/seams/changes"
	"seamwright/seams/draft"
	"seamwright/seams/inforce"
	"seamwright/seams/shell"
	"seamwright/seams/shellfile"
)

func serve(p *program.Call) *cobra.Command {
	var listen string
	c := &cobra.Command{
		Use:   "serve SHELL [--listen HOST:PORT]",
		Short: "Open the local page: see the plan, turn it, change it, print it",
		Long: `serve plans the shell and opens a page for it, for the engineer, for the jig and for the estimator. It prints the
page's address as one line and answers until it is stopped. It listens on this machine alone unless --listen names another
address; such an address is printed with a token, which a browser keeps as a cookie.

Changes made on the page are kept in NAME.changes.yaml beside the shell file, which is never written. Every other command takes
them as well and says so; --no-changes leaves them out.`,
		Args: program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error { return servePage(c.Context(), p, args[0], listen) },
	}
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:0", "address to listen on; port 0: any free one")
	c.Flags().StringArrayVar(&p.Set, "set", nil, "change a value of the shell file for this call; may be repeated")
	return c
}

func servePage(ctx context.Context, p *program.Call, path, listen string) error {
	l, address, err := server.Open(listen)
	if err != nil {
		return program.BadInput(err)
	}
	defer func() { _ = l.Close() }() // serving has closed it already, unless it never began
	s, err := server.New(ctx, pageOf(p, path, keptPictures(p)))
	if err != nil {
		return program.BadInput(err)
	}
	p.Cache().StopWriting()
	url := address.URL
	if address.Token != "" {
		p.Warn("note: %s can be reached from other machines: whoever has the address with its token can read and change the plan", l.Addr())
		url += "?token=" + address.Token
	}
	fmt.Fprintln(p.Out, url)
	return s.Serve(ctx, l, address)
}

// pageOf is what the server of a shell file's page works with.
func pageOf(p *program.Call, path string, pictures *cache.Cache) server.Config {
	return server.Config{
		Shell:   path,
		Workers: processors(p),
		Build: func(ctx context.Context, c changes.Changes, progress func(string, int, int)) (*server.Planned, error) {
			done, err := p.PlanWith(ctx, path, c, progress)
			if err != nil {
				return nil, err
			}
			return shown(p, done, pictures), nil
		},
		Pair: func(ctx context.Context, files []server.File, in server.Dropped, progress func(string, int, int)) (*server.Pair, error) {
			return pairOf(ctx, p, files, in, progress)
		},
		Save: func(path string, data []byte) error {
			to, err := fileset.FileTarget(path)
			if err != nil {
				return err
			}
			return to.Write(data)
		},
	}
}

// pictures is where light panels are kept: from run to run, unlike the plans of a session, which nobody asks for again.
func keptPictures(p *program.Call) *cache.Cache {
	if p.Cache() == nil {
		return cache.New()
	}
	return p.OpenCache()
}

// processors is how many workers a picture may have.
func processors(p *program.Call) int {
	if p.Workers > 0 {
		return p.Workers
	}
	return runtime.GOMAXPROCS(0)
}

// shown is a plan as the server shows it. Panels are read once somebody asks for what needs them.
func shown(p *program.Call, done program.Planned, pictures *cache.Cache) *server.Planned {
	look := pictures.KeyOf("look", cache.Input{Name: "panels", Value: done.Made.Looks}, cache.Input{Name: "name", Value: done.Plan.Shell.Name})
	return &server.Planned{
		Plan: done.Plan, Text: done.Made.Text, Look: hex.EncodeToString(look[:]),
		Panels: done.Panels, Rehearse: done.Made.Rehearse,
		Meshes: func(ctx context.Context) ([]server.Mesh, error) {
			loaded, err := done.Made.Parts(ctx)
			var out []server.Mesh
			for _, part := range loaded {
				out = append(out, server.Mesh{ID: part.Panel.ID, Mesh: part.Sheet.Mesh})
			}
			return out, err
		},
		Light: func(ctx context.Context, ready func(page.Panel, int, int)) ([]page.Panel, error) {
			return light(ctx, p, done, pictures, ready)
		},
		Marks: func(flange string) page.Marks { return marksOf(done, flange) },
		Poses: func(ctx context.Context, weld int) ([]poses.Tool, error) {
			loaded, err := done.Made.Parts(ctx)
			if err != nil {
				return nil, err
			}
			return poses.At(done.Plan, done.Shell, loaded, weld)
		},
		Print: func(ctx context.Context) ([]byte, error) {
			panels, err := done.Panels(ctx)
			if err != nil {
				return nil, err
			}
			book, err := pack.Shell(ctx, done.Plan, panels, pack.Options{Workers: p.Workers})
			if err != nil {
				return nil, err
			}
			var b bytes.Buffer
			err = book.PDF(&b)
			return b.Bytes(), err
		},
		Workbook: func() ([]byte, error) { return workbookOf(context.Background(), done) },
		Breaks:   func(ctx context.Context, shells []int) ([]server.Break, error) { return breaksOf(ctx, done, shells) },
		Value:    func(key string) (any, error) { return shellfile.Value(done.Shell, key) },
		Quote: func(ctx context.Context) ([]byte, error) {
			priced, err := price.Of(ctx, done.Plan, done.Shell)
			if err != nil {
				return nil, err
			}
			return money.Letter(done, priced, false)
		},
		Steel: func() ([]byte, error) { return table.Steel(done.Plan.Cost.Steel, done.Plan.Cost.Currency) },
	}
}

// marksOf is what rules and shell file ask of a flange; nothing of one that they do not know.
func marksOf(done program.Planned, flange string) page.Marks {
	k := slices.IndexFunc(done.Plan.Flanges, func(f layout.Flange) bool { return f.ID == flange })
	if k < 0 {
		return page.Marks{}
	}
	f := &done.Plan.Flanges[k]
	joint, ok := done.Shell.Joint(f.Joint)
	if !ok {
		joint = &shell.Joint{Panels: f.Panels} // one that was found
	}
	var out page.Marks
	for _, k := range joint.KeepOuts {
		out.KeepOuts = append(out.KeepOuts, page.KeepOut{At: r3.Vector{X: k.At[0], Y: k.At[1], Z: k.At[2]}, Radius: k.Radius, Why: k.Why})
	}
	in, err := inforce.For(done.Shell)
	if err != nil {
		return out // the plan stands on them: it could not be read again
	}
	stack, err := in.Stack(f.Panels)
	if err != nil {
		return out
	}
	l := in.Limits(stack, joint)
	out.Edge, out.End, out.Gap = l.EdgeDistance.Value, l.EndDistance.Value, l.GreatestGap.Value
	out.LeastPitch, out.GreatestPitch = l.LeastPitch.Value, l.GreatestPitch.Value
	return out
}

// light makes the panels light for the picture. Each is kept from run to run, so that a panel that was seen before is not even read.
func light(ctx context.Context, p *program.Call, done program.Planned, pictures *cache.Cache, ready func(page.Panel, int,
	int)) ([]page.Panel, error) {
	pictures.Begin()
	out := make([]page.Panel, len(done.Shell.Panels))
	var mu sync.Mutex
	count := 0
	return out, work.Each(ctx, processors(p), len(out), func(i int) (err error) {
		key := pictures.KeyOf("light panel", cache.Input{Name: "panel", Value: done.Made.Looks[i]},
			cache.Input{Name: "within", Value: []float64{page.Fine, page.Coarse}})
		out[i], err = cache.Get(pictures, key, func() (page.Panel, error) {
			loaded, err := done.Made.Parts(ctx)
			if err != nil {
				return page.Panel{}, err
			}
			return page.Lighten(ctx, loaded[i].Panel.ID, loaded[i].Sheet.Mesh)
		})
		if err != nil {
			return err
		}
		mu.Lock()
		defer mu.Unlock()
		count++
		ready(out[i], count, len(out))
		return nil
	})
}

// pairOf plans dropped panels as a shell of their own, in a folder that is gone afterwards.
func pairOf(ctx context.Context, p *program.Call, files []server.File, in server.Dropped,
	progress func(string, int, int)) (*server.Pair, error) {
	dir, err := os.MkdirTemp("", "seamwright-pair-*")
	if err != nil {
		return nil, err
	}
	defer func() { _ = os.RemoveAll(dir) }() // a temporary folder
	if err := into(dir, files); err != nil {
		return nil, err
	}
	path := filepath.Join(dir, "shell.yaml")
	var said bytes.Buffer
	aside := *p
	aside.Err, aside.Quiet = &said, false // what is to be said of the files goes to the page
	sketch, findings, err := panels.Sketch(ctx, &aside, panels.FromFolder{Dir: dir, File: path, Thickness: in.Thickness, Unit: in.Unit})
	if err != nil {
		return nil, plainly(err, dir)
	}
	sketch.Name = "New pair"
	text, err := draft.Of(sketch)
	if err != nil {
		return nil, plainly(err, dir)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		return nil, err
	}
	aside.NoRemedies = in.NoRemedies
	done, err := aside.PlanWith(ctx, path, changes.Changes{}, progress)
	if err != nil {
		return nil, plainly(err, dir)
	}
	if _, err := done.Made.Parts(ctx); err != nil { // while their files are there
		return nil, plainly(err, dir)
	}
	out := &server.Pair{Planned: shown(&aside, done, nil), Shell: text,
		Said: strings.FieldsFunc(said.String(), func(c rune) bool { return c == '\n' })}
	out.Said = append(out.Said, fmt.Sprintf("note: %d lines of the shell file are marked CHECK: what stands there was assumed, such as "+
		"the thickness of a sheet that was neither given nor measured", strings.Count(text, "CHECK")))
	for _, n := range done.Plan.Notes {
		out.Said = append(out.Said, "note: "+n)
	}
	for _, f := range append(findings, done.Plan.Findings...) {
		out.Said = append(out.Said, program.FindingLine(f))
	}
	out.Sought = !slices.ContainsFunc(done.Plan.Findings, func(f layout.Finding) bool { return f.Remedy == arming.NotSought })
	slices.Sort(out.Said)
	out.Said = slices.Compact(out.Said)
	return out, nil
}

// into writes dropped files into a folder, and nowhere else whatever they are named.
func into(dir string, files []server.File) error {
	root, err := os.OpenRoot(dir)
	if err != nil {
		return err
	}
	for _, f := range files {
		if err := root.WriteFile(f.Name, f.Data, 0o600); err != nil {
			return errors.Join(err, root.Close())
		}
	}
	return root.Close()
}

// plainly leaves a temporary folder out of an error.
func plainly(err error, dir string) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	return errors.New(strings.ReplaceAll(err.Error(), dir+string(filepath.Separator), ""))
}

func workbookOf(ctx context.Context, done program.Planned) ([]byte, error) {
	q, err := quote.Of(ctx, done.Plan, done.Shell, quote.Options{Seed: quote.DefaultSeed})
	if err != nil {
		return nil, err
	}
	basis, err := labour.BasisOf(ctx, done.Plan, done.Shell)
	if err != nil {
		return nil, err
	}
	priced, err := price.Of(ctx, done.Plan, done.Shell)
	if err != nil {
		return nil, err
	}
	return offer.Workbook(done.Plan, basis, q, priced)
}

// breaksOf is the cost of other batches.
func breaksOf(ctx context.Context, done program.Planned, shells []int) ([]server.Break, error) {
	var out []server.Break
	for _, n := range shells {
		sh := *done.Shell
		sh.Batch = n
		plan, err := whatif.Again(ctx, done.Plan, &sh)
		if err != nil {
			return nil, fmt.Errorf("%d shells: %w", n, err)
		}
		out = append(out, server.Break{Shells: n, Shell: plan.Cost.CostPerShell, Batch: plan.Cost.CostPerBatch})
	}
	return out, nil
}
