//go:build unix

package fileset

import (
	"errors"
	"os"

	"golang.org/x/sys/unix"
)

// movesOpen: a file can be moved while it is open.
const movesOpen = true

// tryLock locks a file unless another process has it.
func tryLock(file *os.File) (held bool, err error) {
	err = unix.Flock(int(file.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) || errors.Is(err, unix.EINTR) {
		return false, nil
	}
	return err == nil, err
}

// syncFolder makes what was created, moved and removed in a folder last.
func syncFolder(dir string) error {
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := f.Sync(); err != nil && !errors.Is(err, unix.EINVAL) && !errors.Is(err, unix.ENOTSUP) {
		return err
	}
	return nil
}

// writable tells whether this user may make files in a folder.
func writable(dir string) error {
	return unix.Faccessat(unix.AT_FDCWD, dir, unix.W_OK|unix.X_OK, unix.AT_EACCESS)
}
