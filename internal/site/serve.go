package site

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"path"
	"runtime"
	"slices"
	"strings"
	"sync"
	"time"

	"counterpoise/internal/explorer"
	"counterpoise/internal/page"
)

// Limits of the server.
const (
	mostRequest    = 64 << 10 // bytes of a question
	mostPage       = 8 << 20  // bytes of one with a page to verify
	mostAtATime    = 4        // questions at hand, each of which takes some 30 MB
	mostWaiting    = 64       // questions
	mostHeader     = 16 << 10
	readTime       = 10 * time.Second
	answerTime     = 30 * time.Second // of a question
	evidenceTime   = 5 * time.Minute  // of a page that is made on demand
	idleTime       = 2 * time.Minute
	shutdownTime   = 3 * time.Second
	questionFolder = "/api/"
)

// server answers for a site.
type server struct {
	site  *Site
	files map[string][]byte
	tags  map[string]string // entity tags of the files
	room  chan struct{}     // of the questions at hand
	large chan struct{}     // of those with many draws, which leave room for others
	queue chan struct{}     // of all who wait or are answered

	making   chan struct{} // one evidence page at a time: each takes all processors
	mutex    sync.Mutex
	evidence map[string]*evidencePage
}

// evidencePage is an evidence page, made once for all who ask.
type evidencePage struct {
	done chan struct{}
	page []byte
	err  error
}

// Handler returns the handler of a site. It answers only to the names of this machine
// itself (a page elsewhere that has its name resolve to here gets nothing), and only
// its own page's questions.
func (s *Site) Handler() (http.Handler, error) {
	h, err := s.server()
	if err != nil {
		return nil, err
	}
	return http.NewCrossOriginProtection().Handler(h), nil
}

func (s *Site) server() (*server, error) {
	list, err := files("http")
	if err != nil {
		return nil, err
	}
	room := min(runtime.GOMAXPROCS(0), mostAtATime)
	h := &server{
		site: s, files: list, tags: map[string]string{},
		room: make(chan struct{}, room), large: make(chan struct{}, max(1, room-1)), queue: make(chan struct{}, mostWaiting),
		making: make(chan struct{}, 1), evidence: map[string]*evidencePage{},
	}
	for name, data := range list {
		sum := sha256.Sum256(data)
		h.tags[name] = `"` + hex.EncodeToString(sum[:16]) + `"`
	}
	return h, nil
}

// ServeHTTP implements http.Handler.
func (h *server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	head := w.Header()
	head.Set("Content-Security-Policy", policy+"; frame-ancestors 'none'")
	head.Set("X-Content-Type-Options", "nosniff")
	head.Set("Referrer-Policy", "no-referrer")
	head.Set("Cross-Origin-Resource-Policy", "same-origin")
	head.Set("Cross-Origin-Opener-Policy", "same-origin")
	head.Set("Cache-Control", "no-store")
	switch at := r.URL.Path; {
	case !local(r.Host):
		fail(w, http.StatusForbidden, "this server answers only to 127.0.0.1, localhost and [::1]")
	case strings.HasPrefix(at, questionFolder):
		h.answer(w, r, strings.TrimPrefix(at, questionFolder))
	case r.Method != http.MethodGet && r.Method != http.MethodHead:
		head.Set("Allow", "GET, HEAD")
		fail(w, http.StatusMethodNotAllowed, "only GET and HEAD are answered here")
	case strings.HasPrefix(at, "/"+sayings):
		h.showEvidence(w, r, strings.TrimPrefix(at, "/"+sayings))
	default:
		h.file(w, r, strings.TrimPrefix(at, "/"))
	}
}

// local reports whether a request's host is this machine by one of its own names.
func local(host string) bool {
	name := host
	if h, _, err := net.SplitHostPort(host); err == nil {
		name = h
	}
	return slices.Contains([]string{"127.0.0.1", "localhost", "::1", "[::1]"}, name)
}

// foreign reports whether a request says that it comes from a page of another origin.
func foreign(r *http.Request) bool {
	for _, from := range []string{r.Header.Get("Origin"), r.Header.Get("Referer")} {
		if from == "" {
			continue
		}
		if at, err := url.Parse(from); err != nil || at.Host != r.Host {
			return true
		}
	}
	return false
}

const jsonType = "application/json; charset=utf-8"

// fail answers with an error as the explorer tells them.
func fail(w http.ResponseWriter, status int, reason string) {
	text, _ := json.Marshal(map[string]explorer.RequestError{"error": {Reason: reason}})
	w.Header().Set("Content-Type", jsonType)
	w.WriteHeader(status)
	w.Write(text)
}

