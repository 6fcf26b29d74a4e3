package provenance

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
)

// FirstDifference says in what the origins of two outputs differ, in the order of
// what explains most, or nothing where they do not. inA and inB are words for
// where each is.
func FirstDifference(a, b *Stamp, inA, inB string) string {
	if list := Differences(a, b, inA, inB); len(list) > 0 {
		return list[0]
	}
	return ""
}

// Differences says likewise of code, seed, data, assumptions and study each in what
// they first differ.
func Differences(a, b *Stamp, inA, inB string) (list []string) {
	add := func(said string) {
		if said != "" {
			list = append(list, said)
		}
	}
	differ := func(what string, x, y any) { add(fmt.Sprintf("%s is %v %s, %v %s", what, x, inA, y, inB)) }
	switch x, y := codeOf(a), codeOf(b); {
	case a.Code != b.Code:
		differ("the code", x, y)
	case x != y:
		differ("the version", x, y)
	}
	if a.Seed != b.Seed {
		differ("the seed", a.Seed, b.Seed)
	}
	add(differentMaps(a.Data, b.Data, "the data set ", "the SHA-256 of the data set ", inA, inB))
	add(differentMaps(a.Assumptions, b.Assumptions, "the assumption ", "the assumption ", inA, inB))
	if where, x, y := DifferentJSON(a.Study, b.Study); where != "" {
		differ("the study's "+where, x, y)
	}
	return list
}

// codeOf says which code made an output.
func codeOf(s *Stamp) string {
	if s.Code == "" {
		return s.Tool + " " + s.Version + " of unrecorded sources"
	}
	return s.Tool + " " + s.Version + " of sources " + ShortHash(s.Code)
}

// differentMaps says which value of two maps, called thing or value, is in one of them
// only or not the same in both.
func differentMaps[V comparable](a, b map[string]V, thing, value, inA, inB string) string {
	for _, name := range keysOf(a, b) {
		x, inX := a[name]
		y, inY := b[name]
		switch {
		case !inX:
			return thing + name + " is not " + inA
		case !inY:
			return thing + name + " is not " + inB
		case x != y:
			return fmt.Sprintf("%s%s is %v %s, %v %s", value, name, x, inA, y, inB)
		}
	}
	return ""
}

// keysOf lists the keys of two maps, sorted.
func keysOf[V any](a, b map[string]V) []string {
	all := maps.Clone(a)
	if all == nil {
		all = map[string]V{}
	}
	maps.Copy(all, b)
	return slices.Sorted(maps.Keys(all))
}

// DifferentJSON returns the path to the first place where two JSON texts differ,
// keys in their order, and what stands there; an empty path where they do not.
func DifferentJSON(a, b []byte) (where, inA, inB string) {
	var x, y any
	if decode(a, &x) != nil || decode(b, &y) != nil {
		if bytes.Equal(a, b) {
			return "", "", ""
		}
		return "the text", short(string(a)), short(string(b))
	}
	return differentTree("", x, y)
}

func decode(text []byte, into *any) error {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	return d.Decode(into)
}

func differentTree(path string, x, y any) (where, inA, inB string) {
	switch x := x.(type) {
	case map[string]any:
		y, ok := y.(map[string]any)
		if !ok {
			break
		}
		for _, key := range keysOf(x, y) {
			at := strings.TrimPrefix(path+"."+key, ".")
			u, inX := x[key]
			v, inY := y[key]
			if !inX || !inY {
				return at, tree(u, inX), tree(v, inY)
			}
			if where, u, v := differentTree(at, u, v); where != "" {
				return where, u, v
			}
		}
		return "", "", ""
	case []any:
		y, ok := y.([]any)
		if !ok {
			break
		}
		for i := range max(len(x), len(y)) {
			at := fmt.Sprintf("%s[%d]", path, i)
			if i >= len(x) || i >= len(y) {
				var u, v any
				if i < len(x) {
					u = x[i]
				} else {
					v = y[i]
				}
				return at, tree(u, i < len(x)), tree(v, i < len(y))
			}
			if where, u, v := differentTree(at, x[i], y[i]); where != "" {
				return where, u, v
			}
		}
		return "", "", ""
	}
	if u, v := tree(x, true), tree(y, true); u != v || fmt.Sprintf("%T", x) != fmt.Sprintf("%T", y) {
		return cmp.Or(path, "the value"), u, v
	}
	return "", "", ""
}

func tree(x any, there bool) string {
	if !there {
		return "missing"
	}
	text, err := CanonicalJSON(x)
	if err != nil {
		return fmt.Sprint(x)
	}
	return short(string(text))
}

// short cuts a text that is long.
func short(text string) string {
	const most = 60
	if r := []rune(text); len(r) > most {
		return string(r[:most]) + "…"
	}
	return text
}

// DifferentValues says where two summaries first differ, as DifferentJSON does, but for where
// they come from.
func DifferentValues(a, b []byte) (where, inA, inB string) {
	return DifferentJSON(withoutStamps(a), withoutStamps(b))
}

// withoutStamps returns JSON without where it comes from.
func withoutStamps(text []byte) []byte {
	var tree map[string]json.RawMessage
	if json.Unmarshal(text, &tree) != nil {
		return text
	}
	delete(tree, "provenance")
	var claims []json.RawMessage
	if json.Unmarshal(tree["claims"], &claims) == nil {
		for i := range claims {
			claims[i] = withoutStamps(claims[i])
		}
		tree["claims"], _ = json.Marshal(claims) // of JSON, which cannot fail
	}
	rest, err := json.Marshal(tree)
	if err != nil {
		return text
	}
	return rest
}
