package review

import (
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
)

// A plan that an earlier program wrote is compared with one of today.
func TestCompareReadsFormat1(t *testing.T) {
	const before, now = "../../../layout/planfile/testdata/format1.plan.json", "../../../layout/planfile/testdata/sample.plan.json"
	code, out, errOut := seamwright.Call(t, "compare", before, now)
	if code != program.ExitBroken || !strings.Contains(out, ": 0 added, 0 gone, 0 moved, 0 made otherwise, ") {
		t.Errorf("exit %d\n%s\n%s", code, out, errOut)
	}
}
