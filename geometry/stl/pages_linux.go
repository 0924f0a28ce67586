package stl

import "syscall"

// inLargePages asks for large pages for a large block, which spares thousands of page faults when it is filled. It is
// a wish: nothing depends on whether it is granted.
func inLargePages(block []byte) []byte {
	if len(block) >= 4<<20 {
		_ = syscall.Madvise(block[:len(block)&^4095], syscall.MADV_HUGEPAGE)
	}
	return block
}
