//go:build linux || darwin

package fileset

import "golang.org/x/sys/unix"

// free is the room left in a folder's file system, in bytes.
func free(dir string) (bytes uint64, known bool) {
	var st unix.Statfs_t
	if err := unix.Statfs(dir, &st); err != nil || st.Bsize <= 0 {
		return 0, false
	}
	return st.Bavail * uint64(st.Bsize), true
}
