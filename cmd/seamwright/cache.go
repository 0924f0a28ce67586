package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"seamwright/internal/cache"
)

// cache is what earlier runs kept, nil where nothing is to be kept. Why not is said, unless it was asked for.
func (p *program) cache() *cache.Cache {
	if !p.opened {
		p.kept, p.opened = p.openCache(), true
	}
	return p.kept
}

func (p *program) openCache() *cache.Cache {
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
	p.warn("note: nothing is kept for the next run: %v", err)
	return nil
}

func (p *program) cacheCommand() *cobra.Command {
	c := &cobra.Command{
		Use:   "cache",
		Short: "Say where results are kept between runs, and how much room they take",
		Long: `Commands that plan keep what they found out, each part by a hash of all that it depends on, so that what did not change is
not done again. It can be cleared at any time; --no-cache does without. It is kept below
` + fmt.Sprint(cache.DefaultLimit>>20) + ` MiB: what was not asked for longest goes first.`,
		Args: count(0, 0, "nothing"),
		RunE: func(*cobra.Command, []string) error {
			dir, held, err := heldResults()
			if err == nil {
				fmt.Fprintf(p.out, "%s: %s of at most %d\n", dir, held, cache.DefaultLimit>>20)
			}
			return err
		},
	}
	c.AddCommand(&cobra.Command{
		Use:   "clear",
		Short: "Remove what is kept between runs",
		Args:  count(0, 0, "nothing"),
		RunE: func(*cobra.Command, []string) error {
			dir, held, err := heldResults()
			if err == nil {
				err = cache.Clear(dir)
			}
			if err == nil {
				fmt.Fprintf(p.out, "%s: removed %s\n", dir, held)
			}
			return err
		},
	})
	return c
}

// heldResults is the folder of results and how many it holds, in words.
func heldResults() (dir, held string, err error) {
	if dir, err = cache.Folder(); err != nil {
		return "", "", badInput(err)
	}
	n, size, err := cache.Size(dir)
	return dir, fmt.Sprintf("%s, %.1f MiB", many(n, "result"), float64(size)/(1<<20)), err
}
