package wide_test

import (
	"fmt"

	"seamwright/internal/wide"
)

func ExampleShells() {
	all := wide.Shells()
	fmt.Println(len(all), "shells; the first is", all[0].File, "and names", len(all[0].Files), "files")
	// Output: 28 shells; the first is shell.json and names 5 files
}
