package shell_test

import (
	"fmt"

	"seamwright/seams/shell"
)

func ExampleShell_PanelsOf() {
	sh := shell.Shell{
		Panels: []shell.Panel{{ID: "roof"}, {ID: "rail-left"}, {ID: "rail-right"}},
		Subassemblies: []shell.Subassembly{{ID: "top", Parts: []string{"roof", "rails"}},
			{ID: "rails", Parts: []string{"rail-left", "rail-right"}}},
	}
	fmt.Println(sh.PanelsOf("top"))
	// Output: [roof rail-left rail-right]
}

func ExampleKeysUnder() {
	for _, k := range shell.KeysUnder("gap_limit_mm") {
		fmt.Println(k.Name, k.Unit+":", k.MayBe())
	}
	// Output: gap_limit_mm mm: 0, 0.01 to 5 mm
}
