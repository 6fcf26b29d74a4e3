package page

import (
	"bytes"
	"context"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/app/claim/said"
	"counterpoise/internal/holds"
	"counterpoise/internal/outcome"
	"counterpoise/internal/provenance"
	"counterpoise/internal/stored"
	"counterpoise/internal/study"
	"counterpoise/internal/words"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/hold"
)

// testedClaim tests a claim with few bodies.
func testedClaim(t *testing.T, c *claim.Claim, n, draws int, others ...string) *Evidence {
	t.Helper()
	o := claim.DefaultOptions()
	o.N, o.Draws, o.Others = n, draws, others
	r, err := outcome.Test(context.Background(), c, o)
	if err != nil {
		t.Fatal(err)
	}
	assumed := c.Assumed()
	assumptions, ranges := map[string]float64{}, map[string][2]float64{}
	for id, x := range assumed.Centre {
		assumptions[assume.ID(id).String()] = x
		ranges[assume.ID(id).String()] = [2]float64{assumed.Low[id], assumed.High[id]}
	}
	stamp, err := provenance.NewStamp(map[string]any{"claim": stored.StoreClaim(c), "assumption_ranges": ranges}, o.Seed, datasets.Hashes(), assumptions)
	if err != nil {
		t.Fatal(err)
	}
	return &Evidence{Result: r, Stamp: stamp, Assumptions: assumed, Command: "claim test " + c.Name}
}

func shipped(t *testing.T, name string) *claim.Claim {
	t.Helper()
	c, err := study.ShippedClaim(name)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// piece is a stretch of a page's text with the elements around it.
type piece struct {
	text string
	in   []xml.StartElement // outermost first
}

// attribute returns the innermost value of an attribute around the piece.
func (p *piece) attribute(name string) (value string, element string, found bool) {
	for _, e := range slices.Backward(p.in) {
		for _, a := range e.Attr {
			if a.Name.Local == name {
				return a.Value, e.Name.Local, true
			}
		}
	}
	return "", "", false
}

func (p *piece) within(names ...string) bool {
	return slices.ContainsFunc(p.in, func(e xml.StartElement) bool { return slices.Contains(names, e.Name.Local) })
}

// pieces reads a page. It joins the text directly below one element.
func pieces(t *testing.T, text []byte) []piece {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(text))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var list []piece
	var in []xml.StartElement
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return list
		}
		if err != nil {
			t.Fatal(err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			in = append(in, token.Copy())
		case xml.EndElement:
			in = in[:len(in)-1]
		case xml.CharData:
			list = append(list, piece{string(token), slices.Clone(in)})
		}
	}
}

var numeral = regexp.MustCompile(`[−+±-]?\d+(,\d{3})*(\.\d+)?`)

// printed is a number as a page prints it.
func printed(t *testing.T, text string) (value float64, places int) {
	t.Helper()
	plain := strings.NewReplacer(",", "", "−", "-", "±", "", "+", "").Replace(text)
	value, err := strconv.ParseFloat(plain, 64)
	if err != nil {
		t.Fatalf("%q is no number: %v", text, err)
	}
	if _, fraction, found := strings.Cut(plain, "."); found {
		places = len(fraction)
	}
	return value, places
}

// rounds reports whether x printed with so many decimals can be v.
func rounds(x, v float64, places int) bool {
	return math.Abs(x-v) <= 0.5000001*math.Pow10(-places)
}

// leaves collects every number and every string of a tree.
func leaves(tree any, numbers *[]float64, texts *[]string) {
	switch node := tree.(type) {
	case map[string]any:
		for name, child := range node {
			*texts = append(*texts, name)
			if counts, ok := child.(map[string]any); ok && name == "verdicts" { // of draws, told as shares
				for _, count := range counts {
					*numbers = append(*numbers, count.(float64)/node["n"].(float64))
				}
			}
			leaves(child, numbers, texts)
		}
	case []any:
		for _, child := range node {
			leaves(child, numbers, texts)
		}
	case float64:
		*numbers = append(*numbers, node)
	case string:
		*texts = append(*texts, node)
	}
}

