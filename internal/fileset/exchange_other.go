//go:build !linux

package fileset

import "errors"

const canExchange = false

func exchangeFolders(_, _ string) error { return errors.ErrUnsupported }

func likeOwner(_, _ string) error { return errors.ErrUnsupported }
