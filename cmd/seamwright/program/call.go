// Package program is what all commands share: the call with its flags, how it plans a shell, prints, writes, warns and ends.
//
//	code := program.Run(ctx, []string{"check", "shell.yaml"}, os.Stdout, os.Stderr, []program.Maker{review.Check})
package program

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"

	"github.com/spf13/cobra"

	"seamwright/geometry/drawing"
	"seamwright/internal/cache"
	"seamwright/layout/planfile"
	"seamwright/seams/changes"
)

// The exit codes.
const (
	ExitDone   = 0
	ExitFailed = 1   // writing failed, or the work was stopped
	ExitInput  = 2   // the call or a file given is wrong
	ExitBroken = 3   // planned, but a rule is broken; the files are written
	exitPanic  = 4   // a fault of the program
	ExitSignal = 128 // and the signal's number: 129, 130 or 143
)

// inputError is an error that the user mends in the call or in a file.
type inputError struct{ err error }

func (e inputError) Error() string { return e.err.Error() }

func (e inputError) Unwrap() error { return e.err }

// BadInput marks an error as the user's to mend, unless the work was stopped.
func BadInput(err error) error {
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	return inputError{err}
}

// Wrong is an error that the user mends in the call or in a file.
func Wrong(format string, args ...any) error { return inputError{fmt.Errorf(format, args...)} }

// ErrBroken says that the plan breaks a rule, so that the exit code is the same in every command.
var ErrBroken = errors.New("a rule is broken")

// Call is one call of the program, with what all commands take.
type Call struct {
	Out, Err io.Writer // results; progress, notes and errors
	Quiet    bool
	Workers  int            // 0: one for each processor
	Most     drawing.Limits // of what is read
	Set      []string       // key=value, above what the shell file states
	noCache  bool
	Timing   *timing      // nil: not asked for
	opened   bool         // whether kept has been looked for
	kept     *cache.Cache // what earlier runs kept; see Cache
	writer   *planfile.Writer

	mostBook  int64 // bytes of a rule book
	NoChanges bool  // leave out what was changed on the local page

	NoRemedies bool // what would let a gun in is not looked for
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

// Count checks the number of arguments and names what is missing.
func Count(least, most int, what string) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if len(args) < least || most >= 0 && len(args) > most {
			return Wrong("%s takes %s, not %d: see %s --help", c.Name(), what, len(args), c.CommandPath())
		}
		return nil
	}
}

// Overrides adds the --set flag.
func (p *Call) Overrides(c *cobra.Command) {
	c.Flags().StringArrayVar(&p.Set, "set", nil, "change a value of the shell file, such as batch=12 or stations.main-jig.crew=3; may be "+
		"repeated")
	c.Flags().BoolVar(&p.NoChanges, "no-changes", false, "leave out what was changed on the local page (NAME.changes.yaml)")
}

// Changed is what was changed on the local page; nothing with --no-changes.
func (p *Call) Changed(path string) (changes.Changes, error) {
	if p.NoChanges {
		return changes.Changes{}, nil
	}
	c, err := changes.Read(path)
	if err == nil && len(c.Set) > 0 {
		p.Warn("note: %s from %s; --no-changes leaves them out", Many(len(c.Set), "change"), changes.Path(path))
	}
	return c, BadInput(err)
}

// OverrideMap is what stands above a shell file: the changes made on the local page, and above these the call's own.
func (p *Call) OverrideMap(c changes.Changes) (map[string]string, error) {
	out := c.Overrides()
	for _, s := range p.Set {
		key, value, ok := strings.Cut(s, "=")
		if !ok || key == "" {
			return nil, Wrong("--set %s: write key=value", s)
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

// Warn says something on standard error, unless the call is to be quiet.
func (p *Call) Warn(format string, args ...any) {
	if !p.Quiet {
		fmt.Fprintf(p.Err, format+"\n", args...)
	}
}

// nextSetting is where one setting ends and the next begins: a comma before a key.
var nextSetting = regexp.MustCompile(`,\s*([\p{L}\p{N}][\p{L}\p{M}\p{N}._+-]*=)`)

// Settings parts settings that stand together, batch=12,crew.main-jig=3, and writes crew.ID in full.
func Settings(list []string) []string {
	var out []string
	for _, s := range list {
		for _, one := range strings.Split(nextSetting.ReplaceAllString(s, "\n$1"), "\n") {
			one = strings.TrimSpace(one)
			key, value, _ := strings.Cut(one, "=")
			if id, ok := strings.CutPrefix(key, "crew."); ok {
				one = "stations." + id + ".crew=" + value
			}
			out = append(out, one)
		}
	}
	return out
}

// NewCall is a call that prints to out, and says what else is to be said to errOut.
func NewCall(out, errOut io.Writer) *Call {
	return &Call{Out: out, Err: errOut, writer: new(planfile.Writer)}
}

// KeepIn has the call keep its results there.
func (p *Call) KeepIn(c *cache.Cache) { p.kept, p.opened = c, true }

// Cache is what earlier runs kept, nil where nothing is to be kept. Why not is said, unless it was asked for.
func (p *Call) Cache() *cache.Cache {
	if !p.opened {
		p.kept, p.opened = p.OpenCache(), true
	}
	return p.kept
}

// OpenCache opens what is kept on disk from run to run; nil where nothing is to be.
func (p *Call) OpenCache() *cache.Cache {
	if p.noCache {
		return nil
	}
	dir, err := cache.Folder()
	if err == nil {
		var c *cache.Cache
		if c, err = cache.OnDisk(dir, cache.DefaultLimit); err == nil {
			return c
		}
	}
	p.Warn("note: nothing is kept for the next run: %v", err)
	return nil
}
