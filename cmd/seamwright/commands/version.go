package commands

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"seamwright"
	"seamwright/cmd/seamwright/program"
	"seamwright/render/page"
)

func versionCommand(p *program.Call) *cobra.Command {
	var licences bool
	c := &cobra.Command{
		Use:   "version",
		Short: "Print the program's version, or the licences of all that it is made from",
		Args:  program.Count(0, 0, "nothing"),
		RunE: func(*cobra.Command, []string) error {
			if licences {
				fmt.Fprint(p.Out, seamwright.Notice)
				if text := page.Licence(); text != "" {
					line := strings.Repeat("-", 80)
					head, body, _ := strings.Cut(text, "\n\n")
					fmt.Fprintf(p.Out, "\n%s\n%s\n%s\n\n%s", line, head, line, body)
				}
				return nil
			}
			fmt.Fprintln(p.Out, program.VersionLine())
			return nil
		},
	}
	c.Flags().BoolVar(&licences, "licences", false, "print the licences of all that is linked in")
	return c
}
