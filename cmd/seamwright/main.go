// Command seamwright plans the spot welds and roller seams of sheet-steel shells: from panels to weld maps,
// time and cost.
//
//	seamwright demo tarn
//	seamwright plan tarn/shell.yaml
package main

import (
	"context"
	"os"
	"os/signal"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