// carried reads the data blocks of a page.
func carried(t *testing.T, list []piece) map[string]any {
	t.Helper()
	data := map[string]any{}
	for _, p := range list {
		if id, element, ok := p.attribute("id"); ok && element == "script" && strings.TrimSpace(p.text) != "" {
			var tree any
			if err := json.Unmarshal([]byte(p.text), &tree); err != nil {
				t.Fatalf("%s: %v", id, err)
			}
			data[id] = tree
		}
	}
	return data
}

// fixed is what a page may say of numbers whatever came out.
var fixed = func() *strings.Replacer {
	list := []string{"5–95 %", "", "99 %", "", "95 %", "", "SHA-256", "", "2012 survey", "", "of 18 to 59", "", hold.PlatesOnStature, ""}
	for _, p := range hold.ForcePlates() {
		list = append(list, p.Study(), "")
	}
	return strings.NewReplacer(list...)
}()

// checkNumbers checks every number of a page against the data that it carries.
func checkNumbers(t *testing.T, page []byte, given []string) (marked int) {
	t.Helper()
	list := pieces(t, page)
	data := carried(t, list)
	var numbers []float64
	leaves(data, &numbers, &given)
	corpus := strings.Join(given, "\n")
	isLeaf := func(text string) bool {
		v, places := printed(t, text)
		return slices.ContainsFunc(numbers, func(x float64) bool {
			x = math.Abs(x)
			return rounds(x, math.Abs(v), places) || rounds(100*x, math.Abs(v), places)
		})
	}
	for _, p := range list {
		if p.within("svg", "script", "style", "head") || strings.TrimSpace(p.text) == "" {
			continue
		}
		text := strings.ReplaceAll(p.text, "\u00a0", " ")
		path, element, isField := p.attribute("data-field")
		_, _, isWords := p.attribute("data-words")
		_, _, isGiven := p.attribute("data-given")
		switch {
		case isField && element == "data":
			marked++
			checkDatum(t, &p, data, path, text)
		case isField:
			want, err := at(any(data), path)
			if err != nil || strings.ReplaceAll(fmt.Sprint(want), "\u00a0", " ") != text {
				t.Errorf("%s: the page says %q, its data %v (%v)", path, text, want, err)
			}
		case isWords, isGiven:
			for _, n := range numeral.FindAllString(fixed.Replace(text), -1) {
				if !isLeaf(n) && (isWords || !strings.Contains(corpus, n)) {
					t.Errorf("%s is nowhere in the page's data: %.90q", n, text)
				}
			}
		default:
			if value, _, ok := p.attribute("value"); ok && value == strings.TrimSpace(text) {
				continue // a number of things that the page lists
			}
			if rest := fixed.Replace(text); strings.ContainsAny(rest, "0123456789") {
				t.Errorf("a number stands outside what is marked: %q", text)
			}
		}
	}
	return marked
}

// wayOf finds which way an effect is said to go, and less are the ways of negative ones.
var (
	wayOf = regexp.MustCompile(`easier|harder|lower|higher|smaller|larger|closer|wider`)
	less  = []string{"easier", "lower", "smaller", "closer"}
)

