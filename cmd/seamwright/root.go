package main

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/geometry/drawing"
	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/seams/changes"
)

// The exit codes.
const (
	exitDone   = 0
	exitFailed = 1   // writing failed, or the work was stopped
	exitInput  = 2   // the call or a file given is wrong
	exitBroken = 3   // planned, but a rule is broken; the files are written
	exitPanic  = 4   // a fault of the program
	exitSignal = 128 // and the signal's number: 129, 130 or 143
)

// inputError is an error that the user mends in the call or in a file.
type inputError struct{ err error }

func (e inputError) Error() string { return e.err.Error() }
func (e inputError) Unwrap() error { return e.err }

// badInput marks an error as the user's to mend, unless the work was stopped.
func badInput(err error) error {
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return inputError{err}
}

// errBroken says that the plan breaks a rule, so that the exit code is the same in every command.
var errBroken = errors.New("a rule is broken")

// program is one call of the command.
type program struct {
	out, err io.Writer
	quiet    bool
	workers  int
	most     drawing.Limits
	set      []string
	noCache  bool
	timing   *timing      // nil: not asked for
	opened   bool         // whether kept has been looked for
	kept     *cache.Cache // what earlier runs kept; see cache
	writer   *layout.Writer

	mostBook  int64 // bytes of a rule book
	noChanges bool  // leave out what was changed on the local page

	noRemedies bool // what would let a gun in is not looked for
}

// run executes one call and returns the exit code.
func run(ctx context.Context, args []string, out, errOut io.Writer) int {
	return guarded(errOut, args, func() int { return execute(ctx, args, out, errOut) })
}

// guarded turns a fault of the program into an exit code of its own.
func guarded(errOut io.Writer, args []string, do func() int) (code int) {
	defer func() {
		if fault := recover(); fault != nil {
			reportFault(errOut, args, fault, debug.Stack())
			code = exitPanic
		}
	}()
	return do()
}

func execute(ctx context.Context, args []string, out, errOut io.Writer) int {
	p := &program{out: &sticky{w: out}, err: errOut, writer: new(layout.Writer)}
	root := p.root()
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errOut)
	err := root.ExecuteContext(ctx)
	if closed := p.kept.Close(); closed != nil {
		p.warn("note: what is kept between runs could not be brought below its limit: %v", closed)
	}
	p.timing.print(p.err)
	if failed := p.out.(*sticky).err; err == nil && failed != nil {
		err = fmt.Errorf("write the result: %w", failed)
	}
	return codeOf(err, args, errOut)
}

// codeOf says what went wrong, and is the exit code.
func codeOf(err error, args []string, errOut io.Writer) int {
	var input inputError
	var fault *work.Fault
	switch {
	case err == nil:
		return exitDone
	case errors.As(err, &fault):
		reportFault(errOut, args, fault.Value, fault.Stack)
		return exitPanic
	case errors.Is(err, errBroken):
		fmt.Fprintln(errOut, "seamwright: "+err.Error())
		return exitBroken
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(errOut, "seamwright: stopped")
		return exitFailed
	}
	for _, line := range strings.Split(err.Error(), "\n") {
		fmt.Fprintln(errOut, "seamwright: "+line)
	}
	if errors.As(err, &input) || errors.Is(err, flange.ErrTooLarge) {
		return exitInput
	}
	return exitFailed
}

// sticky keeps the first error of writing, so that every result need not be checked on its own.
type sticky struct {
	w   io.Writer
	err error
}

func (s *sticky) Write(b []byte) (int, error) {
	if s.err != nil {
		return len(b), nil
	}
	_, s.err = s.w.Write(b)
	return len(b), nil
}

