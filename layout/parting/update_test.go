package parting

import "flag"

var _ = flag.Bool("update", false, "write the records of this package anew")
