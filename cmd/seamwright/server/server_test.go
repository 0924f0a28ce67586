package server

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/layout"
	"seamwright/layout/poses"
	"seamwright/render/page"
	"seamwright/render/view"
	"seamwright/seams/changes"
)

// built is a plan with as many welds as the changes say, or one.
func built(_ context.Context, c changes.Changes, progress func(string, int, int)) (*Planned, error) {
	n := 1
	if to, ok := c.Overrides()["count"]; ok {
		if _, err := fmt.Sscan(to, &n); err != nil {
			return nil, fmt.Errorf("count: %q is no number", to)
		}
	}
	progress("plan", 1, 1)
	m := &mesh.Mesh{Vertices: []r3.Vector{{}, {X: 100}, {X: 100, Y: 50}, {Y: 50}}, Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}}}
	p := &layout.Plan{Format: layout.Format, Shell: layout.Shell{Name: "plate", Batch: 1},
		Stations: []layout.Station{{ID: "jig", Present: []string{"plate"}}}}
	for i := range n {
		p.Welds = append(p.Welds, layout.Weld{Number: i + 1, Station: "jig", Axis: layout.Vec{0, 0, 1}})
	}
	text, err := json.Marshal(p)
	return &Planned{Plan: p, Text: text, Look: "plate",
		Meshes: func(context.Context) ([]Mesh, error) { return []Mesh{{"plate", m}}, nil },
		Panels: func(context.Context) ([]view.Panel, error) {
			return []view.Panel{view.NewPanel("plate", near.NewShape(m), 1)}, nil
		},
		Light: func(ctx context.Context, ready func(page.Panel, int, int)) ([]page.Panel, error) {
			light, err := page.Lighten(ctx, "plate", m)
			ready(light, 1, 1)
			return []page.Panel{light}, err
		},
		Marks: func(string) page.Marks { return page.Marks{} },
		Poses: func(_ context.Context, weld int) ([]poses.Tool, error) {
			if weld >= n {
				return nil, fmt.Errorf("there is no weld %d", weld)
			}
			return []poses.Tool{{Gun: "c", Tip: "long", Chosen: true, Free: []poses.Arc{{From: 30, To: 150}},
				Blocked: []poses.Arc{{From: 155, To: 25, Panel: "plate"}}, Air: 10}}, nil
		},
		Print:    func(context.Context) ([]byte, error) { return []byte("%PDF-"), nil },
		Workbook: func() ([]byte, error) { return []byte("PK"), nil },
		Quote:    func(context.Context) ([]byte, error) { return []byte("%PDF-"), nil },
		Steel:    func() ([]byte, error) { return []byte("grade\n"), nil },
		Breaks: func(_ context.Context, shells []int) ([]Break, error) {
			return []Break{{shells[0], 2, 2 * float64(shells[0])}}, nil
		},
		Value: func(key string) (any, error) {
			if key != "count" {
				return nil, fmt.Errorf("unknown key %q", key)
			}
			return n, nil
		}}, err
}

// paired is the plan of two files, which it names.
func paired(ctx context.Context, files []File, in Dropped, progress func(string, int, int)) (*Pair, error) {
	p, err := built(ctx, changes.Changes{}, progress)
	said := []string{files[0].Name, files[1].Name, string(files[1].Data), in.Thickness, in.Unit}
	return &Pair{Planned: p, Shell: "name: New pair\n", Said: said, Sought: !in.NoRemedies}, err
}

// started is a server on a free port, the address of its pages, and what stops it.
func started(t *testing.T, shell string) (Address, *Server) {
	t.Helper()
	l, address, err := Open("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	s, err := New(ctx, Config{Shell: shell, Build: built, Workers: 1, Pair: paired,
		Save: func(path string, data []byte) error { return os.WriteFile(path, data, 0o600) }})
	if err != nil {
		t.Fatal(err)
	}
	done := make(chan error)
	go func() { done <- s.Serve(ctx, l, address) }()
	t.Cleanup(func() {
		cancel()
		if err := <-done; err != nil {
			t.Errorf("serve: %v", err)
		}
	})
	return address, s
}

