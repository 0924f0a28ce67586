// Package server is the local page's server: it hands out a plan and its pictures, takes changes, plans again, and says how far
// it is. It knows nothing of flags, and reads and plans by the functions that it is given.
//
//	s, err := server.New(server.Config{Shell: "tarn/shell.yaml", Build: build})
//	err = s.Serve(ctx, listener)
//
// # Who may ask
//
// It answers only requests whose Host is its own address, so that no other site can reach it through a name of its own, and refuses
// changes that come from another page (http.CrossOriginProtection). On an address that is not of this machine alone a token is
// asked for: it stands in the address that is printed, is exchanged for a cookie once, and is written nowhere else.
package server

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"encoding/hex"
	"errors"
	"fmt"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"

	"seamwright/layout"
	"seamwright/layout/poses"
	"seamwright/render/page"
	"seamwright/render/view"
	"seamwright/seams/changes"

	"golang.org/x/sync/singleflight"
)

// Limits of one server. Chosen for a handful of people and their tablets.
const (
	mostBody    = 1 << 20   // bytes of a change
	mostPair    = 256 << 20 // bytes of panels that are dropped on the page
	pairPath    = "/api/pair"
	eventsPath  = "/api/events"
	mostTime    = 10 * time.Minute // for an answer: more than the largest plan takes; events go on
	readTime    = 30 * time.Second // for a request's headers and body
	idleTime    = 2 * time.Minute
	closingTime = 400 * time.Millisecond // every command ends within half a second of being asked to
)

// Planned is a plan with what its pictures and sheets need.
type Planned struct {
	Plan *layout.Plan
	Text []byte // plan.json
	Look string // the same for plans whose panels, and what the picture says of them, are the same

	// Of its panels: those that maps are drawn of, those that were read, in their places, and those of the picture.
	Panels func(ctx context.Context) ([]view.Panel, error)
	Meshes func(ctx context.Context) ([]Mesh, error)
	Light  func(ctx context.Context, ready func(p page.Panel, done, total int)) ([]page.Panel, error) // tells each as it gets ready

	Rehearse func(ctx context.Context) error                           // does what the first change would have to wait for; nil: nothing
	Marks    func(flange string) page.Marks                            // what rules and shell file ask of a flange
	Poses    func(ctx context.Context, weld int) ([]poses.Tool, error) // how guns would stand at a weld of the plan's list
	Print    func(ctx context.Context) ([]byte, error)                 // everything to print, as PDF
	Workbook func() ([]byte, error)                                    // the cost, as XLSX
	Quote    func(ctx context.Context) ([]byte, error)                 // the letter to a customer, as PDF
	Steel    func() ([]byte, error)                                    // the sheet steel to buy for the batch, as CSV
	Breaks   func(ctx context.Context, shells []int) ([]Break, error)  // the cost of other batches
	Value    func(key string) (any, error)                             // what stands at a key of the shell file

	taken sync.Once
	apart *page.Parts
	err   error
	tags  sync.Once
	sum   string
}

// parts is the plan as the pages show it.
func (p *Planned) parts() (*page.Parts, error) {
	p.taken.Do(func() { p.apart, p.err = page.PartsOf(p.Plan) })
	return p.apart, p.err
}

// tag tells the plan's text from others.
func (p *Planned) tag() string {
	p.tags.Do(func() { p.sum = tagOf(p.Text) })
	return p.sum
}

// Config is what a server works with.
type Config struct {
	Shell string // path of the shell file
	// Build plans the shell with changes above it, and says how far it is. An error is the user's to mend, in words.
	Build func(ctx context.Context, c changes.Changes, progress func(stage string, done, total int)) (*Planned, error)
	// Pair plans panels that belong to no shell yet.
	Pair func(ctx context.Context, files []File, in Dropped, progress func(stage string, done, total int)) (*Pair, error)
	// Save writes a file whole or not at all.
	Save    func(path string, data []byte) error
	Workers int
}

// Break is the cost of another batch.
type Break struct {
	Shells int     `json:"shells"`
	Shell  float64 `json:"shell"`
	Batch  float64 `json:"batch"`
}