// checkDatum checks one marked number against the value at its path.
func checkDatum(t *testing.T, p *piece, data map[string]any, path, text string) {
	t.Helper()
	found, err := at(any(data), path)
	if err != nil {
		t.Error(err)
		return
	}
	value, _, _ := p.attribute("value")
	if found == nil {
		if value != "" || text != "beyond reach" {
			t.Errorf("%s is null, the page says %q, value %q", path, text, value)
		}
		return
	}
	x, ok := found.(float64)
	exact, err := strconv.ParseFloat(value, 64)
	if !ok || err != nil || exact != x {
		t.Errorf("%s is %v, the page's value is %q", path, found, value)
		return
	}
	scale := 1.0
	if s, _, ok := p.attribute("data-scale"); ok {
		if scale, err = strconv.ParseFloat(s, 64); err != nil || math.Abs(scale) != 100 && scale != -1 {
			t.Errorf("%s: scale %q", path, s)
		}
	}
	if isLess := wayOf.FindString(text); isLess != "" && (scale < 0) != slices.Contains(less, isLess) {
		t.Errorf("%s is %v, the page says %q", path, x, text)
	}
	n := numeral.FindString(text)
	if text == "no change" {
		n = "0.0"
	}
	v, places := printed(t, n)
	switch {
	case strings.HasPrefix(text, "under "):
		ok = scale*x > 0 && scale*x < v
	case strings.HasPrefix(text, "over "):
		ok = scale*x > v && scale*x < 100
	case strings.HasPrefix(n, "±"):
		ok = rounds(scale*x, 0, places)
	case !strings.ContainsAny(n, ".,") && len(strings.Trim(n, "−+±-")) >= 4: // four digits in all
		ok = math.Abs(scale*x-v) <= 0.5*math.Pow10(int(math.Floor(math.Log10(math.Abs(v))))-3)
	default:
		ok = rounds(scale*x, v, places)
	}
	if !ok {
		t.Errorf("%s is %v, the page prints %q", path, x, text)
	}
	if strings.HasPrefix(n, "−") != (scale*x < 0 && v != 0) || strings.HasPrefix(n, "+") && x <= 0 {
		t.Errorf("%s is %v, the page prints the sign of %q", path, x, text)
	}
}

// givenTexts is what the program says of holds, assumptions and sources, whatever
// came out.
func givenTexts(e *Evidence) []string {
	list := []string{said.Reuse, words.ReuseAddress, words.Cautions, e.Stamp.Version, e.Stamp.StudyHash()}
	data, _ := e.Stamp.DataHash()
	list = append(list, data)
	for _, a := range assume.All() {
		list = append(list, a.Meaning, a.Unit, a.Source)
	}
	for _, h := range holds.All() {
		list = append(append(list, h.Description), h.LeavesOut...)
	}
	sources, _ := sourcesOf(e.Result.Claim)
	return append(list, sources...)
}

func TestEveryNumberIsOfTheSummary(t *testing.T) {
	for _, name := range []string{"longer-arms", "more-upper-body-muscle", "cross-reach", "front-lever-longer-arms", "push-up-knees", "push-up-tall", "hang-shows-flag-pull", "hands-as-wide-as-they-go"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var others []string
			if strings.HasPrefix(name, "push-up") { // one of a change and one of a contrast
				others = []string{"ansur2-women", "gymnasts-men"}
			}
			e := testedClaim(t, shipped(t, name), 3000, claim.LeastDraws, others...)
			var b bytes.Buffer
			if err := WriteEvidence(&b, e); err != nil {
				t.Fatal(err)
			}
			if marked := checkNumbers(t, b.Bytes(), givenTexts(e)); marked < 60 {
				t.Errorf("only %d numbers are marked", marked)
			}
			var again bytes.Buffer
			if err := WriteEvidence(&again, e); err != nil || !bytes.Equal(b.Bytes(), again.Bytes()) {
				t.Errorf("the same result gives another page (%v)", err)
			}
		})
	}
}

// A page that is tampered with is caught by the check, so that the check can fail.
func TestAWrongNumberIsFound(t *testing.T) {
	data := map[string]any{"summary": map[string]any{"x": 0.1234}}
	for _, c := range []struct {
		value, text string
		right       bool
	}{
		{"0.1234", "+0.123", true}, {"0.1234", "+0.124", false}, {"0.1234", "−0.123", false},
		{"0.1233", "+0.123", false}, {"0.1234", "0.12", true},
		{"0.1234", "0.12 harder", true}, {"0.1234", "0.12 easier", false}, {"0.1234", "no change", false},
	} {
		p := &piece{c.text, []xml.StartElement{{Name: xml.Name{Local: "data"}, Attr: []xml.Attr{{Name: xml.Name{Local: "value"}, Value: c.value}}}}}
		inner := &testing.T{}
		checkDatum(inner, p, data, "summary.x", c.text)
		if inner.Failed() == c.right {
			t.Errorf("%+v: found wrong: %v", c, inner.Failed())
		}
	}
}

