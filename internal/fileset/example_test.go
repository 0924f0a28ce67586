package fileset_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"seamwright/internal/fileset"
)

func ExampleWrite() {
	dir, err := os.MkdirTemp("", "set")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	ctx := context.Background()
	first := map[string][]byte{"plan.json": []byte("{}"), "maps/left-1.svg": []byte("<svg/>")}
	second := map[string][]byte{"plan.json": []byte(`{"revision": "B"}`)}
	for _, files := range []map[string][]byte{first, second} {
		removed, err := fileset.Write(ctx, filepath.Join(dir, "plan"), files, fileset.Options{})
		fmt.Println("removed", removed, err)
	}
	// Output:
	// removed [] <nil>
	// removed [maps/left-1.svg] <nil>
}
