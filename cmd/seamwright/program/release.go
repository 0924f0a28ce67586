package program

import (
	"fmt"
	"runtime"
	"runtime/debug"
)

// release is the version of the program.
const release = "0.1.0"

// VersionLine names the program, its release and what it was built from and for.
func VersionLine() string {
	revision := ""
	if info, ok := debug.ReadBuildInfo(); ok {
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" {
				revision = " " + s.Value
			}
		}
	}
	return fmt.Sprintf("seamwright %s%s %s %s/%s", release, revision, runtime.Version(), runtime.GOOS, runtime.GOARCH)
}
