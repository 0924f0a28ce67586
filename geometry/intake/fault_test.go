package intake

import (
	"errors"
	"strings"
	"testing"
)

func TestFault(t *testing.T) {
	err := FaultAt(7, "%s is not a number", Quoted("a\tb\x00"+strings.Repeat("c", 50)))
	var f *Fault
	if !errors.As(err, &f) || f.At != 7 || f.Error() != `"a\tb\x00`+strings.Repeat("c", 36)+`…" is not a number` {
		t.Errorf("%+v", f)
	}
}
