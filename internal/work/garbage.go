package work

import (
	"os"
	"runtime/debug"
)

// LittleGarbage has garbage collected when half as much has gathered as is held, rather than as much, until restore is called: where what
// is held is large and has few pointers, as with meshes, that costs no time and a fifth less memory. A GOGC in the environment decides
// instead.
func LittleGarbage() (restore func()) {
	if os.Getenv("GOGC") != "" {
		return func() {}
	}
	before := debug.SetGCPercent(50)
	return func() { debug.SetGCPercent(before) }
}
