package prints_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"

	"seamwright/cmd/seamwright/prints"
	"seamwright/cmd/seamwright/program"
	"seamwright/internal/plates"
)

// Two plates lap by 20 mm: their welds as a table.
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
	code := program.Run(context.Background(), []string{"export", file, "--no-cache", "--quiet", "-o", filepath.Join(dir, "welds.csv")},
		io.Discard, os.Stderr, []program.Maker{prints.Export})
	welds, err := os.ReadFile(filepath.Join(dir, "welds.csv"))
	if err != nil {
		panic(err)
	}
	fmt.Println(bytes.Count(welds, []byte("\n")), "lines")
	fmt.Println("exit code", code)
	// Output:
	// 13 lines
	// exit code 0
}
