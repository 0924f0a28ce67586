package money

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/cache"
	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/layout/labour"
	"seamwright/layout/variants"
	"seamwright/layout/whatif"
	"seamwright/render/table"
	"seamwright/seams/changes"
	"seamwright/seams/shell"
)

// variantsOptions are the flags of variants.
type variantsOptions struct {
	dir, part string
	seed      uint64
}

// Variants makes the command variants.
func Variants(p *program.Call) *cobra.Command {
	var o variantsOptions
	c := &cobra.Command{
		Use:   "variants LIST.csv SHELL",
		Short: "Plan and cost many variants of a shell, each a row of a list",
		Long: `variants plans the shell once for each row of the list and reckons its time and money; no maps are drawn. The list is CSV. Its
first line names keys of the shell file (batch,crew.main-jig,rules.pitch_mm), and an empty cell leaves a value as stated; a column
name names the variant. Without such a line each cell is a setting, such as batch=12.

Each row's result is a file of its own in the folder -o. A call that was stopped goes on when it is made again. --part 2/8 does the
second of eight shares, at the same time as others or on another machine: the results do not depend on how the list was split.
"seamwright variants gather" makes one table of them.`,
		Example: `  seamwright variants list.csv shell.yaml -o variants
  seamwright variants list.csv shell.yaml -o variants --part 2/8
  seamwright variants gather variants -o variants.csv`,
		Args: program.Count(2, 2, "a list of variants and a shell file"),
		RunE: func(c *cobra.Command, args []string) error { return planVariants(c.Context(), p, args[0], args[1], o) },
	}
	c.Flags().StringVarP(&o.dir, "output", "o", "", "folder for the results; default: variants, beside the shell file")
	c.Flags().StringVar(&o.part, "part", "", "do one share only: i/n, such as 2/8")
	c.Flags().Uint64Var(&o.seed, "seed", 1, "of the drawn range")
	p.Overrides(c)
	c.AddCommand(gatherVariants(p))
	return c
}

// planVariants plans the rows of one part that have no result yet.
func planVariants(ctx context.Context, p *program.Call, listPath, path string, o variantsOptions) error {
	list, err := variants.ReadList(listPath)
	if err != nil {
		return program.BadInput(err)
	}
	part, err := variants.ParsePart(o.part)
	if err != nil {
		return program.Wrong("--%w", err)
	}
	if o.dir == "" {
		o.dir = filepath.Join(filepath.Dir(path), "variants")
	}
	if err := program.TryFolder(o.dir); err != nil {
		return err
	}
	p.Set = program.Settings(p.Set)
	w, err := newVariantWork(ctx, p, path, o.seed)
	if err != nil {
		return err
	}
	if w.folder, err = variants.Open(o.dir, list); err != nil {
		return program.BadInput(program.Unwritten(err))
	}
	if err := w.all(ctx, list.Part(part)); err != nil {
		return err
	}
	return w.told(list, o.dir)
}

// variantWork is one call's work on a list of variants.
type variantWork struct {
	*program.Call
	path    string
	seed    uint64
	changed changes.Changes
	stated  program.Planned
	plain   shell.Shell                  // as stated, to be compared with
	files   map[string][sha256.Size]byte // of the stated shell
	base    cache.Key                    // of all that the rows have in common
	folder  *variants.Folder
	bar     *program.Bar

	mu                         sync.Mutex
	rows, done, known, unsound int
	failed                     []variants.Result
}

// newVariantWork plans the shell as stated, from which most rows differ in time and money alone, and the others in part.
func newVariantWork(ctx context.Context, p *program.Call, path string, seed uint64) (*variantWork, error) {
	w := &variantWork{Call: p, path: path, seed: seed}
	if p.Cache() == nil {
		p.KeepIn(cache.New()) // what the rows share is kept for this call
	}
	var err error
	if w.changed, err = p.Changed(path); err != nil {
		return nil, err
	}
	b := p.Bar()
	w.stated, err = p.PlanWith(ctx, path, w.changed, b.Show)
	b.Clear()
	if err != nil {
		return nil, err
	}
	plain, err := readOver(p, path, w.changed, nil)
	if err != nil {
		return nil, err
	}
	w.plain = plain.Stated()
	if _, w.files, err = shell.Digests(w.stated.Shell, nil); err != nil {
		return nil, program.BadInput(err)
	}
	self, err := cache.Program()
	if err != nil {
		return nil, err
	}
	w.base = w.Cache().KeyOf("variants", cache.Input{Name: "program", Value: self}, cache.Input{Name: "files", Value: w.files},
		cache.Input{Name: "shell", Value: w.stated.Shell.Stated()}, cache.Input{Name: "seed", Value: seed})
	// Nobody asks again for the plans of single rows, and together they would push all else out of the folder.
	p.Cache().StopWriting()
	return w, nil
}

