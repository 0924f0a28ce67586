package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// release is the version of the program.
const release = "0.1.0"

func (p *program) version() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Print the program's version",
		Args:  count(0, 0, "nothing"),
		RunE: func(*cobra.Command, []string) error {
			revision := ""
			if info, ok := debug.ReadBuildInfo(); ok {
				for _, s := range info.Settings {
					if s.Key == "vcs.revision" {
						revision = " " + s.Value
					}
				}
			}
			fmt.Fprintf(p.out, "seamwright %s%s %s %s/%s\n", release, revision, runtime.Version(), runtime.GOOS, runtime.GOARCH)
			return nil
		},
	}
}
