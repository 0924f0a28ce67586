package shellfile_test

import (
	"fmt"

	"seamwright/seams/shellfile"
)

func ExampleRead() {
	sh, notes, err := shellfile.Read("testdata/good.toml", map[string]string{"stations.front-jig.crew": "3"})
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
	_, _, err := shellfile.Read("testdata/good.yaml", map[string]string{"stations.front-gig.crew": "3", "bacth": "2"})
	fmt.Println(err)
	// Output:
	// override: bacth: unknown key "bacth"; the nearest known key is batch
	// override: stations.front-gig.crew: stations has no id "front-gig" followed by a key; the nearest id is front-jig
}
