package prints

import (
	"bytes"
	"context"

	"github.com/spf13/cobra"

	"seamwright/cmd/seamwright/program"
	"seamwright/render/cards"
	"seamwright/render/sheet"
)

// Cards makes the command cards.
func Cards(p *program.Call) *cobra.Command {
	var file string
	var opt cards.Options
	c := &cobra.Command{
		Use:   "cards SHELL -o FILE.pdf [--shell N] [--station ID]",
		Short: "Print the stations' cards, and what goes with one shell",
		Long: `cards plans the shell and prints a card (A5) for each station: guns, settings, and by shell number over the batch when
tips are dressed, caps changed and test coupons made. --shell adds for one shell of the batch its inspection sheets (A4) and the
card (A5) that travels with it; each page has a QR code with station, shell, sheet and plan.`,
		Example: `  seamwright cards shell.yaml -o cards.pdf
  seamwright cards shell.yaml -o shell-7.pdf --shell 7`,
		Args: program.Count(1, 1, "one shell file"),
		RunE: func(c *cobra.Command, args []string) error {
			if file == "" {
				return program.Wrong("cards needs a PDF file: add -o FILE.pdf")
			}
			if c.Flags().Changed("shell") && opt.Shell < 1 {
				return program.Wrong("--shell %d: number the shells of the batch from 1", opt.Shell)
			}
			return writeCards(c.Context(), p, args[0], file, opt)
		},
	}
	f := c.Flags()
	f.StringVarP(&file, "output", "o", "", "PDF file")
	f.IntVar(&opt.Shell, "shell", 0, "number of a shell within the batch: with its inspection sheets and the card that travels with it")
	f.StringVar(&opt.Station, "station", "", "for this station only")
	p.Overrides(c)
	return c
}

func writeCards(ctx context.Context, p *program.Call, path, file string, opt cards.Options) error {
	to, err := p.Destination(file, "a set of cards", ".pdf")
	if err != nil {
		return err
	}
	done, err := p.Build(ctx, path)
	if err != nil {
		return err
	}
	hash, err := sheet.Hash(done.Plan)
	if err != nil {
		return err
	}
	book, err := cards.Book(done.Plan, hash, opt)
	if err != nil {
		return program.BadInput(err)
	}
	var out bytes.Buffer
	if err := book.PDF(&out); err != nil {
		return err
	}
	if err := p.Write(to, out.Bytes(), ": "+program.Many(len(book.Pages), "sheet")); err != nil {
		return err
	}
	return program.Verdict(done.Plan)
}
