package draft_test

import (
	"fmt"

	"seamwright/seams/draft"
)

func ExampleIDs() {
	fmt.Println(draft.IDs([]string{"Roof Skin.stl", "roof_skin.stl", "Rail (left).STL"}))
	// Output: [roof-skin roof-skin-2 rail-left]
}
