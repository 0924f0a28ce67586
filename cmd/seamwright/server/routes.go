package server

import (
	"bytes"
	"cmp"
	"context"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/http"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"seamwright/geometry/mesh"
	"seamwright/render/page"
	"seamwright/render/sheet"
	"seamwright/seams/changes"
	"seamwright/seams/shell"
)

// Mesh is a panel as it is drawn.
type Mesh struct {
	ID   string
	Mesh *mesh.Mesh
}

//go:embed openapi.json
var description []byte

// routes are all that the server answers; openapi.json describes the same.
func (s *Server) routes(ctx context.Context) http.Handler {
	mux := http.NewServeMux()
	for path, file := range map[string]string{"/{$}": "engineer.html", "/station": "station.html", "/estimator": "estimator.html"} {
		mux.HandleFunc("GET "+path, func(w http.ResponseWriter, r *http.Request) {
			s.send(w, r, "text/html; charset=utf-8", file, readStatic)
		})
	}
	mux.HandleFunc("GET /static/{name}", func(w http.ResponseWriter, r *http.Request) { s.file(w, r, page.Static(), r.PathValue("name")) })
	mux.HandleFunc("GET /bundle/viewer.js", func(w http.ResponseWriter, r *http.Request) { s.file(w, r, page.Bundle(), "viewer.js") })
	mux.HandleFunc("GET /openapi.json", func(w http.ResponseWriter, r *http.Request) { s.write(w, r, "application/json", description) })
	mux.HandleFunc("GET /healthz", func(w http.ResponseWriter, r *http.Request) { fmt.Fprintln(w, "well") })
	mux.HandleFunc("GET /api/plan", s.plan)
	mux.HandleFunc("GET /api/parts", s.parts)
	mux.HandleFunc("GET /api/graph.svg", s.graph)
	mux.HandleFunc("GET /api/scene.glb", s.scene)
	mux.HandleFunc("GET /api/changes", s.changes)
	mux.HandleFunc("POST /api/changes", s.change)
	mux.HandleFunc("GET /api/value", s.value)
	mux.HandleFunc("GET /api/cut", s.cut)
	mux.HandleFunc("GET /api/along", s.along)
	mux.HandleFunc("GET /api/poses", s.poses)
	mux.HandleFunc("POST /api/variants", s.variant)
	mux.HandleFunc("POST "+pairPath, s.pair)
	mux.HandleFunc("GET /api/breaks", s.breaks)
	mux.HandleFunc("GET /api/inputs", s.inputs)
	mux.HandleFunc("GET /api/maps", s.mapNames)
	mux.HandleFunc("GET /maps/{station}/{name}", s.mapOf)
	mux.HandleFunc("GET /print.pdf", s.print)
	mux.HandleFunc("GET /cost.xlsx", s.workbook)
	mux.HandleFunc("GET /quote.pdf", s.quote)
	mux.HandleFunc("GET /steel.csv", s.steel)
	mux.HandleFunc("GET "+eventsPath, func(w http.ResponseWriter, r *http.Request) { s.follow(ctx, w, r) })
	return mux
}

// file sends one of the page's own files.
func (s *Server) file(w http.ResponseWriter, r *http.Request, files fs.FS, name string) {
	kind := map[string]string{".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml",
		".html": "text/html; charset=utf-8"}[path.Ext(name)]
	if kind == "" {
		http.NotFound(w, r)
		return
	}
	s.send(w, r, kind, name, func(name string) ([]byte, error) { return fs.ReadFile(files, name) })
}

func readStatic(name string) ([]byte, error) { return fs.ReadFile(page.Static(), name) }

// send writes what is made of a name, or says why it cannot be.
func (s *Server) send(w http.ResponseWriter, r *http.Request, kind, name string, make func(string) ([]byte, error)) {
	data, err := make(name)
	if err != nil {
		refuse(w, err)
		return
	}
	s.write(w, r, kind, data)
}

// refuse says what went wrong: a thing that is not there, a stopped work, or what the user has to mend.
func refuse(w http.ResponseWriter, err error) {
	code := http.StatusUnprocessableEntity
	var big *http.MaxBytesError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		code = http.StatusNotFound
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		code = http.StatusServiceUnavailable
	case errors.As(err, &big):
		code = http.StatusRequestEntityTooLarge
	}
	http.Error(w, err.Error(), code)
}

