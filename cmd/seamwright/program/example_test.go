package program_test

import (
	"context"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
)

// A command that is called wrongly: one line says so, and the exit code is 2.
func ExampleRun() {
	greet := func(p *program.Call) *cobra.Command {
		return &cobra.Command{
			Use:  "greet NAME",
			Args: program.Count(1, 1, "one name"),
			RunE: func(_ *cobra.Command, args []string) error {
				_, err := fmt.Fprintln(p.Out, "Good morning,", args[0])
				return err
			},
		}
	}
	for _, args := range [][]string{{"greet", "Mill Lane"}, {"greet"}} {
		fmt.Println("exit code", program.Run(context.Background(), args, os.Stdout, os.Stdout, []program.Maker{greet}))
	}
	// Output:
	// Good morning, Mill Lane
	// exit code 0
	// seamwright: greet takes one name, not 0: see seamwright greet --help
	// exit code 2
}
