package shell_test

import (
	"fmt"

	"seamwright/seams/shell"
)

func ExampleRead() {
	sh, notes, err := shell.Read("testdata/good.toml", map[string]string{"stations.front-jig.crew": "3"})
	if err != nil {
		fmt.Println(err)
		return
	}
	jig, _ := sh.Station("front-jig")
	fmt.Println(sh.Name, sh.Batch, jig.Crew, sh.PanelsOf("front-end"))
	fmt.Println(notes)
	// Output:
	// Tarn orchard-tractor cab 24 3 [front Rail.L Rail.R]
	// [stations.front-jig.crew: 3 by an override]
}

func ExampleRead_problems() {
	_, _, err := shell.Read("testdata/good.yaml", map[string]string{"stations.front-gig.crew": "3", "bacth": "2"})
	fmt.Println(err)
	// Output:
	// override: bacth: unknown key "bacth"; the nearest known key is batch
	// override: stations.front-gig.crew: stations has no id "front-gig" followed by a key; the nearest id is front-jig
}

func ExampleIDs() {
	fmt.Println(shell.IDs([]string{"Roof Skin.stl", "roof_skin.stl", "Rail (left).STL"}))
	// Output: [roof-skin roof-skin-2 rail-left]
}
