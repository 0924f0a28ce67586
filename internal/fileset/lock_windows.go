package fileset

import (
	"errors"
	"os"

	"golang.org/x/sys/windows"
)

// movesOpen: a file cannot be moved while it is open.
const movesOpen = false

// tryLock locks a file unless another process has it.
func tryLock(file *os.File) (held bool, err error) {
	err = windows.LockFileEx(windows.Handle(file.Fd()), windows.LOCKFILE_EXCLUSIVE_LOCK|windows.LOCKFILE_FAIL_IMMEDIATELY, 0, 1, 0,
		&windows.Overlapped{})
	if errors.Is(err, windows.ERROR_LOCK_VIOLATION) {
		return false, nil
	}
	return err == nil, err
}

// syncFolder does nothing: the system offers no such call.
func syncFolder(string) error { return nil }

// writable is not known before something is written.
func writable(string) error { return nil }

// free is the room left in a folder's file system, in bytes.
func free(dir string) (bytes uint64, known bool) {
	name, err := windows.UTF16PtrFromString(dir)
	if err != nil {
		return 0, false
	}
	return bytes, windows.GetDiskFreeSpaceEx(name, &bytes, nil, nil) == nil
}
