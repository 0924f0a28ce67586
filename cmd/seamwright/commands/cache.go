package commands

import (
	"fmt"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/cache"
)

func cacheCommand(p *program.Call) *cobra.Command {
	c := &cobra.Command{
		Use:   "cache",
		Short: "Say where results are kept between runs, and how much room they take",
		Long: `Commands that plan keep what they found out, each part by a hash of all that it depends on, so that what did not change is
not done again. It can be cleared at any time; --no-cache does without. It is kept below
` + fmt.Sprint(cache.DefaultLimit>>20) + ` MiB: what was not asked for longest goes first.`,
		Args: program.Count(0, 0, "nothing"),
		RunE: func(*cobra.Command, []string) error {
			dir, held, err := heldResults()
			if err == nil {
				fmt.Fprintf(p.Out, "%s: %s of at most %d\n", dir, held, cache.DefaultLimit>>20)
			}
			return err
		},
	}
	c.AddCommand(&cobra.Command{
		Use:   "clear",
		Short: "Remove what is kept between runs",
		Args:  program.Count(0, 0, "nothing"),
		RunE: func(*cobra.Command, []string) error {
			dir, held, err := heldResults()
			if err == nil {
				err = cache.Clear(dir)
			}
			if err == nil {
				fmt.Fprintf(p.Out, "%s: removed %s\n", dir, held)
			}
			return err
		},
	})
	return c
}

// heldResults is the folder of results and how many it holds, in words.
func heldResults() (dir, held string, err error) {
	if dir, err = cache.Folder(); err != nil {
		return "", "", program.BadInput(err)
	}
	n, size, err := cache.Size(dir)
	return dir, fmt.Sprintf("%s, %.1f MiB", program.Many(n, "result"), float64(size)/(1<<20)), err
}
