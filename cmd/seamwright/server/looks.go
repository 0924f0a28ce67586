package server

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"mime/multipart"
	"net/http"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/render/page"
	"seamwright/render/sheet"
	"seamwright/seams/changes"
)

// value is what stands at a key of the shell file, with what was changed: ?key=joints.lap.welds.
func (s *Server) value(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	v, err := p.Value(r.URL.Query().Get("key"))
	if err != nil {
		refuse(w, err)
		return
	}
	s.writeJSON(w, r, http.StatusOK, v)
}

// cutLines are a panel's lines in a plane.
type cutLines struct {
	Panel string         `json:"panel"`
	Lines [][][3]float64 `json:"lines"`
}

// cut is where a plane meets the panels as they were read: ?axis=x&at=120.
func (s *Server) cut(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	normal, known := map[string]r3.Vector{"x": {X: 1}, "y": {Y: 1}, "z": {Z: 1}}[r.URL.Query().Get("axis")]
	at, err := strconv.ParseFloat(r.URL.Query().Get("at"), 64)
	if !known || err != nil || math.IsNaN(at) || math.IsInf(at, 0) {
		refuse(w, errors.New("write the plane as axis=x, y or z and at=MILLIMETRES"))
		return
	}
	meshes, err := p.Meshes(r.Context())
	if err != nil {
		refuse(w, err)
		return
	}
	out := []cutLines{}
	for _, m := range meshes {
		if err := r.Context().Err(); err != nil {
			refuse(w, err)
			return
		}
		if lines := page.Cut(m.Mesh, normal, at); len(lines) > 0 {
			out = append(out, cutLines{m.ID, rounded(lines)})
		}
	}
	s.writeJSON(w, r, http.StatusOK, out)
}

// poses is how the guns at hand would stand at a weld, by its place in the plan's list: ?weld=12.
func (s *Server) poses(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	weld, err := strconv.Atoi(r.URL.Query().Get("weld"))
	if err != nil {
		refuse(w, errors.New("write the weld as weld=N, its place in the plan's list from 0"))
		return
	}
	tools, err := p.Poses(r.Context(), weld)
	if err != nil {
		refuse(w, err)
		return
	}
	s.writeJSON(w, r, http.StatusOK, tools)
}

// along is how far two places of a panel are apart along its sheet: ?panel=roof&from=1,2,3&to=4,5,6. Without a way it is null.
func (s *Server) along(w http.ResponseWriter, r *http.Request) {
	p, _ := s.now()
	q := r.URL.Query()
	from, err := placeOf(q.Get("from"))
	to, err2 := placeOf(q.Get("to"))
	meshes, err3 := p.Meshes(r.Context())
	if err3 != nil {
		refuse(w, err3)
		return
	}
	k := slices.IndexFunc(meshes, func(m Mesh) bool { return m.ID == q.Get("panel") })
	if err != nil || err2 != nil || k < 0 {
		refuse(w, errors.New("write panel=ID and two places of it in mm as from=X,Y,Z and to=X,Y,Z"))
		return
	}
	out := struct {
		MM *float64 `json:"mm"`
	}{}
	if mm, ok := page.Along(meshes[k].Mesh, from, to); ok {
		mm = math.Round(mm*1e3) / 1e3
		out.MM = &mm
	}
	s.writeJSON(w, r, http.StatusOK, out)
}

func placeOf(text string) (r3.Vector, error) {
	var v [3]float64
	words := strings.Split(text, ",")
	if len(words) != 3 {
		return r3.Vector{}, errors.New("three numbers are wanted")
	}
	for i, word := range words {
		n, err := strconv.ParseFloat(word, 64)
		if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
			return r3.Vector{}, errors.New("a number is wanted")
		}
		v[i] = n
	}
	return r3.Vector{X: v[0], Y: v[1], Z: v[2]}, nil
}

func rounded(lines [][]r3.Vector) [][][3]float64 {
	round := func(v float64) float64 { return math.Round(v*1e3) / 1e3 }
	out := make([][][3]float64, len(lines))
	for i, l := range lines {
		for _, p := range l {
			out[i] = append(out[i], [3]float64{round(p.X), round(p.Y), round(p.Z)})
		}
	}
	return out
}

// outcome is what a set of changes comes to.
type outcome struct {
	Welds   int     `json:"welds"`
	Runs    int     `json:"runs"`
	Broken  int     `json:"broken"`
	Doubt   int     `json:"doubt"`
	Minutes float64 `json:"minutes"`
	Shell   float64 `json:"shell"`
	Batch   float64 `json:"batch"`
}

func outcomeOf(p *layout.Plan) outcome {
	out := outcome{Welds: len(p.Welds), Runs: len(p.Runs), Minutes: p.Cost.MinutesPerShell, Shell: p.Cost.CostPerShell,
		Batch: p.Cost.CostPerBatch}
	for _, f := range p.Findings {
		switch f.Severity {
		case layout.Broken:
			out.Broken++
		case layout.Doubt:
			out.Doubt++
		}
	}
	return out
}

