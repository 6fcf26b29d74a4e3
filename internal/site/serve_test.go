package site

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"counterpoise/internal/explorer"
	"counterpoise/internal/golden"
)

// newSite is a site with two sayings.
func newSite(evidence func(context.Context, string) ([]byte, error)) *Site {
	return &Site{
		Explorer: explorer.New(func() (explorer.Sayings, error) {
			return explorer.Sayings{Sayings: []explorer.Saying{
				{Name: "longer-arms", Says: "Longer arms make it harder.", Page: "sayings/longer-arms.html"},
				{Name: "no-page", Says: "Nobody knows."},
			}}, nil
		}),
		Evidence: evidence,
	}
}

func handler(t *testing.T, s *Site) http.Handler {
	t.Helper()
	return golden.Must(s.Handler())(t)
}

// do sends a request to the handler as one of its own page's.
func do(h http.Handler, method, target, body string, change ...func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, "http://127.0.0.1:8000/", strings.NewReader(body))
	r.URL.Path = target
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, c := range change {
		c(r)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

func set(name, value string) func(*http.Request) {
	return func(r *http.Request) { r.Header.Set(name, value) }
}

func host(name string) func(*http.Request) { return func(r *http.Request) { r.Host = name } }

func TestRequests(t *testing.T) {
	page := func(context.Context, string) ([]byte, error) { return []byte("<p>evidence"), nil }
	h := handler(t, newSite(page))
	const person = `{"person": {"sex": "male"}, "model": "equilibrium"}`
	for _, c := range []struct {
		name, method, target, body string
		change                     func(*http.Request)
		status                     int
		holds                      string
	}{
		{"page", "GET", "/", "", nil, 200, "<!doctype html>"},
		{"page by name", "GET", "/index.html", "", nil, 200, "<!doctype html>"},
		{"choice", "GET", "/transport-choice.js", "", nil, 200, "'http'"},
		{"localhost", "GET", "/", "", host("localhost:8000"), 200, ""},
		{"another port, as through a tunnel", "GET", "/", "", host("127.0.0.1:9"), 200, ""},
		{"IPv6", "GET", "/", "", host("[::1]:8000"), 200, ""},
		{"another name", "GET", "/", "", host("rebound.example:8000"), 403, "answers only to"},
		{"a name that begins alike", "GET", "/", "", host("127.0.0.1.example"), 403, ""},
		{"no name", "GET", "/", "", host(""), 403, ""},
		{"question under another name", "POST", "/api/catalogue", "{}", host("rebound.example"), 403, ""},
		{"out of its folder", "GET", "/../site.go", "", nil, 404, ""},
		{"out of its folder again", "GET", "/page/../../go.mod", "", nil, 404, ""},
		{"folder", "GET", "/page/index.html", "", nil, 404, ""},
		{"posted page", "POST", "/", "", nil, 405, ""},
		{"deleted page", "DELETE", "/index.html", "", nil, 405, ""},
		{"question", "POST", "/api/pose", person, nil, 200, `"possible":true`},
		{"question in a charset", "POST", "/api/pose", person, set("Content-Type", "application/json; charset=utf-8"), 200, ""},
		{"question by GET", "GET", "/api/pose", "", nil, 405, "POST"},
		{"question as a form", "POST", "/api/pose", person, set("Content-Type", "text/plain"), 415, ""},
		{"question from another page", "POST", "/api/pose", person, set("Sec-Fetch-Site", "cross-site"), 403, ""},
		{"question from another origin", "POST", "/api/pose", person, set("Origin", "http://elsewhere.example"), 403, ""},
		{"unknown question", "POST", "/api/anything", "{}", nil, 404, "catalogue"},
		{"question below a question", "POST", "/api/pose/x", person, nil, 404, ""},
		{"bad question", "POST", "/api/pose", `{"person": {}}`, nil, 400, `"field":"person.sex"`},
		{"long question", "POST", "/api/pose", strings.Repeat(" ", mostRequest+1), nil, 413, "at most 65536 bytes"},
		{"sayings", "POST", "/api/sayings", "{}", nil, 200, "longer-arms"},
		{"evidence", "GET", "/sayings/longer-arms.html", "", nil, 200, "<p>evidence"},
		{"evidence from its own page", "GET", "/sayings/longer-arms.html", "", set("Sec-Fetch-Site", "same-origin"), 200, "<p>evidence"},
		{"evidence by its address", "GET", "/sayings/longer-arms.html", "", set("Sec-Fetch-Site", "none"), 200, "<p>evidence"},
		{"evidence linked to here", "GET", "/sayings/longer-arms.html", "", set("Referer", "http://example.com/index.html"), 403, "own pages"},
		{"evidence from another page", "GET", "/sayings/longer-arms.html", "", set("Sec-Fetch-Site", "cross-site"), 403, "own pages"},
		{"evidence from another port", "GET", "/sayings/longer-arms.html", "", set("Sec-Fetch-Site", "same-site"), 403, "own pages"},
		{"evidence from another origin", "GET", "/sayings/longer-arms.html", "", set("Origin", "http://elsewhere.example"), 403, "own pages"},
		{"evidence from nowhere", "GET", "/sayings/longer-arms.html", "", set("Origin", "null"), 403, "own pages"},
		{"no evidence", "GET", "/sayings/no-page.html", "", nil, 404, ""},
		{"no such evidence", "GET", "/sayings/../index.html", "", nil, 404, ""},
		{"evidence without its end", "GET", "/sayings/longer-arms", "", nil, 404, ""},
	} {
		change := c.change
		if change == nil {
			change = func(*http.Request) {}
		}
		w := do(h, c.method, c.target, c.body, change)
		if w.Code != c.status || !strings.Contains(w.Body.String(), c.holds) {
			t.Errorf("%s: status %d, want %d; %.200s", c.name, w.Code, c.status, w.Body)
		}
		if crossOrigin := w.Code == 403 && w.Header().Get("Content-Security-Policy") == ""; crossOrigin {
			continue // refused before this server saw it
		}
		for name, want := range map[string]string{"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer"} {
			if got := w.Header().Get(name); got != want {
				t.Errorf("%s: %s is %q", c.name, name, got)
			}
		}
		csp := w.Header().Get("Content-Security-Policy")
		if inline := strings.Contains(csp, "unsafe-inline"); inline != (c.holds == "<p>evidence") || strings.Contains(csp, "unsafe-eval'") && !strings.Contains(csp, "wasm-unsafe-eval'") || !strings.Contains(csp, "frame-ancestors 'none'") {
			t.Errorf("%s: policy %q", c.name, csp)
		}
		if c.status == 405 && w.Header().Get("Allow") == "" {
			t.Errorf("%s: what is allowed: not said", c.name)
		}
	}
}

// A question with many draws waits for its turn and leaves room for the others; more than
// can be waited for are refused.
func TestQuestionsWaitInTurn(t *testing.T) {
	h := golden.Must(newSite(nil).server())(t)
	if cap(h.room) > mostAtATime || cap(h.large) > 1 && cap(h.large) >= cap(h.room) {
		t.Errorf("room for %d questions, %d of them large", cap(h.room), cap(h.large))
	}
	asked := func(draws string) int {
		return do(h, "POST", "/api/answer", `{"draws": `+draws+`, "person": {"sex": "male"}}`).Code
	}
	if code := asked("500000"); code != 400 {
		t.Errorf("a question with half a million draws: status %d", code)
	}
	for range cap(h.large) {
		h.large <- struct{}{}
	}
	late := make(chan int, 1)
	go func() { late <- asked("2001") }()
	for len(h.queue) == 0 {
		time.Sleep(time.Millisecond)
	}
	if code := asked("1000"); code != 200 || len(late) > 0 {
		t.Errorf("a quick question beside large ones: status %d; %d large are answered", code, len(late))
	}
	<-h.large
	if code := <-late; code != 200 {
		t.Errorf("a large question in its turn: status %d", code)
	}
	for range cap(h.queue) {
		h.queue <- struct{}{}
	}
	if code := asked("1000"); code != 503 {
		t.Errorf("one question too many: status %d", code)
	}
}

// What comes over HTTP is what the explorer answers, byte for byte.
func TestTheServerAddsNothing(t *testing.T) {
	s := &Site{Explorer: explorer.New(nil)}
	h := handler(t, s)
	for _, q := range questionsToCompare {
		text, err := s.Explorer.Ask(t.Context(), q[0], []byte(q[1]))
		if err != nil && !errors.As(err, new(*explorer.RequestError)) {
			t.Fatal(err)
		}
		if w := do(h, "POST", "/api/"+q[0], q[1]); !bytes.Equal(w.Body.Bytes(), text) {
			t.Errorf("%s %s:\n%.300s\nthe explorer says\n%.300s", q[0], q[1], w.Body, text)
		}
	}
}

func TestFilesAreAskedForAgainByTheirTag(t *testing.T) {
	h := handler(t, newSite(nil))
	first := do(h, "GET", "/index.html", "")
	tag := first.Header().Get("ETag")
	if again := do(h, "GET", "/index.html", "", set("If-None-Match", tag)); tag == "" || again.Code != 304 || again.Body.Len() > 0 {
		t.Errorf("tag %s: status %d, %d bytes", tag, again.Code, again.Body.Len())
	}
}

// A page of evidence is made once, however many ask at the same time, and again only
// where it failed.
func TestEvidenceIsMadeOnce(t *testing.T) {
	var times atomic.Int32
	begin := make(chan struct{})
	h := handler(t, newSite(func(context.Context, string) ([]byte, error) {
		<-begin
		if times.Add(1) == 1 {
			return nil, errors.New("the disk is full")
		}
		return []byte("evidence"), nil
	}))
	together := func() (statuses [8]int) {
		var wait sync.WaitGroup
		for i := range statuses {
			wait.Go(func() { statuses[i] = do(h, "GET", "/sayings/longer-arms.html", "").Code })
		}
		wait.Wait()
		return
	}
	close(begin)
	together()
	if last := do(h, "GET", "/sayings/longer-arms.html", ""); last.Code != 200 || last.Body.String() != "evidence" {
		t.Errorf("after the failure: %d %s", last.Code, last.Body)
	}
	n := times.Load()
	if statuses := together(); statuses[0] != 200 || times.Load() != n {
		t.Errorf("%v, made %d times, before %d times", statuses, times.Load(), n)
	}
}

// A page of evidence may be larger than a question, and is verified by who is asked to.
func TestVerifyQuestion(t *testing.T) {
	page := `{"page": "` + strings.Repeat("x", 2*mostRequest) + `"}`
	s := newSite(nil)
	if w := do(handler(t, s), "POST", "/api/verify", page); w.Code != http.StatusNotFound {
		t.Errorf("nobody verifies: %d %s", w.Code, w.Body)
	}
	s.Verify = func(_ context.Context, request []byte) []byte { return fmt.Appendf(nil, `{"read": %d}`, len(request)) }
	h := handler(t, s)
	if w := do(h, "POST", "/api/verify", page); w.Code != 200 || w.Body.String() != fmt.Sprintf(`{"read": %d}`, len(page)) {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if w := do(h, "POST", "/api/verify", strings.Repeat("x", mostPage+1)); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("too large: %d %s", w.Code, w.Body)
	}
	if w := do(h, "POST", "/api/verify", page, set("Origin", "http://elsewhere.example")); w.Code != http.StatusForbidden {
		t.Errorf("asked from elsewhere: %d %s", w.Code, w.Body)
	}
}

// Whoever opens many pages of evidence waits for them one after another.
func TestEvidenceIsMadeOneAtATime(t *testing.T) {
	var making, most atomic.Int32
	sayings := explorer.Sayings{}
	for i := range 8 {
		name := fmt.Sprintf("saying-%d", i)
		sayings.Sayings = append(sayings.Sayings, explorer.Saying{Name: name, Page: "sayings/" + name + ".html"})
	}
	h := handler(t, &Site{
		Explorer: explorer.New(func() (explorer.Sayings, error) { return sayings, nil }),
		Evidence: func(_ context.Context, name string) ([]byte, error) {
			if now := making.Add(1); now > most.Load() {
				most.Store(now)
			}
			defer making.Add(-1)
			for range 1000 {
				runtime.Gosched() // so that others would come in between
			}
			return []byte(name), nil
		},
	})
	var wait sync.WaitGroup
	for _, saying := range sayings.Sayings {
		wait.Go(func() {
			if w := do(h, "GET", "/"+saying.Page, ""); w.Code != 200 || w.Body.String() != saying.Name {
				t.Errorf("%s: %d %s", saying.Name, w.Code, w.Body)
			}
		})
	}
	wait.Wait()
	if most.Load() != 1 {
		t.Errorf("%d at a time", most.Load())
	}
}

func TestServeAnswersAndEnds(t *testing.T) {
	l := golden.Must(Listen(0))(t)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan error)
	go func() { ended <- newSite(nil).Serve(ctx, l) }()
	response := golden.Must(http.Post("http://"+l.Addr().String()+"/api/catalogue", "application/json", strings.NewReader("{}")))(t)
	text, err := io.ReadAll(response.Body)
	response.Body.Close()
	if err != nil || !json.Valid(text) || response.StatusCode != 200 {
		t.Errorf("status %d, %v: %.100s", response.StatusCode, err, text)
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if _, err := net.Dial("tcp", l.Addr().String()); err == nil {
		t.Error("the port is still open")
	}
}

func TestOtherMachinesAreRefused(t *testing.T) {
	l, err := net.Listen("tcp4", "0.0.0.0:0")
	if err != nil {
		t.Skip("no port to be had: ", err)
	}
	if err := newSite(nil).Serve(t.Context(), l); err == nil || !strings.Contains(err.Error(), "no loopback address") {
		t.Error(err)
	}
}
