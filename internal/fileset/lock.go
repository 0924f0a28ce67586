package fileset

import (
	"context"
	"os"
	"path/filepath"
	"time"
)

// lock is a folder's .lock, held by this process until it ends.
type lock struct {
	path string
	file *os.File
}

// acquire waits until no other run writes to the folder. The operating system lets go of the lock of a process that is
// dead. A lock that was removed, or whose folder was exchanged, while this run waited for it is not the folder's any more:
// then it waits for the new one.
func acquire(ctx context.Context, dir string) (*lock, error) {
	at := filepath.Join(dir, lockName)
	for {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		file, err := os.OpenFile(at, os.O_RDWR|os.O_CREATE, 0o666)
		if err != nil {
			return nil, denied(at, err)
		}
		held, err := tryLock(file)
		if err != nil {
			file.Close()
			return nil, denied(at, err)
		}
		if held {
			mine, err := file.Stat()
			now, err2 := os.Stat(at)
			if err == nil && err2 == nil && os.SameFile(mine, now) {
				return &lock{at, file}, nil
			}
		}
		file.Close()
		if held {
			continue
		}
		select {
		case <-ctx.Done():
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// release takes the lock away and lets go of it, in this order, so that nobody holds one that is gone without noticing.
func (l *lock) release() {
	_ = os.Remove(l.path)
	l.file.Close()
}
