package review_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"strings"

	"seamwright/cmd/seamwright/program"
	"seamwright/cmd/seamwright/review"
	"seamwright/internal/plates"
)

// Two plates lap by 20 mm: which rules the plan keeps.
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
	code := program.Run(context.Background(), []string{"check", file, "--no-cache", "--quiet"}, &out, os.Stderr, []program.Maker{review.Check})
	for line := range strings.Lines(out.String()) {
		if strings.Contains(line, "flange.width.least") {
			fmt.Print(line)
		}
	}
	fmt.Println("exit code", code)
	// Output:
	// flange.width.least               36       36         20      11.86 mm         flange a+b/1 at weld 4
	// exit code 0
}
