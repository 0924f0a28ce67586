package server

import (
	"bytes"
	"compress/gzip"
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
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
	s := &Server{planned: p, small: map[string]*packing{}}
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

// Bytes are packed once, and whoever asks while that is under way is sent all of them.
func TestStreamed(t *testing.T) {
	s := &Server{small: map[string]*packing{}}
	text := strings.Repeat("a long answer of many words; ", 200_000)
	ask := func(tag string) *httptest.ResponseRecorder {
		w, r := httptest.NewRecorder(), httptest.NewRequest(http.MethodGet, "/", nil)
		r.Header.Set("Accept-Encoding", "gzip")
		r.Header.Set("If-None-Match", tag)
		s.stream(w, r, "text/plain", "tag", []byte(text))
		return w
	}
	var all sync.WaitGroup
	for range 5 {
		all.Go(func() {
			w := ask("")
			z, err := gzip.NewReader(w.Body)
			if err != nil {
				t.Error(err)
				return
			}
			if got, err := io.ReadAll(z); err != nil || string(got) != text || w.Header().Get("ETag") != `"tag"` {
				t.Errorf("%d bytes, %v, %v", len(got), err, w.Header())
			}
		})
	}
	all.Wait()
	if w := ask(`"tag"`); w.Code != http.StatusNotModified || w.Body.Len() > 0 {
		t.Errorf("asked again: %d, %d bytes", w.Code, w.Body.Len())
	}
	if w := ask(`"other"`); w.Header().Get("Content-Length") != fmt.Sprint(w.Body.Len()) {
		t.Errorf("once it is packed, its length is known: %v", w.Header())
	}
	if len(s.small) != 1 {
		t.Errorf("packed %d times", len(s.small))
	}
}

// A reader who goes away before all is packed is not waited for, nor does he keep others from it.
func TestGoneWhileItIsPacked(t *testing.T) {
	p := newPacking()
	ctx, stop := context.WithCancel(t.Context())
	stop()
	var out bytes.Buffer
	_, _ = p.Write([]byte("first"))
	p.follow(ctx, &out)
	if out.String() != "first" {
		t.Errorf("%q", out.String())
	}
	_, _ = p.Write([]byte(" and rest"))
	p.finish()
	out.Reset()
	p.follow(t.Context(), &out)
	if out.String() != "first and rest" {
		t.Errorf("%q", out.String())
	}
}