// Server serves one shell.
type Server struct {
	config Config
	events events

	changing sync.Mutex         // one change is planned at a time
	pairing  chan struct{}      // and one pair of panels beside it
	making   singleflight.Group // one picture of a kind is made at a time
	shown    chan struct{}      // closed once somebody was sent the picture
	seen     sync.Once
	lasting  context.Context // of the server, which a picture for several is made in
	pictures *view.Pictures

	mu      sync.RWMutex
	planned *Planned
	saved   changes.Changes
	made    map[string][]byte // pictures of this plan, by name
	coming  coming            // panels of a picture that is being made

	small      map[string]*packing // what was packed to be sent, by its tag
	smallBytes int

	versions []string // of the parts that pages were sent, from the oldest
	sums     map[string]page.Sums
}

// mostVersions is of how many plans it is known what their parts were, for pages that have them. Chosen.
const mostVersions = 64

// remember keeps what the parts of a version were.
func (s *Server) remember(version string, sums page.Sums) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, ok := s.sums[version]; ok {
		return
	}
	s.versions = append(s.versions, version)
	s.sums[version] = sums
	if len(s.versions) > mostVersions {
		delete(s.sums, s.versions[0])
		s.versions = slices.Delete(s.versions, 0, 1)
	}
}

// sumsOf is what the parts of a version were; nil where that is not known any more.
func (s *Server) sumsOf(version string) page.Sums {
	s.mu.RLock()
	defer s.mu.RUnlock()
	return s.sums[version]
}

// The pictures that depend on the panels alone.
const (
	coarseScene = "scene"
	fineScene   = "fine scene"
)

// mostSmall are the packed bytes that are kept: some plans of sixty panels with their pictures.
const mostSmall = 64 << 20

// mostPixels are those of the pictures that are kept for the next sheet: some eight of sheet size A3, in 300 MiB.
const mostPixels = 25 << 20

// coming are the panels that are ready of those that look alike.
type coming struct {
	look   string
	panels []page.Panel
}

// New plans the shell with its saved changes.
func New(ctx context.Context, c Config) (*Server, error) {
	s := &Server{config: c, pictures: view.NewPictures(mostPixels), lasting: ctx, sums: map[string]page.Sums{},
		pairing: make(chan struct{}, 1), shown: make(chan struct{})}
	saved, err := changes.Read(c.Shell)
	if err != nil {
		return nil, err
	}
	p, err := c.Build(ctx, saved, s.events.progress)
	if err != nil {
		return nil, err
	}
	s.take(p, saved)
	return s, nil
}

// take puts a plan in the place of the one before. Pictures of the same panels stay: making them takes longer than planning.
func (s *Server) take(p *Planned, saved changes.Changes) {
	s.mu.Lock()
	defer s.mu.Unlock()
	made := map[string][]byte{}
	if s.planned != nil && s.planned.Look == p.Look {
		for _, name := range []string{coarseScene, fineScene} {
			if data, ok := s.made[name]; ok {
				made[name] = data
			}
		}
	}
	s.planned, s.saved, s.made = p, saved, made
	s.small, s.smallBytes = map[string]*packing{}, 0
}

// now is the plan and the changes that it was made with.
func (s *Server) now() (*Planned, changes.Changes) {
	s.mu.RLock()
	defer s.mu.RUnlock()
	return s.planned, s.saved
}

// once makes a picture of the plan the first time that it is asked for, and once for all who ask meanwhile. Who goes away does not
// take it from the others.
func (s *Server) once(ctx context.Context, p *Planned, name string, make func(context.Context) ([]byte, error)) ([]byte, error) {
	s.mu.RLock()
	data, ok := s.made[name]
	current := s.planned == p
	s.mu.RUnlock()
	if ok && current {
		return data, nil
	}
	scene := name == coarseScene || name == fineScene
	key := fmt.Sprintf("%p %s", p, name)
	if scene { // the same for every plan of these panels
		key = p.Look + " " + name
	}
	made := s.making.DoChan(key, func() (any, error) {
		data, err := make(s.lasting)
		if err != nil {
			return nil, err
		}
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.planned == p || scene && s.planned.Look == p.Look {
			s.made[name] = data
		}
		return data, nil
	})
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case r := <-made:
		data, _ := r.Val.([]byte)
		return data, r.Err
	}
}

// Address is what a listener is reached by, with the token that it asks for; none on an address of this machine alone.
type Address struct {
	URL   string
	Token string
}

// Open listens, by default on a free port of this machine alone.
func Open(listen string) (net.Listener, Address, error) {
	l, err := net.Listen("tcp", listen)
	if err != nil {
		return nil, Address{}, fmt.Errorf("listen on %s: %w: name another --listen HOST:PORT", listen, err)
	}
	a := Address{URL: "http://" + l.Addr().String() + "/"}
	if !l.Addr().(*net.TCPAddr).IP.IsLoopback() {
		token := make([]byte, 16)
		if _, err := rand.Read(token); err != nil {
			return nil, Address{}, errors.Join(err, l.Close())
		}
		a.Token = hex.EncodeToString(token)
	}
	return l, a, nil
}

