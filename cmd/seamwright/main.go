// Command seamwright plans the spot welds and roller seams of sheet-steel shells: from panels to weld maps,
// time and cost.
//
//	seamwright demo tarn
//	seamwright plan tarn/shell.yaml
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"

	"seamwright/cmd/seamwright/commands"
	"seamwright/cmd/seamwright/program"
)

// grace is how long a command that was asked to stop may tidy up. Whatever it leaves, the next run clears.
const grace = 300 * time.Millisecond

func main() {
	asked := make(chan os.Signal, 2)
	signal.Notify(asked, os.Interrupt, syscall.SIGTERM, syscall.SIGHUP)
	ctx, stop := context.WithCancel(context.Background())
	code := make(chan int, 1)
	go func() { code <- program.Run(ctx, os.Args[1:], os.Stdout, os.Stderr, commands.All()) }()
	select {
	case c := <-code:
		os.Exit(c)
	case s := <-asked:
		stop()
		select {
		case <-code:
		case <-asked: // asked again: at once
		case <-time.After(grace):
			fmt.Fprintln(os.Stderr, "seamwright: stopped")
		}
		os.Exit(stoppedBy(s))
	}
}

// stoppedBy is the exit code that shells give for a signal: 128 and its number.
func stoppedBy(s os.Signal) int {
	if n, ok := s.(syscall.Signal); ok {
		return program.ExitSignal + int(n)
	}
	return program.ExitFailed
}
