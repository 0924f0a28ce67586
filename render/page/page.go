// Package page holds what the local page is made of: its static files, the list of everything in a plan, the graph of a flange
// unrolled, and the panels made light for the picture. The server itself is in cmd.
//
//	files := page.Static()
//	html, err := page.List(plan)
//	svg, err := page.Graph(plan, "f12")
//	glb, err := page.Scene(ctx, plan, panels, page.Coarse)
//
// The picture's program is three.js and our own viewer in one file, made from app/ by go generate: it needs npm, and the
// program builds without it. Everything else works then all the same, and the page says how the picture is added.
package page

import (
	"bytes"
	"context"
	"embed"
	"io/fs"

	"seamwright/geometry/reduce"
	"seamwright/internal/work"
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

// Scene is the panels as glTF, each reduced within an error in mm, several at once on so many workers.
func Scene(ctx context.Context, plan *layout.Plan, panels []model.Panel, within float64, workers int) ([]byte, error) {
	light := make([]model.Panel, len(panels))
	err := work.Each(ctx, max(1, workers), len(panels), func(i int) error {
		m, err := reduce.To(ctx, panels[i].Mesh, within)
		light[i] = model.Panel{ID: panels[i].ID, Mesh: m}
		return err
	})
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	alike := *plan
	alike.Shell.Input = "" // the panels are the same under other changes, and their picture is kept
	if err := model.Light(&b, &alike, light); err != nil {
		return nil, err
	}
	return b.Bytes(), nil
}