// Serve answers until the context ends, and then lets those who were asking finish for a moment.
func (s *Server) Serve(ctx context.Context, l net.Listener, a Address) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	h := &http.Server{Handler: guarded(s.routes(ctx), l.Addr().(*net.TCPAddr), a.Token), ReadTimeout: readTime, IdleTimeout: idleTime,
		BaseContext: func(net.Listener) context.Context { return ctx }, MaxHeaderBytes: 1 << 16}
	done := make(chan error, 1)
	go func() { done <- h.Serve(l) }()
	go s.prepare(ctx)
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	closing, cancel := context.WithTimeout(context.WithoutCancel(ctx), closingTime)
	defer cancel()
	if h.Shutdown(closing) != nil { // somebody is still reading
		return h.Close()
	}
	return nil
}

// guarded looks at each request before it is answered.
func guarded(next http.Handler, own *net.TCPAddr, token string) http.Handler {
	cross := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !ownHost(r.Host, own) {
			http.Error(w, "this address is not the server's own: use the one that it printed", http.StatusForbidden)
			return
		}
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; connect-src "+
			"'self' blob:; font-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		if token != "" && !admitted(w, r, token) {
			return
		}
		if err := cross.Check(r); err != nil {
			http.Error(w, "changes are taken from this server's own pages only", http.StatusForbidden)
			return
		}
		most := int64(mostBody)
		if r.URL.Path == pairPath {
			most = mostPair
		}
		r.Body = http.MaxBytesReader(w, r.Body, most)
		if r.URL.Path != eventsPath {
			ctx, stop := context.WithTimeout(r.Context(), mostTime)
			defer stop()
			r = r.WithContext(ctx)
			_ = http.NewResponseController(w).SetWriteDeadline(time.Now().Add(mostTime)) // who reads too slowly is let go; a test's writer has none
		}
		next.ServeHTTP(w, r)
	})
}

// ownHost says whether a request names the address that the server listens on; on an address of this machine alone its usual
// names do as well.
func ownHost(host string, own *net.TCPAddr) bool {
	name, port, err := net.SplitHostPort(host)
	if err != nil || port != fmt.Sprint(own.Port) {
		return false
	}
	if own.IP.IsLoopback() && name == "localhost" {
		return true
	}
	ip := net.ParseIP(name)
	return ip != nil && (ip.Equal(own.IP) || own.IP.IsUnspecified() || own.IP.IsLoopback() && ip.IsLoopback())
}

const cookie = "seamwright"

// admitted asks for the token: as a cookie, or once in the address, which sets the cookie and leads on without it.
func admitted(w http.ResponseWriter, r *http.Request, token string) bool {
	same := func(t string) bool { return subtle.ConstantTimeCompare([]byte(t), []byte(token)) == 1 }
	if c, err := r.Cookie(cookie); err == nil && same(c.Value) {
		return true
	}
	if given := r.URL.Query().Get("token"); given != "" && same(given) {
		http.SetCookie(w, &http.Cookie{Name: cookie, Value: token, Path: "/", HttpOnly: true, SameSite: http.SameSiteStrictMode})
		http.Redirect(w, r, r.URL.Path, http.StatusSeeOther)
		return false
	}
	http.Error(w, "open the address that the server printed, with its token", http.StatusUnauthorized)
	return false
}

// events hands progress on to whoever listens.
type events struct {
	mu        sync.Mutex
	listeners map[chan string]bool
}

func (e *events) progress(stage string, done, total int) {
	line := fmt.Sprintf("event: progress\ndata: {\"stage\": %q, \"done\": %d, \"total\": %d}\n\n", strings.ToValidUTF8(stage, ""), done, total)
	e.mu.Lock()
	defer e.mu.Unlock()
	for l := range e.listeners {
		select {
		case l <- line:
		default: // who is slow misses some
		}
	}
}

func (e *events) join() chan string {
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.listeners == nil {
		e.listeners = map[chan string]bool{}
	}
	l := make(chan string, 16)
	e.listeners[l] = true
	return l
}

func (e *events) leave(l chan string) {
	e.mu.Lock()
	defer e.mu.Unlock()
	delete(e.listeners, l)
}