// variant says what another set of changes would come to, and saves nothing.
func (s *Server) variant(w http.ResponseWriter, r *http.Request) {
	var asked struct {
		Set []changes.Change `json:"set"`
	}
	d := json.NewDecoder(r.Body)
	d.DisallowUnknownFields()
	if err := d.Decode(&asked); err != nil {
		refuse(w, fmt.Errorf("this is no set of changes: %w", err))
		return
	}
	next, err := parsed(asked.Set)
	if err != nil {
		refuse(w, err)
		return
	}
	s.changing.Lock()
	defer s.changing.Unlock()
	p, err := s.config.Build(r.Context(), next, s.events.progress)
	if err != nil {
		refuse(w, err)
		return
	}
	s.writeJSON(w, r, http.StatusOK, outcomeOf(p.Plan))
}

// File is a file that was dropped on the page.
type File struct {
	Name string
	Data []byte
}

// Dropped is what is known of panels that were dropped on the page.
type Dropped struct {
	Thickness, Unit string // as new takes them; empty: not known
	NoRemedies      bool   // what would let a gun in where none reaches is not looked for: it takes seconds
}

// Pair is what was found of panels that belong to no shell yet.
type Pair struct {
	Planned *Planned
	Shell   string   // a shell file for them
	Said    []string // notes and findings, a line each
	Sought  bool     // nothing was left out
}

// drawnSheet is a weld map.
type drawnSheet struct {
	Name string `json:"name"`
	SVG  string `json:"svg"`
}

// pair finds the flanges between panels that were dropped on the page, plans their welds and draws the map: files as a form's field
// "panel", beside "thickness" and "unit" where they are known; with "remedies" later what would let guns in is left out.
func (s *Server) pair(w http.ResponseWriter, r *http.Request) {
	files, err := dropped(r)
	if err != nil {
		refuse(w, err)
		return
	}
	select { // each takes all processors
	case s.pairing <- struct{}{}:
		defer func() { <-s.pairing }()
	case <-r.Context().Done():
		refuse(w, r.Context().Err())
		return
	}
	made, err := s.config.Pair(r.Context(), files, Dropped{r.FormValue("thickness"), r.FormValue("unit"),
		r.FormValue("remedies") == "later"}, s.events.progress)
	if err != nil {
		refuse(w, err)
		return
	}
	out := struct {
		Shell    string           `json:"shell"`
		Said     []string         `json:"said"`
		Sought   bool             `json:"sought"`
		Flanges  []layout.Flange  `json:"flanges"`
		Settings []layout.Setting `json:"settings"`
		Outcome  outcome          `json:"outcome"`
		Sheets   []drawnSheet     `json:"sheets"`
	}{Shell: made.Shell, Said: made.Said, Sought: made.Sought, Flanges: made.Planned.Plan.Flanges, Settings: made.Planned.Plan.Settings,
		Outcome: outcomeOf(made.Planned.Plan)}
	if out.Sheets, err = s.drawn(r.Context(), made.Planned); err != nil {
		refuse(w, err)
		return
	}
	s.writeJSON(w, r, http.StatusOK, out)
}

func (s *Server) drawn(ctx context.Context, p *Planned) ([]drawnSheet, error) {
	panels, err := p.Panels(ctx)
	if err != nil {
		return nil, err
	}
	var out []drawnSheet
	for _, st := range p.Plan.Stations {
		sheets, err := sheet.Station(ctx, p.Plan, panels, st.ID, sheet.Options{Hash: sheet.HashOf(p.Text), Workers: s.config.Workers})
		if err != nil {
			return nil, err
		}
		for _, sh := range sheets {
			out = append(out, drawnSheet{sh.Name, string(sh.SVG)})
		}
	}
	return out, nil
}

// mostDropped is how many panels may be dropped at once.
const mostDropped = 20

func dropped(r *http.Request) ([]File, error) {
	if err := r.ParseMultipartForm(mostPair); err != nil {
		return nil, fmt.Errorf("drop panels as STL or DXF files: %w", err)
	}
	defer func() { _ = r.MultipartForm.RemoveAll() }()
	headers := r.MultipartForm.File["panel"]
	if len(headers) < 2 || len(headers) > mostDropped {
		return nil, fmt.Errorf("%d panels: drop two, or up to %d", len(headers), mostDropped)
	}
	var out []File
	seen := map[string]bool{}
	for _, h := range headers {
		name := filepath.Base(filepath.Clean("/" + h.Filename))
		switch ext := strings.ToLower(filepath.Ext(name)); {
		case ext != ".stl" && ext != ".dxf":
			return nil, fmt.Errorf("%s: drop STL or DXF files", name)
		case seen[strings.ToLower(name)]:
			return nil, fmt.Errorf("%s was dropped twice: give the files different names", name)
		}
		seen[strings.ToLower(name)] = true
		data, err := bytesOf(h)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out = append(out, File{name, data})
	}
	return out, nil
}

func bytesOf(h *multipart.FileHeader) ([]byte, error) {
	f, err := h.Open()
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // it was only read
	return io.ReadAll(f)
}