// plan is the whole plan, as plan.json.
func (s *Server) plan(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	s.stream(w, r, "application/json", p.tag(), p.Text)
}

// parts is what a door shows of the plan, without what who asks has already: ?door=engineer&since=VERSION.
func (s *Server) parts(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	parts, err := p.parts()
	if err != nil {
		refuse(w, err)
		return
	}
	door := r.URL.Query().Get("door")
	before, version := s.sumsOf(r.URL.Query().Get("since")), parts.Version()
	s.remember(version, parts.Sums())
	data, err := parts.Since(before, door)
	if err != nil {
		refuse(w, err)
		return
	}
	s.write(w, r, "application/json", data)
}

func (s *Server) graph(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	wide, err := strconv.ParseFloat(cmp.Or(r.URL.Query().Get("wide"), "0"), 64)
	if err != nil || !(wide >= 0) {
		refuse(w, errors.New("write the width in pixels as wide=N"))
		return
	}
	s.send(w, r, "image/svg+xml", r.URL.Query().Get("flange"), func(id string) ([]byte, error) {
		return page.Graph(p.Plan, id, wide, p.Marks(id))
	})
}

// scene is the panels: lightly drawn, or with ?fine as they are to 0.05 mm.
func (s *Server) scene(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	if r.URL.Query().Has("ready") {
		s.readyScene(w, r, p)
		return
	}
	data, err := s.sceneOf(r.Context(), p, r.URL.Query().Has("fine"))
	if err != nil {
		refuse(w, err)
		return
	}
	s.write(w, r, "model/gltf-binary", data)
	s.seen.Do(func() { close(s.shown) })
}

func (s *Server) sceneOf(ctx context.Context, p *Planned, fine bool) ([]byte, error) {
	name := coarseScene
	if fine {
		name = fineScene
	}
	return s.once(ctx, p, name, func(ctx context.Context) ([]byte, error) {
		panels, err := s.light(ctx, p)
		if err != nil {
			return nil, err
		}
		return page.Scene(p.Plan, panels, fine)
	})
}

// prepare makes what a page asks for first, before one does. What fails is told to who asks.
func (s *Server) prepare(ctx context.Context) {
	p, _ := s.now()
	if parts, err := p.parts(); err == nil {
		if data, err := parts.Since(nil, "engineer"); err == nil {
			s.packed(tagOf(data), data)
		}
	}
	if data, err := s.sceneOf(ctx, p, false); err == nil {
		s.packed(tagOf(data), data)
	}
	select {
	case <-ctx.Done():
		return
	case <-s.shown:
	case <-time.After(waitToBeSeen):
	}
	select { // a browser on this machine draws it meanwhile
	case <-ctx.Done():
		return
	case <-time.After(waitToDraw):
	}
	s.rehearse(ctx)
	_, _ = p.Panels(ctx) // the first map or cut need not wait for them then
}

// How long after the start what others may want is left, so that the first picture has the processors to itself: until it is asked for,
// and until it is drawn. Chosen.
const (
	waitToBeSeen = 5 * time.Second
	waitToDraw   = 2 * time.Second
)

// rehearse has the first change wait for no more than the second. What fails is told to who makes one.
func (s *Server) rehearse(ctx context.Context) {
	s.changing.Lock()
	defer s.changing.Unlock()
	if p, _ := s.now(); p.Rehearse != nil {
		_ = p.Rehearse(ctx)
	}
}

// light are the panels of the picture, made once for all who ask.
func (s *Server) light(ctx context.Context, p *Planned) ([]page.Panel, error) {
	made, err, _ := s.making.Do(p.Look+" light", func() (any, error) {
		s.mu.Lock()
		s.coming = coming{look: p.Look}
		s.mu.Unlock()
		return p.Light(ctx, func(panel page.Panel, done, total int) {
			s.mu.Lock()
			if s.coming.look == p.Look {
				s.coming.panels = append(s.coming.panels, panel)
			}
			s.mu.Unlock()
			s.events.progress(stageLight, done, total)
		})
	})
	if err != nil {
		return nil, err
	}
	return made.([]page.Panel), nil
}

// stageLight is what the page tells its readers of while the picture is being made.
const stageLight = "panels of the picture"