// file sends one of the page's files.
func (h *server) file(w http.ResponseWriter, r *http.Request, name string) {
	name = cmp.Or(name, index)
	data, ok := h.files[name]
	if !ok {
		fail(w, http.StatusNotFound, "there is no such file")
		return
	}
	head := w.Header()
	head.Set("Cache-Control", "no-cache") // to be asked for again, by its tag
	head.Set("ETag", h.tags[name])
	if r.Header.Get("If-None-Match") == h.tags[name] {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	send(w, types[path.Ext(name)], data)
}

func send(w http.ResponseWriter, kind string, data []byte) {
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Length", fmt.Sprint(len(data)))
	w.Write(data)
}

// answer answers a question.
func (h *server) answer(w http.ResponseWriter, r *http.Request, question string) {
	kind, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";")
	switch {
	case r.Method != http.MethodPost:
		w.Header().Set("Allow", "POST")
		fail(w, http.StatusMethodNotAllowed, "questions are asked by POST")
		return
	case !slices.Contains(explorer.Questions(), question) && !(question == verifyQuestion && h.site.Verify != nil):
		fail(w, http.StatusNotFound, "known questions are "+strings.Join(explorer.Questions(), ", "))
		return
	case strings.TrimSpace(kind) != "application/json": // which no form of another page can send
		fail(w, http.StatusUnsupportedMediaType, "a question's Content-Type is application/json")
		return
	}
	most, time := int64(mostRequest), answerTime
	if question == verifyQuestion {
		most, time = mostPage, evidenceTime
	}
	request, err := io.ReadAll(http.MaxBytesReader(w, r.Body, most))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		fail(w, http.StatusRequestEntityTooLarge, fmt.Sprintf("a question has at most %d bytes", most))
		return
	case err != nil:
		fail(w, http.StatusBadRequest, "the question did not arrive whole")
		return
	}
	ctx, cancel := context.WithTimeout(r.Context(), time)
	defer cancel()
	select {
	case h.queue <- struct{}{}:
		defer func() { <-h.queue }()
	default:
		fail(w, http.StatusServiceUnavailable, "too many questions at a time")
		return
	}
	// Each in its turn; those with many draws let others pass, and pages are made one at a
	// time.
	rooms := []chan struct{}{h.room}
	switch {
	case question == verifyQuestion:
		rooms = []chan struct{}{h.making}
	case draws(request) > explorer.DefaultDraws:
		rooms = []chan struct{}{h.large, h.room}
	}
	for _, room := range rooms {
		select {
		case room <- struct{}{}:
			defer func() { <-room }()
		case <-ctx.Done():
			fail(w, http.StatusServiceUnavailable, "too many questions at a time")
			return
		}
	}
	if question == verifyQuestion {
		send(w, jsonType, h.site.Verify(ctx, request))
		return
	}
	text, err := h.site.Explorer.Ask(ctx, question, request)
	status := http.StatusOK
	var fault *explorer.RequestError
	switch {
	case errors.As(err, &fault):
		status = http.StatusBadRequest
	case ctx.Err() != nil: // or whoever asked has gone, and reads nothing
		fail(w, http.StatusServiceUnavailable, fmt.Sprintf("the answer took longer than %v; fewer draws take less", answerTime))
		return
	case err != nil:
		status = http.StatusInternalServerError
	}
	w.Header().Set("Content-Type", jsonType)
	w.Header().Set("Content-Length", fmt.Sprint(len(text)))
	w.WriteHeader(status)
	w.Write(text)
}

// draws is how many bodies a question asks for; 0 where it does not say, or makes no sense,
// which takes no time to find out.
func draws(question []byte) int {
	var of struct {
		Draws int `json:"draws"`
	}
	json.Unmarshal(question, &of)
	return of.Draws
}

// showEvidence sends the evidence page of a saying, and makes it if nobody asked for
// it before.
func (h *server) showEvidence(w http.ResponseWriter, r *http.Request, file string) {
	// A page elsewhere could have them all made by showing them as pictures.
	if from := r.Header.Get("Sec-Fetch-Site"); from != "" && from != "same-origin" && from != "none" || foreign(r) {
		fail(w, http.StatusForbidden, "this page is made for this server's own pages only: open it from there, or type its address")
		return
	}
	name, isPage := strings.CutSuffix(file, ".html")
	names, err := h.site.names(r.Context())
	if err != nil {
		fail(w, http.StatusInternalServerError, err.Error())
		return
	}
	if !isPage || !slices.Contains(names, name) {
		fail(w, http.StatusNotFound, "there is no such page")
		return
	}
	text, err := h.make(r.Context(), name)
	if err != nil {
		fail(w, http.StatusInternalServerError, err.Error())
		return
	}
	w.Header().Set("Content-Security-Policy", page.Policy+"; frame-ancestors 'none'")
	send(w, types[".html"], text)
}

// make returns an evidence page. It is made on for others who wait, or may yet ask,
// where the first has gone.
func (h *server) make(ctx context.Context, name string) ([]byte, error) {
	h.mutex.Lock()
	m := h.evidence[name]
	if m == nil {
		m = &evidencePage{done: make(chan struct{})}
		h.evidence[name] = m
		go func() {
			h.making <- struct{}{}
			defer func() { <-h.making }()
			ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), evidenceTime)
			defer cancel()
			m.page, m.err = h.site.Evidence(ctx, name)
			if m.err != nil { // the next may have more luck
				h.mutex.Lock()
				delete(h.evidence, name)
				h.mutex.Unlock()
			}
			close(m.done)
		}()
	}
	h.mutex.Unlock()
	select {
	case <-m.done:
		return m.page, m.err
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// Listen opens a port of the loopback address, where no other machine gets at it; port
// 0 takes a free one.
func Listen(port int) (net.Listener, error) {
	return net.ListenTCP("tcp4", &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: port})
}

// Serve serves the site on a listener until the context ends, and lets questions at
// hand end. A listener that other machines reach is refused.
func (s *Site) Serve(ctx context.Context, l net.Listener) error {
	if at, ok := l.Addr().(*net.TCPAddr); !ok || !at.IP.IsLoopback() {
		l.Close()
		return fmt.Errorf("site: %s is no loopback address", l.Addr())
	}
	handler, err := s.Handler()
	if err != nil {
		l.Close()
		return err
	}
	server := &http.Server{
		Handler: handler, ReadHeaderTimeout: readTime, ReadTimeout: readTime, WriteTimeout: evidenceTime + readTime,
		IdleTimeout: idleTime, MaxHeaderBytes: mostHeader,
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.Background(), shutdownTime)
	defer cancel()
	if err := server.Shutdown(last); err != nil {
		server.Close()
	}
	return nil
}
