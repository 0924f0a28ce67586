package fileset

import (
	"errors"
	"os"
	"strings"

	"golang.org/x/sys/unix"
)

const canExchange = true

// exchangeFolders exchanges two folders of one file system in one step.
func exchangeFolders(a, b string) error {
	return unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
}

// likeOwner gives folder next the owner and group of dir. It fails where dir has an access list, which would be lost.
func likeOwner(next, dir string) error {
	var st unix.Stat_t
	if err := unix.Stat(dir, &st); err != nil {
		return err
	}
	names := make([]byte, 4096)
	n, err := unix.Listxattr(dir, names)
	if err != nil && !errors.Is(err, unix.ENOTSUP) {
		return err
	}
	if n > 0 && strings.Contains(string(names[:n]), "posix_acl") {
		return errors.New("an access list")
	}
	return os.Chown(next, int(st.Uid), int(st.Gid))
}
