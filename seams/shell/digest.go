package shell

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"os"
	"slices"
)

// Digest is the SHA-256, in hexadecimal, of the shell file's bytes and of the name and bytes of every file that it
// names, each once, in the order of their names. It stays the same when the folder moves.
func Digest(sh *Shell) (string, error) {
	h := sha256.New()
	if sh.File != "" {
		if err := addFile(h, "", sh.Path(sh.File)); err != nil {
			return "", err
		}
	}
	var all []string
	for _, f := range sh.files() {
		all = append(all, f.name)
	}
	slices.Sort(all)
	for _, name := range slices.Compact(all) {
		if err := addFile(h, name, sh.Path(name)); err != nil {
			return "", err
		}
	}
	return hex.EncodeToString(h.Sum(nil)), nil
}

// addFile writes a name and a file with their lengths in front, so that no two sets of files look alike.
func addFile(h hash.Hash, name, path string) error {
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("digest: %s cannot be read: %s; check that it is still there", path, plainCause(err))
	}
	defer f.Close()
	own := sha256.New()
	size, err := io.Copy(own, f)
	if err != nil {
		return fmt.Errorf("digest: %s cannot be read: %s; check the disk", path, plainCause(err))
	}
	fmt.Fprintf(h, "%d:%s %d:%x\n", len(name), name, size, own.Sum(nil))
	return nil
}
