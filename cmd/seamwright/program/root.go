package program

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/geometry/flange"
	"seamwright/internal/work"
)

// Maker makes a command of a call.
type Maker func(*Call) *cobra.Command

// Run executes one call of the program with these commands and returns the exit code.
func Run(ctx context.Context, args []string, out, errOut io.Writer, commands []Maker) int {
	return guarded(errOut, args, func() int { return execute(ctx, args, out, errOut, commands) })
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

func execute(ctx context.Context, args []string, out, errOut io.Writer, commands []Maker) int {
	p := NewCall(&sticky{w: out}, errOut)
	root := Root(p, commands)
	root.SetArgs(args)
	root.SetOut(out)
	root.SetErr(errOut)
	err := root.ExecuteContext(ctx)
	if closed := p.kept.Close(); closed != nil {
		p.Warn("note: what is kept between runs could not be brought below its limit: %v", closed)
	}
	p.Timing.print(p.Err)
	if failed := p.Out.(*sticky).err; err == nil && failed != nil {
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
		return ExitDone
	case errors.As(err, &fault):
		reportFault(errOut, args, fault.Value, fault.Stack)
		return exitPanic
	case errors.Is(err, ErrBroken):
		fmt.Fprintln(errOut, "seamwright: "+err.Error())
		return ExitBroken
	case errors.Is(err, context.Canceled):
		fmt.Fprintln(errOut, "seamwright: stopped")
		return ExitFailed
	}
	for _, line := range strings.Split(err.Error(), "\n") {
		fmt.Fprintln(errOut, "seamwright: "+line)
	}
	if errors.As(err, &input) || errors.Is(err, flange.ErrTooLarge) {
		return ExitInput
	}
	return ExitFailed
}

// Root is the command that all others are below.
func Root(p *Call, commands []Maker) *cobra.Command {
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
		return Wrong("%w: see %s --help", err, c.CommandPath())
	})
	timed := false
	root.PersistentPreRunE = func(*cobra.Command, []string) error {
		if timed {
			p.Timing = newTiming()
		}
		return checkWorkers(p)
	}
	flags := root.PersistentFlags()
	flags.BoolVarP(&p.Quiet, "quiet", "q", false, "say nothing but results and errors")
	flags.IntVar(&p.Workers, "workers", 0, "panels worked on at once; 0: one for each processor")
	flags.BoolVar(&p.noCache, "no-cache", false, "plan all anew, and keep nothing for the next run")
	flags.BoolVar(&timed, "timing", false, "say at the end how long each stage took, and how much memory")
	p.limits(flags)
	for _, c := range commands {
		root.AddCommand(c(p))
	}
	return root
}

// mostWorkers is more than the processors of any one machine that this is likely to meet: common practice, no source.
const mostWorkers = 1024

func checkWorkers(p *Call) error {
	if p.Workers < 0 || p.Workers > mostWorkers {
		return Wrong("--workers %d: write 0, for one for each processor, or up to %d", p.Workers, mostWorkers)
	}
	return p.checkLimits()
}

// reportFault says what to pass on about a fault of the program.
func reportFault(w io.Writer, args []string, fault any, stack []byte) {
	fmt.Fprintf(w, "seamwright: a fault of the program: %v\n", fault)
	fmt.Fprintf(w, "Nothing was written that was not whole. Please report the lines from here on, with the shell file if you may:\n")
	fmt.Fprintf(w, "%s\ncall: %q\n%s", VersionLine(), args, stack)
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
	return Wrong("there is no command %q%s: see seamwright --help", args[0], hint)
}
