//go:build unix && !linux && !darwin

package fileset

// free is not known on this system.
func free(string) (bytes uint64, known bool) { return 0, false }
