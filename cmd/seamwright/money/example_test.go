package money_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"

	"seamwright/cmd/seamwright/money"
	"seamwright/cmd/seamwright/program"
	"seamwright/internal/plates"
)

// Two plates lap by 20 mm: what welding them costs.
func Example() {
	dir, err := os.MkdirTemp("", "lap-*")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	file, err := plates.Lap(dir, "")
	if err != nil {
		panic(err)
	}
	var out bytes.Buffer
	code := program.Run(context.Background(), []string{"cost", file, "--no-cache", "--quiet"}, &out, os.Stderr, []program.Maker{money.Cost})
	for line := range strings.Lines(out.String()) {
		if strings.Contains(line, "EUR a shell;") {
			fmt.Print(line)
		}
	}
	fmt.Println("exit code", code)
	// Output:
	// 24.9 man-minutes and 19.23 EUR a shell; 192.30 EUR for the batch; 0.00 m of roller seam a shell
	// exit code 0
}
