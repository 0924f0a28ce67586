// Package seamwright holds what is said about the licences of the program: its own, and those of all that is linked into it.
package seamwright

import _ "embed"

// Notice is the file NOTICE: which modules the program is linked from and the full text of their licences.
//
//go:embed NOTICE
var Notice string