// readyScene sends the panels that are ready while the others are being made; nothing where none is.
func (s *Server) readyScene(w http.ResponseWriter, r *http.Request, p *Planned) {
	s.mu.RLock()
	var panels []page.Panel
	if s.coming.look == p.Look {
		panels = slices.Clone(s.coming.panels)
	}
	s.mu.RUnlock()
	if len(panels) == 0 {
		w.WriteHeader(http.StatusNoContent)
		return
	}
	slices.SortFunc(panels, func(a, b page.Panel) int { return strings.Compare(a.ID, b.ID) })
	data, err := page.Scene(p.Plan, panels, false)
	if err != nil {
		refuse(w, err)
		return
	}
	s.write(w, r, "model/gltf-binary", data)
}

// set is what a page knows of the changes: all of them, and the version that they follow on.
type set struct {
	Set     []changes.Change `json:"set"`
	Version string           `json:"version"`
}

func (s *Server) changes(w http.ResponseWriter, r *http.Request) {
	_, saved := s.now()
	s.writeJSON(w, r, http.StatusOK, set{nonNil(saved.Set), saved.Version})
}

func nonNil(c []changes.Change) []changes.Change {
	if c == nil {
		return []changes.Change{}
	}
	return c
}

func (s *Server) writeJSON(w http.ResponseWriter, r *http.Request, code int, v any) {
	data, err := json.Marshal(v)
	if err != nil {
		refuse(w, err)
		return
	}
	if code != http.StatusOK {
		w.Header().Set("Content-Type", "application/json")
		w.WriteHeader(code)
		_, _ = w.Write(data)
		return
	}
	s.write(w, r, "application/json", data)
}

// change plans with a new set of changes, and saves it once the plan stands. Who changes what somebody else has changed meanwhile is
// shown theirs instead (409).
func (s *Server) change(w http.ResponseWriter, r *http.Request) {
	var asked set
	d := json.NewDecoder(r.Body)
	d.DisallowUnknownFields()
	if err := d.Decode(&asked); err != nil {
		refuse(w, fmt.Errorf("this is no set of changes: %w", err))
		return
	}
	s.changing.Lock()
	defer s.changing.Unlock()
	onDisk, err := changes.Read(s.config.Shell) // another program may have written it
	if err != nil {
		refuse(w, err)
		return
	}
	_, saved := s.now()
	if asked.Version != saved.Version || onDisk.Version != saved.Version {
		if err := s.catchUp(r.Context(), onDisk); err != nil {
			refuse(w, err)
			return
		}
		s.writeJSON(w, r, http.StatusConflict, set{nonNil(onDisk.Set), onDisk.Version})
		return
	}
	next, err := s.planWith(r.Context(), asked.Set)
	if err != nil {
		refuse(w, err)
		return
	}
	s.writeJSON(w, r, http.StatusOK, set{nonNil(next.Set), next.Version})
}

// catchUp plans with what somebody else has written.
func (s *Server) catchUp(ctx context.Context, c changes.Changes) error {
	if _, saved := s.now(); saved.Version == c.Version {
		return nil
	}
	p, err := s.config.Build(ctx, c, s.events.progress)
	if err != nil {
		return err
	}
	s.take(p, c)
	return nil
}

// parsed is a set of changes as its file would give it back.
func parsed(list []changes.Change) (changes.Changes, error) {
	text, err := changes.Changes{Set: list}.Bytes()
	if err != nil {
		return changes.Changes{}, err
	}
	next, err := changes.Parse(text)
	if err != nil {
		return changes.Changes{}, fmt.Errorf("the set of changes %w", err)
	}
	return next, nil
}

func (s *Server) planWith(ctx context.Context, list []changes.Change) (changes.Changes, error) {
	next, err := parsed(list)
	if err != nil {
		return changes.Changes{}, err
	}
	text, err := next.Bytes()
	if err != nil {
		return changes.Changes{}, err
	}
	p, err := s.config.Build(ctx, next, s.events.progress)
	if err != nil {
		return changes.Changes{}, err
	}
	if err := s.config.Save(changes.Path(s.config.Shell), text); err != nil {
		return changes.Changes{}, err
	}
	s.take(p, next)
	return next, nil
}

// breaks is the cost at other batches: ?shells=1,6,12.
func (s *Server) breaks(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	var shells []int
	for _, word := range strings.Split(r.URL.Query().Get("shells"), ",") {
		n, err := strconv.Atoi(word)
		if err != nil || n < 1 || n > 1_000_000 || len(shells) == 20 {
			refuse(w, fmt.Errorf("shells=%q: write up to 20 whole numbers of shells, such as 1,6,12", r.URL.Query().Get("shells")))
			return
		}
		shells = append(shells, n)
	}
	out, err := p.Breaks(r.Context(), shells)
	if err != nil {
		refuse(w, err)
		return
	}
	s.writeJSON(w, r, http.StatusOK, out)
}