var wayUnder = regexp.MustCompile(`(rises|falls) by ([\d.]+) BW[^;]*? in the model ([a-z-]+)`)

// Directions come from the sign of the result: with the change turned round they turn
// round too.
func TestMirroredClaim(t *testing.T) {
	longer := shipped(t, "longer-legs")
	longer.Matters = claim.Threshold{Absolute: 0.001} // which everybody's effect is above
	longer.People = longer.People[:1]                 // of whom one number is told
	shorter := *longer
	change := *longer.Change
	change.Body.Of[body.LegLength].Metres *= -1
	shorter.Change, shorter.Expect = &change, claim.Decrease
	ways := map[string][]string{}
	for _, c := range []*claim.Claim{longer, &shorter} {
		e := testedClaim(t, c, 3000, 0)
		quote := strings.ReplaceAll(said.Quotable(e.Result), "\u00a0", " ")
		if !strings.Contains(quote, map[claim.Direction]string{claim.Increase: "legs 5 cm longer", claim.Decrease: "legs 5 cm shorter"}[c.Expect]) {
			t.Errorf("the change is not in %q", quote)
		}
		found := wayUnder.FindAllStringSubmatch(strings.ReplaceAll(quote, " and ", "; "), -1)
		if len(found) != len(e.Result.Models) {
			t.Fatalf("%d of %d models in %q", len(found), len(e.Result.Models), quote)
		}
		for i, m := range e.Result.Models {
			effect := *m.Pooled.Draws.Effect.P50
			want := "rises"
			if effect < 0 {
				want = "falls"
			}
			if found[i][1] != want || found[i][3] != m.Name || found[i][2] != fmt.Sprintf("%.3f", math.Abs(effect)) {
				t.Errorf("%s: the effect is %g, said is %q", m.Name, effect, found[i][0])
			}
			ways[m.Name] = append(ways[m.Name], want)
			if headline := said.Headline(e.Result); !strings.Contains(headline, want+" by "+found[i][2]) {
				t.Errorf("%s: %q lacks %s by %s", m.Name, headline, want, found[i][2])
			}
		}
	}
	for name, w := range ways {
		if len(w) != 2 || w[0] == w[1] {
			t.Errorf("%s: longer and shorter legs both say %v", name, w)
		}
	}
}

func TestLibraryPage(t *testing.T) {
	var results []*outcome.Result
	var first *Evidence
	for _, name := range []string{"straddle", "cross-reach", "push-up-knees", "longer-arms", "l-sit-longer-arms"} {
		draws := 0
		if name == "longer-arms" { // which what nobody has measured moves both ways
			draws = claim.LeastDraws
		}
		e := testedClaim(t, shipped(t, name), 2000, draws, "gymnasts-men", "ansur2-women")
		results, first = append(results, e.Result), e
	}
	said.SortByHold(results)
	var b bytes.Buffer
	err := WriteLibrary(&b, &Overview{Results: results, Stamps: []provenance.Stamp{first.Stamp}, Address: func(name string) string { return name + "/evidence.html" }})
	if err != nil {
		t.Fatal(err)
	}
	if marked := checkNumbers(t, b.Bytes(), givenTexts(first)); marked < 6+2 { // rows, and the ends of one
		t.Errorf("only %d numbers are marked", marked)
	}
	last := -1
	for _, r := range results {
		at := strings.Index(b.String(), `<a href="`+r.Claim.Name+`/evidence.html"`)
		if at <= last {
			t.Errorf("%s is not linked, or not in the order of the results", r.Claim.Name)
		}
		last = at
	}
}