func (p *program) root() *cobra.Command {
	root := &cobra.Command{
		Use:   "seamwright",
		Short: "Plan the spot welds and roller seams of sheet-steel shells",
		Long: `seamwright finds where pressed panels lie on each other, lays out spot welds and roller seams by weld rules,
puts the work in order, estimates time and cost, and draws weld maps.

Results go to standard output, progress and warnings to standard error.
Exit codes: 0 done; 1 failed; 2 wrong call or input; 3 planned, but a rule is broken; 4 a fault of the program;
129, 130, 143 stopped by SIGHUP, SIGINT, SIGTERM. When memory runs out the Go runtime ends the program with 2, too, and
says "fatal error" first.`,
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          cobra.ArbitraryArgs,
		RunE:          unknownCommand,
	}
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return inputError{fmt.Errorf("%w: see %s --help", err, c.CommandPath())}
	})
	timed := false
	root.PersistentPreRunE = func(*cobra.Command, []string) error {
		if timed {
			p.timing = newTiming()
		}
		return p.checkWorkers()
	}
	flags := root.PersistentFlags()
	flags.BoolVarP(&p.quiet, "quiet", "q", false, "say nothing but results and errors")
	flags.IntVar(&p.workers, "workers", 0, "panels worked on at once; 0: one for each processor")
	flags.BoolVar(&p.noCache, "no-cache", false, "plan all anew, and keep nothing for the next run")
	flags.BoolVar(&timed, "timing", false, "say at the end how long each stage took, and how much memory")
	p.limits(flags)
	root.AddCommand(p.demo(), p.newShell(), p.flanges(), p.planShell(), p.mapStation(), p.markingStrip(), p.export(), p.printSet(),
		p.cost(), p.offerShell(), p.cards(),
		p.variants(),
		p.stations(), p.reach(), p.order(), p.rules(), p.check(), p.survey(), p.compare(), p.serve(), p.keys(), p.cacheCommand(), p.version())
	return root
}

// mostWorkers is more than the processors of any one machine that this is likely to meet: common practice, no source.
const mostWorkers = 1024

func (p *program) checkWorkers() error {
	if p.workers < 0 || p.workers > mostWorkers {
		return inputError{fmt.Errorf("--workers %d: write 0, for one for each processor, or up to %d", p.workers, mostWorkers)}
	}
	return p.checkLimits()
}

// reportFault says what to pass on about a fault of the program.
func reportFault(w io.Writer, args []string, fault any, stack []byte) {
	fmt.Fprintf(w, "seamwright: a fault of the program: %v\n", fault)
	fmt.Fprintf(w, "Nothing was written that was not whole. Please report the lines from here on, with the shell file if you may:\n")
	fmt.Fprintf(w, "%s\ncall: %q\n%s", versionLine(), args, stack)
}

// unknownCommand helps a call without a command, and refuses one that does not exist.
func unknownCommand(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return c.Help()
	}
	hint := ""
	if near := c.SuggestionsFor(args[0]); len(near) > 0 {
		hint = fmt.Sprintf("; did you mean %s?", near[0])
	}
	return inputError{fmt.Errorf("there is no command %q%s: see seamwright --help", args[0], hint)}
}

// count checks the number of arguments and names what is missing.
func count(least, most int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) < least || most >= 0 && len(args) > most {
			return inputError{fmt.Errorf("%s takes %s, not %d: see %s --help", c.Name(), what, len(args), c.CommandPath())}
		}
		return nil
	}
}

// overrides adds the --set flag.
func (p *program) overrides(c *cobra.Command) {
	c.Flags().StringArrayVar(&p.set, "set", nil, "change a value of the shell file, such as batch=12 or stations.main-jig.crew=3; may be "+
		"repeated")
	c.Flags().BoolVar(&p.noChanges, "no-changes", false, "leave out what was changed on the local page (NAME.changes.yaml)")
}

// changed is what was changed on the local page; nothing with --no-changes.
func (p *program) changed(path string) (changes.Changes, error) {
	if p.noChanges {
		return changes.Changes{}, nil
	}
	c, err := changes.Read(path)
	if err == nil && len(c.Set) > 0 {
		p.warn("note: %s from %s; --no-changes leaves them out", many(len(c.Set), "change"), changes.Path(path))
	}
	return c, badInput(err)
}

// overrideMap is what stands above a shell file: the changes made on the local page, and above these the call's own.
func (p *program) overrideMap(c changes.Changes) (map[string]string, error) {
	out := c.Overrides()
	for _, s := range p.set {
		key, value, ok := strings.Cut(s, "=")
		if !ok || key == "" {
			return nil, inputError{fmt.Errorf("--set %s: write key=value", s)}
		}
		out[key] = value
	}
	return out, nil
}

// withChanges is the hash of the input with the changes of the local page counted in, where there are any.
func withChanges(digest string, c changes.Changes) string {
	if len(c.Set) == 0 {
		return digest
	}
	sum := sha256.Sum256([]byte(digest + c.Version))
	return hex.EncodeToString(sum[:])
}

func (p *program) warn(format string, args ...any) {
	if !p.quiet {
		fmt.Fprintf(p.err, format+"\n", args...)
	}
}