// inputs are what may move the cost: the words for each id.
func (s *Server) inputs(w http.ResponseWriter, r *http.Request) {
	out := map[string]string{}
	for _, id := range shell.SpreadIDs() {
		out[id] = shell.SpreadName(id)
	}
	s.writeJSON(w, r, http.StatusOK, out)
}

func (s *Server) sheets(ctx context.Context, p *Planned, station string) ([]sheet.Sheet, error) {
	if !slices.Contains(stationIDs(p), station) {
		return nil, fmt.Errorf("there is no station %q: %w", station, fs.ErrNotExist)
	}
	panels, err := p.Panels(ctx)
	if err != nil {
		return nil, err
	}
	return sheet.Station(ctx, p.Plan, panels, station, sheet.Options{Hash: sheet.HashOf(p.Text), Workers: s.config.Workers,
		Pictures: s.pictures})
}

func stationIDs(p *Planned) []string {
	var out []string
	for _, st := range p.Plan.Stations {
		out = append(out, st.ID)
	}
	return out
}

func (s *Server) mapNames(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	sheets, err := s.sheets(r.Context(), p, r.URL.Query().Get("station"))
	if err != nil {
		refuse(w, err)
		return
	}
	names := []string{}
	for _, sh := range sheets {
		names = append(names, sh.Name)
	}
	s.writeJSON(w, r, http.StatusOK, names)
}

func (s *Server) mapOf(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	sheets, err := s.sheets(r.Context(), p, r.PathValue("station"))
	if err != nil {
		refuse(w, err)
		return
	}
	for _, sh := range sheets {
		if sh.Name+".svg" == r.PathValue("name") {
			w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'; img-src data:") // a picture on its own
			s.write(w, r, "image/svg+xml", toPrint(sh.SVG))
			return
		}
	}
	refuse(w, fmt.Errorf("there is no sheet %q: %w", r.PathValue("name"), fs.ErrNotExist))
}

var sheetSize = regexp.MustCompile(`<svg [^>]*width="([0-9.]+mm)" height="([0-9.]+mm)"[^>]*>`)

// toPrint tells a browser the size of a sheet's paper, so that it prints one page of it.
func toPrint(svg []byte) []byte {
	m := sheetSize.FindSubmatchIndex(svg)
	if m == nil {
		return svg
	}
	style := fmt.Sprintf("<style>@page{size:%s %s;margin:0}</style>", svg[m[2]:m[3]], svg[m[4]:m[5]])
	return slices.Concat(svg[:m[1]], []byte(style), svg[m[1]:])
}

func (s *Server) print(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	data, err := s.once(r.Context(), p, "print", p.Print)
	if err != nil {
		refuse(w, err)
		return
	}
	s.write(w, r, "application/pdf", data)
}

func (s *Server) workbook(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	s.send(w, r, "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "", func(string) ([]byte, error) {
		return p.Workbook()
	})
}

func (s *Server) quote(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	s.send(w, r, "application/pdf", "", func(string) ([]byte, error) { return p.Quote(r.Context()) })
}

func (s *Server) steel(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	s.send(w, r, "text/csv; charset=utf-8", "", func(string) ([]byte, error) { return p.Steel() })
}

// follow tells a page how far the planning is, and gives a sign of life now and then.
func (s *Server) follow(ctx context.Context, w http.ResponseWriter, r *http.Request) {
	flusher, ok := w.(http.Flusher)
	if !ok {
		refuse(w, errors.New("this connection cannot be written to bit by bit"))
		return
	}
	l := s.events.join()
	defer s.events.leave(l)
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	var out bytes.Buffer
	out.WriteString(": here\n\n")
	alive := time.NewTicker(15 * time.Second)
	defer alive.Stop()
	for {
		if _, err := out.WriteTo(w); err != nil {
			return
		}
		flusher.Flush()
		select {
		case <-ctx.Done():
			return
		case <-r.Context().Done():
			return
		case line := <-l:
			out.WriteString(line)
		case <-alive.C:
			out.WriteString(": here\n\n")
		}
	}
}
