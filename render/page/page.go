// Package page holds what the local page is made of: its static files, the parts of a plan that it shows, the graph of a flange
// unrolled, and the panels made light for the picture. The server itself is in cmd.
//
//	files := page.Static()
//	parts, err := page.PartsOf(plan)
//	svg, err := page.Graph(plan, "f12", 0, page.Marks{})
//	light, err := page.Lighten(ctx, "roof", roof)
//	glb, err := page.Scene(plan, []page.Panel{light}, false)
//
// The picture's program is three.js and our own viewer in one file, made from app/ by go generate: it needs npm, and the
// program builds without it. Everything else works then all the same, and the page says how the picture is added.
package page

import (
	"bytes"
	"context"
	"embed"
	"io/fs"

	"seamwright/geometry/mesh"
	"seamwright/geometry/reduce"
	"seamwright/layout"
	"seamwright/render/model"
)

//go:generate npm --prefix app ci --no-audit --no-fund
//go:generate go tool esbuild app/viewer.js --bundle --minify --format=esm --target=es2022 --outfile=bundle/viewer.js
//go:generate node -e "require('fs').copyFileSync('app/node_modules/three/LICENSE', 'bundle/three.txt')"

//go:embed static
var static embed.FS

//go:embed bundle
var bundle embed.FS

// Static are the page's own files.
func Static() fs.FS { return below(static, "static") }

// Bundle holds viewer.js where it was made before the program was built.
func Bundle() fs.FS { return below(bundle, "bundle") }

// Licence is that of the picture's library; empty where the program was built without the picture.
func Licence() string {
	text, err := fs.ReadFile(Bundle(), "three.txt")
	if err != nil {
		return ""
	}
	return "three (three.js), in the local page's picture\n\n" + string(text)
}

func below(files embed.FS, folder string) fs.FS {
	sub, err := fs.Sub(files, folder)
	if err != nil {
		panic(err) // the folder is part of the program
	}
	return sub
}

// How far in mm a panel in the picture may be off the real one: while it is turned, and at rest.
const (
	Coarse = 0.5
	Fine   = 0.05
)

// Panel is a panel of the picture.
type Panel struct {
	ID           string
	Fine, Coarse reduce.Light
}

// Lighten makes a panel light for the picture.
func Lighten(ctx context.Context, id string, m *mesh.Mesh) (Panel, error) {
	levels, err := reduce.To(ctx, m, Fine, Coarse)
	if err != nil {
		return Panel{}, err
	}
	return Panel{ID: id, Fine: levels[0], Coarse: levels[1]}, nil
}

// Scene is the panels as glTF, as they are turned or, fine, as they rest.
func Scene(plan *layout.Plan, panels []Panel, fine bool) ([]byte, error) {
	light := make([]model.LightPanel, len(panels))
	for i, p := range panels {
		light[i] = model.LightPanel{ID: p.ID, Light: p.Coarse}
		if fine {
			light[i].Light = p.Fine
		}
	}
	var b bytes.Buffer
	if err := model.Light(&b, plan, light); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