func ask(t *testing.T, method, url, body string, headers ...string) (int, string, http.Header) {
	t.Helper()
	r, err := http.NewRequest(method, url, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i+1 < len(headers); i += 2 {
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		}
		r.Header.Set(headers[i], headers[i+1])
	}
	client := http.Client{CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	answer, err := client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(text), answer.Header
}

// What a page asks for beside the plan: a key's value, a cut, what other changes come to without saving them.
func TestLooks(t *testing.T) {
	shell := filepath.Join(t.TempDir(), "shell.yaml")
	a, _ := started(t, shell)
	for _, c := range []struct {
		method, path, body string
		code               int
		want               string
	}{
		{"GET", "api/value?key=count", "", http.StatusOK, "1"},
		{"GET", "api/value?key=coutn", "", http.StatusUnprocessableEntity, "unknown key \"coutn\"\n"},
		// The plate is a quadrangle of (0, 0), (100, 0), (100, 50) and (0, 50): 50 mm long at x = 40, all of it.
		{"GET", "api/cut?axis=x&at=40", "", http.StatusOK, `[{"panel":"plate","lines":[[[40,0,0],[40,20,0],[40,50,0]]]}]`},
		{"GET", "api/cut?axis=x&at=400", "", http.StatusOK, "[]"},
		{"GET", "api/along?panel=plate&from=10,10,0&to=40,50,0", "", http.StatusOK, `{"mm":50}`},
		{"GET", "api/along?panel=plate&from=10,10,0&to=10,10,90", "", http.StatusOK, `{"mm":null}`},
		{"GET", "api/along?panel=door&from=10,10,0&to=40,50,0", "", http.StatusUnprocessableEntity,
			"write panel=ID and two places of it in mm as from=X,Y,Z and to=X,Y,Z\n"},
		{"GET", "api/along?panel=plate&from=10,10,inf&to=40,50,0", "", http.StatusUnprocessableEntity,
			"write panel=ID and two places of it in mm as from=X,Y,Z and to=X,Y,Z\n"},
		{"GET", "api/poses?weld=0", "", http.StatusOK, `[{"gun":"c","tip":"long","chosen":true,"free":[{"from":30,"to":150}],` +
			`"blocked":[{"from":155,"to":25,"panel":"plate"}],"air":10}]`},
		{"GET", "api/poses?weld=1", "", http.StatusUnprocessableEntity, "there is no weld 1\n"},
		{"GET", "api/poses?weld=a", "", http.StatusUnprocessableEntity, "write the weld as weld=N, its place in the plan's list from 0\n"},
		{"GET", "api/cut?axis=xy&at=4", "", http.StatusUnprocessableEntity, "write the plane as axis=x, y or z and at=MILLIMETRES\n"},
		{"GET", "api/cut?axis=x&at=nan", "", http.StatusUnprocessableEntity, "write the plane as axis=x, y or z and at=MILLIMETRES\n"},
		{"POST", "api/variants", `{"set": [{"key": "count", "to": "7"}]}`, http.StatusOK,
			`{"welds":7,"runs":0,"broken":0,"doubt":0,"minutes":0,"shell":0,"batch":0}`},
		{"POST", "api/variants", `{"set": [{"key": "count", "to": "many"}]}`, http.StatusUnprocessableEntity,
			"count: \"many\" is no number\n"},
		{"GET", "api/value?key=count", "", http.StatusOK, "1"},
	} {
		if code, text, _ := ask(t, c.method, a.URL+c.path, c.body); code != c.code || text != c.want {
			t.Errorf("%s %s %s: %d %s", c.method, c.path, c.body, code, text)
		}
	}
	if _, err := os.Stat(changes.Path(shell)); err == nil {
		t.Error("a variant was saved")
	}
	if _, text, _ := ask(t, "GET", a.URL+"api/inputs", ""); !strings.Contains(text, `"fit_s_per_m":"fit a metre of flange together"`) {
		t.Errorf("inputs in words: %s", text)
	}
}

// Two panels that are dropped give flanges, map and shell file; what is no panel is refused by name.
func TestPair(t *testing.T) {
	a, _ := started(t, filepath.Join(t.TempDir(), "shell.yaml"))
	remedies := ""
	post := func(names ...string) (int, string) {
		var body bytes.Buffer
		form := multipart.NewWriter(&body)
		for _, n := range names {
			f, err := form.CreateFormFile("panel", n)
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprint(f, "bytes of "+n)
		}
		if err := errors.Join(form.WriteField("thickness", "0.9,1.2"), form.WriteField("remedies", remedies), form.Close()); err != nil {
			t.Fatal(err)
		}
		code, text, _ := ask(t, "POST", a.URL+"api/pair", body.String(), "Content-Type", form.FormDataContentType())
		return code, text
	}
	code, text := post("a.stl", "../up/b.DXF")
	if code != http.StatusOK || !strings.Contains(text, `"said":["a.stl","b.DXF","bytes of b.DXF","0.9,1.2",""]`) &&
		!strings.Contains(text, `"said":["a.stl","b.DXF","bytes of ../up/b.DXF","0.9,1.2",""]`) ||
		!strings.Contains(text, `"shell":"name: New pair\n"`) ||
		!strings.Contains(text, `\u003csvg`) {
		t.Errorf("%d %.300s", code, text)
	}
	if !strings.Contains(text, `"sought":true`) {
		t.Errorf("nothing was left out: %.300s", text)
	}
	remedies = "later"
	if code, text := post("a.stl", "b.stl"); code != http.StatusOK || !strings.Contains(text, `"sought":false`) {
		t.Errorf("without remedies: %d %.300s", code, text)
	}
	for want, names := range map[string][]string{"1 panels: drop two": {"a.stl"}, "b.exe: drop STL or DXF files": {"a.stl", "b.exe"},
		"A.stl was dropped twice": {"a.stl", "A.stl"}} {
		if code, text := post(names...); code != http.StatusUnprocessableEntity || !strings.Contains(text, want) {
			t.Errorf("%v: %d %s", names, code, text)
		}
	}
}

// Of pairs that are dropped at once one is planned after the other; who goes away while waiting is let go.
func TestOnePairAtATime(t *testing.T) {
	at, through, left := make(chan bool, 2), make(chan bool), make(chan error, 1)
	s, err := New(t.Context(), Config{Shell: filepath.Join(t.TempDir(), "shell.yaml"), Build: built, Workers: 1,
		Pair: func(ctx context.Context, files []File, in Dropped, progress func(string, int, int)) (*Pair, error) {
			at <- true
			<-through
			return paired(ctx, files, in, progress)
		}})
	if err != nil {
		t.Fatal(err)
	}
	drop := func(ctx context.Context) *httptest.ResponseRecorder {
		var body bytes.Buffer
		form := multipart.NewWriter(&body)
		for _, n := range []string{"a.stl", "b.stl"} {
			if _, err := form.CreateFormFile("panel", n); err != nil {
				t.Error(err)
			}
		}
		if err := form.Close(); err != nil {
			t.Error(err)
		}
		r := httptest.NewRequestWithContext(ctx, http.MethodPost, pairPath, &body)
		r.Header.Set("Content-Type", form.FormDataContentType())
		w := httptest.NewRecorder()
		s.pair(w, r)
		return w
	}
	first := make(chan int, 1)
	go func() { first <- drop(t.Context()).Code }()
	<-at
	waiting, leave := context.WithCancel(t.Context())
	go func() {
		if w := drop(waiting); w.Code != http.StatusServiceUnavailable {
			left <- fmt.Errorf("who left: %d %s", w.Code, w.Body)
		}
		close(left)
	}()
	leave()
	if err := <-left; err != nil {
		t.Error(err)
	}
	close(through)
	if code := <-first; code != http.StatusOK || len(at) != 0 {
		t.Errorf("the first: %d; %d more were begun", code, len(at))
	}
}

// Every path of the description answers with one of the codes that it names, and nothing else is answered.
func TestDescription(t *testing.T) {
	a, _ := started(t, filepath.Join(t.TempDir(), "shell.yaml"))
	_, text, _ := ask(t, "GET", a.URL+"openapi.json", "")
	var doc struct {
		Paths map[string]map[string]struct {
			Responses map[string]json.RawMessage
		}
	}
	if err := json.Unmarshal([]byte(text), &doc); err != nil {
		t.Fatal(err)
	}
	if len(doc.Paths) < 15 {
		t.Errorf("%d paths are described", len(doc.Paths))
	}
	for path, methods := range doc.Paths {
		if path == "/api/events" {
			continue
		}
		url := strings.NewReplacer("{station}", "jig", "{name}", "none.svg", "/api/graph.svg", "/api/graph.svg?flange=none", "/api/breaks",
			"/api/breaks?shells=3", "/api/maps", "/api/maps?station=none", "/api/parts", "/api/parts?door=station", "/api/cut",
			"/api/cut?axis=z&at=1", "/api/along", "/api/along?panel=plate&from=0,0,0&to=1,1,0", "/api/value",
			"/api/value?key=count").Replace(path)
		for method, operation := range methods {
			code, body, header := ask(t, strings.ToUpper(method), strings.TrimSuffix(a.URL, "/")+url, `{"set": [], "version": ""}`)
			if _, ok := operation.Responses[fmt.Sprint(code)]; !ok {
				t.Errorf("%s %s: %d is not described: %s", method, url, code, body)
			}
			if csp := header.Get("Content-Security-Policy"); !strings.HasPrefix(csp, "default-src 'none'") {
				t.Errorf("%s: policy %q", url, csp)
			}
		}
	}
	for _, path := range []string{"nothing", "api/", "static/../server.go", "bundle/placeholder.txt", "maps/jig/../../x"} {
		if code, _, _ := ask(t, "GET", a.URL+path, ""); code == http.StatusOK {
			t.Errorf("/%s is answered", path)
		}
	}
}

func TestWhoMayAsk(t *testing.T) {
	a, _ := started(t, filepath.Join(t.TempDir(), "shell.yaml"))
	port := a.URL[strings.LastIndex(a.URL, ":"):]
	body := `{"set": [{"key": "count", "to": "2"}], "version": ""}`
	for _, c := range []struct {
		method, host, origin string
		code                 int
	}{
		{"GET", "", "", http.StatusOK},
		{"GET", "localhost" + strings.TrimSuffix(port, "/"), "", http.StatusOK},
		{"GET", "evil.example" + strings.TrimSuffix(port, "/"), "", http.StatusForbidden},
		{"GET", "127.0.0.1", "", http.StatusForbidden},
		{"GET", "127.0.0.1:1", "", http.StatusForbidden},
		{"POST", "", "http://evil.example", http.StatusForbidden},
		{"POST", "", "null", http.StatusForbidden},
		{"POST", "", strings.TrimSuffix(a.URL, "/"), http.StatusOK},
	} {
		headers := []string{}
		if c.host != "" {
			headers = append(headers, "Host", c.host)
		}
		if c.origin != "" {
			headers = append(headers, "Origin", c.origin)
		}
		if code, text, _ := ask(t, c.method, a.URL+"api/changes", body, headers...); code != c.code {
			t.Errorf("%+v: %d: %s", c, code, text)
		}
	}
	if code, _, _ := ask(t, "POST", a.URL+"api/changes", strings.Repeat(" ", mostBody+1)); code != http.StatusRequestEntityTooLarge {
		t.Errorf("a body over the limit: %d", code)
	}
}

func TestToken(t *testing.T) {
	h := guarded(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { fmt.Fprint(w, "in") }), &testAddr, "secret")
	get := func(path, cookies string) (int, http.Header) {
		r, err := http.NewRequest("GET", path, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Host = "192.0.2.7:80"
		r.Header.Set("Cookie", cookies)
		w := &recorded{header: http.Header{}}
		h.ServeHTTP(w, r)
		return w.code, w.header
	}
	if code, _ := get("/", ""); code != http.StatusUnauthorized {
		t.Errorf("without a token: %d", code)
	}
	if code, _ := get("/?token=wrong", "seamwright=wrong"); code != http.StatusUnauthorized {
		t.Errorf("with a wrong token: %d", code)
	}
	code, header := get("/?token=secret", "")
	if code != http.StatusSeeOther || header.Get("Location") != "/" || !strings.Contains(header.Get("Set-Cookie"), "HttpOnly") {
		t.Errorf("with the token: %d, %v", code, header)
	}
	if code, _ := get("/", "seamwright=secret"); code != http.StatusOK {
		t.Errorf("with the cookie: %d", code)
	}
}

func TestPackedAndNotSentAgain(t *testing.T) {
	a, _ := started(t, filepath.Join(t.TempDir(), "shell.yaml"))
	_, _, header := ask(t, "GET", a.URL, "", "Accept-Encoding", "gzip")
	if header.Get("Content-Encoding") != "gzip" || header.Get("ETag") == "" {
		t.Errorf("%v", header)
	}
	if code, text, _ := ask(t, "GET", a.URL, "", "If-None-Match", header.Get("ETag")); code != http.StatusNotModified || text != "" {
		t.Errorf("asked again: %d, %d bytes", code, len(text))
	}
}

// After a change a page asks for what has changed alone; one that has what is no longer known is sent everything.
func TestPartsSinceAVersion(t *testing.T) {
	a, _ := started(t, filepath.Join(t.TempDir(), "shell.yaml"))
	type answer struct {
		Version string
		All     bool
		Parts   map[string]json.RawMessage
	}
	parts := func(since string) (got answer) {
		code, text, _ := ask(t, "GET", a.URL+"api/parts?door=engineer&since="+since, "")
		if err := json.Unmarshal([]byte(text), &got); err != nil || code != http.StatusOK {
			t.Fatalf("%d %s", code, text)
		}
		return got
	}
	first := parts("")
	if !first.All || first.Parts["lines/jig"] == nil {
		t.Errorf("at first: %+v", first)
	}
	if same := parts(first.Version); same.All || len(same.Parts) != 0 || same.Version != first.Version {
		t.Errorf("nothing has changed: %+v", same)
	}
	if code, text, _ := ask(t, "POST", a.URL+"api/changes", `{"set": [{"key": "count", "to": "3"}], "version": ""}`); code != http.StatusOK {
		t.Fatal(text)
	}
	next := parts(first.Version)
	if next.All || len(next.Parts) != 1 || !strings.Contains(string(next.Parts["jig/jig"]), `"flange":[-1,-1,-1]`) {
		t.Errorf("two welds more: %s", next.Parts)
	}
	if old := parts("nobody"); !old.All || len(old.Parts) != len(first.Parts) {
		t.Errorf("a version that is not known: %+v", old)
	}
}

// A change is planned, saved and shown; who comes second is shown what the first saved, be it by the page or by hand.
func TestChanges(t *testing.T) {
	shell := filepath.Join(t.TempDir(), "shell.yaml")
	a, _ := started(t, shell)
	welds := func() int {
		_, text, _ := ask(t, "GET", a.URL+"api/plan", "")
		var p layout.Plan
		if err := json.Unmarshal([]byte(text), &p); err != nil {
			t.Fatal(err)
		}
		return len(p.Welds)
	}
	send := func(to, version string) (int, set) {
		code, text, _ := ask(t, "POST", a.URL+"api/changes", fmt.Sprintf(`{"set": [{"key": "count", "to": %q}], "version": %q}`, to, version))
		var s set
		if code != http.StatusUnprocessableEntity {
			if err := json.Unmarshal([]byte(text), &s); err != nil {
				t.Fatalf("%d %s: %v", code, text, err)
			}
		}
		return code, s
	}
	code, first := send("3", "")
	if code != http.StatusOK || welds() != 3 || first.Version == "" {
		t.Fatalf("%d, %d welds, %+v", code, welds(), first)
	}
	if saved, err := changes.Read(shell); err != nil || saved.Version != first.Version {
		t.Errorf("on disk: %+v, %v", saved, err)
	}
	if code, theirs := send("5", ""); code != http.StatusConflict || theirs.Version != first.Version || welds() != 3 {
		t.Errorf("second: %d, %+v, %d welds", code, theirs, welds())
	}
	if code, _ := send("many", first.Version); code != http.StatusUnprocessableEntity || welds() != 3 {
		t.Errorf("what cannot be planned: %d, %d welds", code, welds())
	}
	if err := os.WriteFile(changes.Path(shell), []byte("set: [{key: count, to: \"7\"}]\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if code, theirs := send("5", first.Version); code != http.StatusConflict || len(theirs.Set) != 1 || theirs.Set[0].To != "7" ||
		welds() != 7 {
		t.Errorf("written by hand meanwhile: %d, %+v, %d welds", code, theirs, welds())
	}
}

// Two at once: one is taken, the other is shown it, and none is lost.
func TestNoChangeIsLost(t *testing.T) {
	shell := filepath.Join(t.TempDir(), "shell.yaml")
	a, _ := started(t, shell)
	const n = 12
	codes := make([]int, n)
	var group sync.WaitGroup
	for i := range n {
		group.Go(func() {
			codes[i], _, _ = ask(t, "POST", a.URL+"api/changes", fmt.Sprintf(`{"set": [{"key": "count", "to": "%d"}], "version": ""}`, i+1))
		})
	}
	group.Wait()
	taken := 0
	for i, code := range codes {
		if code == http.StatusOK {
			taken++
			if saved, err := changes.Read(shell); err != nil || saved.Set[0].To != fmt.Sprint(i+1) {
				t.Errorf("saved %+v, %v; %d was taken", saved, err, i+1)
			}
		} else if code != http.StatusConflict {
			t.Errorf("%d", code)
		}
	}
	if taken != 1 {
		t.Errorf("%d of %d were taken", taken, n)
	}
}

func TestProgressIsTold(t *testing.T) {
	a, s := started(t, filepath.Join(t.TempDir(), "shell.yaml"))
	answer, err := http.Get(a.URL + "api/events")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	lines := bufio.NewReader(answer.Body)
	next := func() string { // what is sent at once, without the empty line behind it
		var told string
		for {
			line, err := lines.ReadString('\n')
			if err != nil {
				t.Fatalf("%q, %v", told+line, err)
			}
			if line == "\n" {
				return told
			}
			told += line
		}
	}
	if first := next(); !strings.HasPrefix(first, ": here") {
		t.Fatalf("%q", first)
	}
	s.events.progress(`read "panels"`, 3, 22)
	told := next()
	for strings.Contains(told, stageLight) { // the picture is made in the background meanwhile
		told = next()
	}
	if want := "event: progress\ndata: {\"stage\": \"read \\\"panels\\\"\", \"done\": 3, \"total\": 22}\n"; told != want {
		t.Errorf("%q, want %q", told, want)
	}
}

var testAddr = net.TCPAddr{IP: net.IPv4(192, 0, 2, 7), Port: 80}

// recorded is an answer without a network.
type recorded struct {
	header http.Header
	code   int
}

func (r *recorded) Header() http.Header  { return r.header }
func (r *recorded) WriteHeader(code int) { r.code = code }
func (r *recorded) Write(b []byte) (int, error) {
	if r.code == 0 {
		r.code = http.StatusOK
	}
	return len(b), nil
}
