package commands_test

import (
	"context"
	"os"

	"seamwright/cmd/seamwright/commands"
	"seamwright/cmd/seamwright/program"
)

// What one key of the shell file means.
func ExampleAll() {
	program.Run(context.Background(), []string{"keys", "batch"}, os.Stdout, os.Stderr, commands.All())
	// Output:
	// batch
	//     shells in one batch
	//     may be: 1 to 100000
	//     left out: 1
	//     source of the default: choice of this program
	//     example: batch: 1
}