// all plans the rows side by side, each on one worker, and the shell as stated as row 0.
func (w *variantWork) all(ctx context.Context, rows []variants.Row) error {
	w.bar, w.rows = w.Call.Bar(), len(rows)
	defer w.bar.Clear()
	defer w.Stage("variants")()
	if err := w.first(ctx); err != nil {
		return err
	}
	return work.Each(ctx, w.Workers, len(rows), func(i int) error { return w.one(ctx, rows[i]) })
}

// first keeps the result of the shell as stated.
func (w *variantWork) first(ctx context.Context) error {
	r := variants.Result{Name: "as stated", Settings: w.Set, Key: w.key(w.stated.Shell, w.files, nil), Base: w.hex(w.base)}
	if _, ok := w.folder.Has(0, r.Key); ok {
		return nil
	}
	v, err := whatif.Of(ctx, r.Name, w.stated.Plan, w.stated.Shell, w.seed)
	if err != nil {
		return program.BadInput(err)
	}
	r.Variant, r.Currency = &v, w.stated.Plan.Cost.Currency
	return program.Unwritten(w.folder.Put(r))
}

func (*variantWork) hex(k cache.Key) string { return hex.EncodeToString(k[:]) }

// key is of all that a row's result is made from.
func (w *variantWork) key(sh *shell.Shell, files map[string][sha256.Size]byte, row []string) string {
	return w.hex(w.Cache().KeyOf("variant", cache.Input{Name: "base", Value: w.base}, cache.Input{Name: "files", Value: files},
		cache.Input{Name: "shell", Value: sh.Stated()}, cache.Input{Name: "settings", Value: row}))
}

// one plans a row and keeps its result; a row that cannot be planned is a result too. An error ends the call.
func (w *variantWork) one(ctx context.Context, row variants.Row) error {
	r := variants.Result{Row: row.Number, Name: row.Name, Settings: program.Settings(row.Settings), Base: w.hex(w.base)}
	r.Key = w.key(&shell.Shell{}, nil, r.Settings)
	sh, err := readOver(w.Call, w.path, w.changed, r.Settings)
	var files map[string][sha256.Size]byte
	if err == nil {
		if _, files, err = shell.Digests(sh, nil); err == nil {
			if changed := w.changedFile(files); changed != "" {
				return program.Wrong("%s: changed while variants were planned: run it again", changed)
			}
			r.Key = w.key(sh, files, r.Settings)
		}
	}
	if known, ok := w.folder.Has(row.Number, r.Key); ok {
		w.count(known, true)
		return nil
	}
	if err == nil {
		err = w.reckon(ctx, &r, sh)
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if err != nil {
		r.Variant, r.Problem = nil, strings.ReplaceAll(err.Error(), "\n", "; ")
	}
	if err := w.folder.Put(r); err != nil {
		return program.Unwritten(err)
	}
	w.count(r, false)
	return nil
}

// changedFile names a file of the stated shell that has other bytes now.
func (w *variantWork) changedFile(files map[string][sha256.Size]byte) string {
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if was, ok := w.files[name]; ok && was != files[name] {
			return cmp.Or(name, w.path)
		}
	}
	return ""
}

// reckon fills in a row's figures: of the stated plan where only time and money change, else planned anew.
func (w *variantWork) reckon(ctx context.Context, r *variants.Result, sh *shell.Shell) error {
	var plan *layout.Plan
	var err error
	here := sh.Stated()
	if labour.SamePlan(&w.plain, &here) {
		plan, err = whatif.Again(ctx, w.stated.Plan, sh)
	} else {
		alone := *w.Call
		alone.Set, alone.Workers, alone.Timing = slices.Concat(w.Set, r.Settings), 1, nil
		var other program.Planned
		if other, err = alone.PlanWith(ctx, w.path, w.changed, nil); err == nil {
			plan, sh = other.Plan, other.Shell
		}
	}
	if err != nil {
		return err
	}
	v, err := whatif.Of(ctx, r.Name, plan, sh, w.seed)
	r.Variant, r.Currency = &v, plan.Cost.Currency
	return err
}

