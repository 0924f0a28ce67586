package main

import (
	"fmt"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"seamwright"
	"seamwright/render/page"
)

// release is the version of the program.
const release = "0.1.0"

func (p *program) version() *cobra.Command {
	var licences bool
	c := &cobra.Command{
		Use:   "version",
		Short: "Print the program's version, or the licences of all that it is made from",
		Args:  count(0, 0, "nothing"),
		RunE: func(*cobra.Command, []string) error {
			if licences {
				fmt.Fprint(p.out, seamwright.Notice)
				if text := page.Licence(); text != "" {
					line := strings.Repeat("-", 80)
					head, body, _ := strings.Cut(text, "\n\n")
					fmt.Fprintf(p.out, "\n%s\n%s\n%s\n\n%s", line, head, line, body)
				}
				return nil
			}
			fmt.Fprintln(p.out, versionLine())
			return nil
		},
	}
	c.Flags().BoolVar(&licences, "licences", false, "print the licences of all that is linked in")
	return c
}

// versionLine names the program, its release and what it was built from and for.
func versionLine() string {
	revision := ""
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				revision = " " + s.Value
			}
		}
	}
	return fmt.Sprintf("seamwright %s%s %s %s/%s", release, revision, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
