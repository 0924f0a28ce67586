package panels_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"seamwright/cmd/seamwright/panels"
	"seamwright/cmd/seamwright/program"
	"seamwright/internal/plates"
)

// Two plates lap by 20 mm, which is found in their files.
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
	code := program.Run(context.Background(), []string{"flanges", filepath.Join(filepath.Dir(file), "a.stl"),
		filepath.Join(filepath.Dir(file), "b.stl"), "--thickness", "0.9,1.2", "--unit", "mm"}, &out, os.Stderr, []program.Maker{panels.Flanges})
	for line := range strings.Lines(out.String()) {
		if strings.Contains(line, "f1") {
			fmt.Println(strings.TrimSpace(line))
		}
	}
	fmt.Println("exit code", code)
	// Output:
	// f1     a + b                                400.0    20.00    20.00    20.00     0.00     0.00
	// exit code 0
}