// count notes what came of a row and says how far the work is.
func (w *variantWork) count(r variants.Result, known bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.done++
	if known {
		w.known++
	}
	switch {
	case r.Problem != "":
		w.failed = append(w.failed, r)
	case r.Variant.Broken > 0:
		w.unsound++
	}
	w.bar.Show("variants", w.done, w.rows)
}

// told says what came of the rows. A row that could not be planned is the list's to mend.
func (w *variantWork) told(list *variants.List, dir string) error {
	fmt.Fprintf(w.Out, "%s of %d in the list: %d done, %d of them known before; %d could not be planned, %d with broken rules\n",
		program.Many(w.rows, "variant"), len(list.Rows), w.done, w.known, len(w.failed), w.unsound)
	fmt.Fprintf(w.Out, "written to %s: seamwright variants gather %s makes one table\n", dir, dir)
	if len(w.failed) == 0 {
		var in []string
		if len(program.CountRules(w.stated.Plan.Findings, layout.Broken)) > 0 {
			in = append(in, "in the shell as stated")
		}
		if w.unsound > 0 {
			in = append(in, fmt.Sprintf("in %s of the list", program.Many(w.unsound, "variant")))
		}
		if len(in) > 0 {
			return fmt.Errorf("%w: %s: the column broken of the table says in which", program.ErrBroken, strings.Join(in, " and "))
		}
		return nil
	}
	slices.SortFunc(w.failed, func(a, b variants.Result) int { return cmp.Compare(a.Row, b.Row) })
	var lines []error
	for i, r := range w.failed {
		if i == mostTold {
			lines = append(lines, fmt.Errorf("and %d more: see the column problem of the table", len(w.failed)-i))
			break
		}
		lines = append(lines, fmt.Errorf("%s line %d: %s: %s", list.File, list.Rows[r.Row-1].Line, r.Name, r.Problem))
	}
	return program.BadInput(errors.Join(lines...))
}

// mostTold rows that could not be planned are named.
const mostTold = 20

func gatherVariants(p *program.Call) *cobra.Command {
	var output string
	c := &cobra.Command{
		Use:   "gather FOLDER",
		Short: "Make one table of the results of variants",
		Long: `gather writes one CSV table of the results in a folder that "seamwright variants" wrote, the shell as stated first. Rows without a
result, or with one of an earlier state of the shell file, stand in it without figures, are named, and make the exit code 2.`,
		Example: `  seamwright variants gather variants -o variants.csv`,
		Args:    program.Count(1, 1, "one folder"),
	}
	c.RunE = func(c *cobra.Command, args []string) error {
		to, err := p.Destination(output, "the table", ".csv")
		if err != nil {
			return err
		}
		got, err := variants.Gather(c.Context(), args[0])
		if err != nil {
			return program.BadInput(err)
		}
		text, err := table.Variants(got)
		if err != nil {
			return err
		}
		if err := p.Write(to, text, ""); err != nil {
			return err
		}
		return gatherVerdict(got)
	}
	c.Flags().StringVarP(&output, "output", "o", "", "CSV file; default: standard output")
	return c
}

// gatherVerdict says what the table lacks.
func gatherVerdict(got []variants.Result) error {
	missing, failed, unsound := 0, 0, 0
	first := ""
	for _, r := range got {
		switch {
		case r.Missing():
			missing++
			first = cmp.Or(first, fmt.Sprint(r.Row))
		case r.Problem != "":
			failed++
		case r.Variant.Broken > 0:
			unsound++
		}
	}
	switch {
	case missing > 0:
		return program.Wrong("%s without a result, the first %s: run seamwright variants again", program.Many(missing, "row"), first)
	case failed > 0:
		return program.Wrong("%s could not be planned: see the column problem", program.Many(failed, "row"))
	case unsound > 0:
		return fmt.Errorf("%w: in %s: see the column broken", program.ErrBroken, program.Many(unsound, "row"))
	}
	return nil
}
