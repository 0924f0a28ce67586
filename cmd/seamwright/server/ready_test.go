package server

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"seamwright/geometry/mesh"
	"seamwright/render/page"
	"seamwright/seams/changes"
)

// While a picture is being made those of its panels that are ready can be had, in the order of their names, and no others.
func TestReadyPanels(t *testing.T) {
	p, err := built(t.Context(), changes.Changes{}, func(string, int, int) {})
	if err != nil {
		t.Fatal(err)
	}
	s := &Server{planned: p, small: map[string][]byte{}}
	asked := func() *httptest.ResponseRecorder {
		w := httptest.NewRecorder()
		s.scene(w, httptest.NewRequest(http.MethodGet, "/api/scene.glb?ready", nil))
		return w
	}
	if w := asked(); w.Code != http.StatusNoContent || w.Body.Len() > 0 {
		t.Errorf("none is ready: %d, %d bytes", w.Code, w.Body.Len())
	}
	meshes, err := p.Meshes(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	light := func(id string, m *mesh.Mesh) page.Panel {
		out, err := page.Lighten(t.Context(), id, m)
		if err != nil {
			t.Fatal(err)
		}
		return out
	}
	s.coming = coming{"other panels", []page.Panel{light("sill", meshes[0].Mesh)}}
	if w := asked(); w.Code != http.StatusNoContent {
		t.Errorf("panels of another plan: %d", w.Code)
	}
	s.coming = coming{p.Look, []page.Panel{light("sill", meshes[0].Mesh), light("roof", meshes[0].Mesh)}}
	w := asked()
	body := w.Body.String()
	if w.Code != http.StatusOK || !strings.HasPrefix(body, "glTF") || strings.Index(body, `"roof"`) > strings.Index(body, `"sill"`) {
		t.Errorf("two are ready: %d, %.200q", w.Code, body)
	}
}

// The page's own files come packed and with their kinds, and nothing else does.
func TestOwnFiles(t *testing.T) {
	a, _ := started(t, t.TempDir()+"/shell.yaml")
	code, body, h := ask(t, "GET", a.URL+"static/page.css", "", "Accept-Encoding", "gzip")
	if code != http.StatusOK || h.Get("Content-Type") != "text/css; charset=utf-8" || h.Get("Content-Encoding") != "gzip" || len(body) > 6000 {
		t.Errorf("%d, %v, %d bytes", code, h, len(body))
	}
	for _, path := range []string{"static/", "static/none.js", "static/..%2Fpage.go", "static/placeholder.txt", "bundle/placeholder.txt",
		"bundle/"} {
		if code, body, _ := ask(t, "GET", a.URL+path, ""); code != http.StatusNotFound {
			t.Errorf("%s: %d, %.80q", path, code, body)
		}
	}
}
