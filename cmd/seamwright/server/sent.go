package server

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"io"
	"net/http"
	"strconv"
	"strings"
	"sync"
)

// tagOf is the tag of bytes that are made anew each time.
func tagOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:12])
}

// unchanged says what is about to be sent, and whether who asks has it already: then nothing is sent.
func unchanged(w http.ResponseWriter, r *http.Request, kind, tag string) bool {
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("ETag", `"`+tag+`"`)
	h.Set("Cache-Control", "no-cache")
	h.Set("Vary", "Accept-Encoding")
	if !strings.Contains(r.Header.Get("If-None-Match"), `"`+tag+`"`) {
		return false
	}
	w.WriteHeader(http.StatusNotModified)
	return true
}

// write sends bytes with a tag of their content, so that what a browser has is not sent again, packed where that helps.
func (s *Server) write(w http.ResponseWriter, r *http.Request, kind string, data []byte) {
	s.stream(w, r, kind, tagOf(data), data)
}

// stream does so with bytes whose tag is known. They are packed piece by piece as they are sent, once for all who ask meanwhile and
// later: who comes while they are being packed is sent what there is.
func (s *Server) stream(w http.ResponseWriter, r *http.Request, kind, tag string, data []byte) {
	if unchanged(w, r, kind, tag) {
		return
	}
	if len(data) < 1024 || !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		w.Header().Set("Content-Length", strconv.Itoa(len(data)))
		_, _ = w.Write(data) // who asked has gone: nobody to tell
		return
	}
	w.Header().Set("Content-Encoding", "gzip")
	small := s.packed(tag, data)
	if n, whole := small.length(); whole {
		w.Header().Set("Content-Length", strconv.Itoa(n))
	}
	small.follow(r.Context(), w)
}

// mostPackedWell is from how many bytes data is packed quickly rather than well. Chosen.
const mostPackedWell = 1 << 20

// packed is data as it is sent, packed once while the plan stands. It comes at once and fills up.
func (s *Server) packed(tag string, data []byte) *packing {
	s.mu.Lock()
	defer s.mu.Unlock()
	if p, ok := s.small[tag]; ok {
		return p
	}
	p := newPacking()
	s.small[tag] = p
	go func() {
		level := gzip.DefaultCompression
		if len(data) > mostPackedWell {
			level = gzip.BestSpeed
		}
		z, _ := gzip.NewWriterLevel(p, level) // both are levels
		_, _ = io.Copy(z, bytes.NewReader(data))
		_ = z.Close() // a packing takes all
		p.finish()
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.small[tag] != p { // of a plan that is gone
			return
		}
		n, _ := p.length()
		if s.smallBytes += n; s.smallBytes > mostSmall {
			s.small, s.smallBytes = map[string]*packing{tag: p}, n
		}
	}()
	return p
}

// packing is packed bytes that grow while they are read.
type packing struct {
	mu    sync.Mutex
	data  []byte
	whole bool
	grown chan struct{} // closed when there is more
}

func newPacking() *packing { return &packing{grown: make(chan struct{})} }

// Write adds bytes; it takes all.
func (p *packing) Write(b []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.data = append(p.data, b...)
	p.tell()
	return len(b), nil
}

func (p *packing) finish() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.whole = true
	p.tell()
}

func (p *packing) tell() {
	close(p.grown)
	p.grown = make(chan struct{})
}

// length is how many bytes there are, and whether that is all.
func (p *packing) length() (int, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	return len(p.data), p.whole
}

// follow writes all bytes, those that come included; until somebody has gone.
func (p *packing) follow(ctx context.Context, w io.Writer) {
	for sent := 0; ; {
		p.mu.Lock()
		more, whole, grown := p.data[sent:], p.whole, p.grown
		p.mu.Unlock()
		if len(more) > 0 {
			if _, err := w.Write(more); err != nil {
				return
			}
			sent += len(more)
			continue
		}
		if whole {
			return
		}
		select {
		case <-ctx.Done():
			return
		case <-grown:
		}
	}
}
