package notices

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

// known are licences by a sentence that only they have; a text is under the one whose
// sentence comes first.
var known = []struct{ name, sentence string }{
	{"Apache-2.0", `Apache License,? Version 2\.0|Apache License\s+Version 2\.0`},
	{"OFL-1.1", `SIL OPEN FONT LICENSE Version 1\.1`},
	{"FTL", `The FreeType Project LICENSE`},
	{"MIT", `Permission is hereby granted, free of charge`},
	{"ISC", `Permission to use, copy, modify, and/or distribute`},
	{"Unlicense", `This is free and unencumbered software`},
	{"BSL-1.0", `Boost Software License`},
	{"Zlib", `This software is provided 'as-is'`},
	{"CC0-1.0", `CC0 1\.0|Creative Commons Zero`},
	{"Unicode-3.0", `UNICODE LICENSE V3`},
	{"BSD-3-Clause", `Redistribution and use in source and binary forms[\s\S]{0,700}?[\s\S]{0,700}?(Neither the name|The names? of)`},
	{"BSD-2-Clause", `Redistribution and use in source and binary forms`},
}

// chosen are the licences of what leaves the choice to whoever uses it.
var chosen = map[string]struct{ licence, left string }{
	"github.com/golang/freetype": {"FTL", "licenses/gpl.txt"},
}

// isNotice are the files that licences ask to be carried.
var isNotice = regexp.MustCompile(`(?i)^(licen[cs]e|copying|notice|patents|authors|ofl)([-_.].*)?$`)

// licencesOf lists the licences that a text is or contains, in its order.
func licencesOf(text string) (list []string) {
	at := map[string]int{}
	for _, k := range known {
		if found := regexp.MustCompile(k.sentence).FindStringIndex(text); found != nil {
			at[k.name] = found[0]
		}
	}
	// The two clauses are the beginning of the three.
	if three, ok := at["BSD-3-Clause"]; ok && at["BSD-2-Clause"] == three {
		delete(at, "BSD-2-Clause")
	}
	for name := range at {
		list = append(list, name)
	}
	slices.SortFunc(list, func(a, b string) int { return at[a] - at[b] })
	return list
}

// add takes the notices of a folder into a part.
func (n *Notice) add(t *testing.T, root, folder string) {
	t.Helper()
	entries := golden.Must(os.ReadDir(folder))(t)
	for _, e := range entries {
		path := filepath.Join(folder, e.Name())
		if e.IsDir() && (e.Name() == "licenses" || e.Name() == "THIRD_PARTY_LICENSES") {
			files := golden.Must(os.ReadDir(path))(t)
			for _, f := range files {
				n.read(t, root, filepath.Join(path, f.Name()))
			}
		}
		if !e.IsDir() && isNotice.MatchString(e.Name()) && !strings.HasSuffix(e.Name(), ".go") {
			n.read(t, root, path)
		}
	}
}

func (n *Notice) read(t *testing.T, root, path string) {
	t.Helper()
	name := golden.Must(filepath.Rel(root, path))(t)
	name = filepath.ToSlash(name)
	if name == chosen[n.Name].left || slices.ContainsFunc(n.Texts, func(x Text) bool { return x.File == name }) {
		return
	}
	text := golden.Must(os.ReadFile(path))(t)
	n.Texts = append(n.Texts, Text{name, strings.ToValidUTF8(string(text), "\ufffd")})
	for _, l := range licencesOf(string(text)) {
		if n.Licence == "" {
			n.Licence = l
		}
		if l != n.Licence && !slices.Contains(n.Within, l) {
			n.Within = append(n.Within, l)
		}
	}
}

// collected makes the notices from what is linked, for every system that is built for.
func collected(t *testing.T) []Notice {
	t.Helper()
	type listed struct {
		Dir    string
		Module *struct {
			Path, Version, Dir string
			Main               bool
		}
	}
	parts := map[string]*Notice{}
	for _, build := range [][3]string{{"linux", "amd64", "counterpoise"}, {"darwin", "arm64", "counterpoise"}, {"windows", "amd64", "counterpoise"}, {"js", "wasm", "counterpoise-web"}, {"js", "wasm", "counterpoise-verify"}} {
		command := exec.Command("go", "list", "-deps", "-json=Dir,Module", "counterpoise/cmd/"+build[2])
		command.Env = append(os.Environ(), "GOOS="+build[0], "GOARCH="+build[1], "CGO_ENABLED=0")
		out, err := command.Output()
		if err != nil {
			t.Fatalf("go list: %v", err)
		}
		for d := json.NewDecoder(bytes.NewReader(out)); ; {
			var p listed
			if err := d.Decode(&p); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatal(err)
			}
			if p.Module == nil || p.Module.Main {
				continue
			}
			n := parts[p.Module.Path]
			if n == nil {
				n = &Notice{Name: p.Module.Path, Version: p.Module.Version, Licence: chosen[p.Module.Path].licence}
				parts[p.Module.Path] = n
				n.add(t, p.Module.Dir, p.Module.Dir)
			}
			// Parts of a module may be under another licence than the whole.
			for folder := p.Dir; folder != p.Module.Dir; folder = filepath.Dir(folder) {
				n.add(t, p.Module.Dir, folder)
			}
		}
	}
	root := golden.Must(exec.Command("go", "env", "GOROOT").Output())(t)
	goes := Notice{Name: "Go: standard library, runtime and the browsers' loader"}
	folder := strings.TrimSpace(string(root))
	goes.add(t, folder, folder)
	sobol := golden.Must(os.ReadFile("../../sim/montecarlo/sobol_joe_kuo.txt"))(t)
	var comment []string
	for _, line := range strings.Split(string(sobol), "\n") {
		if text, ok := strings.CutPrefix(line, "#"); ok {
			comment = append(comment, strings.TrimPrefix(text, " "))
		}
	}
	list := []Notice{goes}
	for _, n := range parts {
		slices.SortFunc(n.Texts, func(a, b Text) int { return strings.Compare(a.File, b.File) })
		slices.Sort(n.Within)
		list = append(list, *n)
	}
	text := strings.Join(comment, "\n") + "\n"
	list = append(list, Notice{Name: "Sobol' direction numbers of Joe and Kuo", Licence: licencesOf(text)[0], Texts: []Text{{"sim/montecarlo/sobol_joe_kuo.txt", text}}})
	slices.SortFunc(list[1:], func(a, b Notice) int { return strings.Compare(a.Name, b.Name) })
	return list
}

// The notices that are carried are those of the modules that are linked, at their versions,
// and each is under a licence that has a name.
func TestNoticesAreThoseOfWhatIsLinked(t *testing.T) {
	// What go list says is not seen by the cache of tests; the versions that it goes by are.
	if _, err := os.ReadFile("../../go.mod"); err != nil {
		t.Fatal(err)
	}
	want := collected(t)
	if *golden.Update {
		var b bytes.Buffer
		w := golden.Must(gzip.NewWriterLevel(&b, gzip.BestCompression))(t)
		golden.OK(t, errors.Join(json.NewEncoder(w).Encode(want), w.Close(), os.WriteFile("notices.json.gz", b.Bytes(), 0o666)))
		packed = b.Bytes()
	}
	have := golden.Must(All())(t)
	if len(want) < 40 {
		t.Errorf("%d parts only", len(want))
	}
	name := func(n Notice) string { return n.Name + " " + n.Version }
	for _, n := range want {
		if n.Licence == "" || len(n.Texts) == 0 {
			t.Errorf("%s: no licence was found that this test knows", name(n))
		}
		at := slices.IndexFunc(have, func(h Notice) bool { return name(h) == name(n) })
		switch {
		case at < 0:
			t.Errorf("%s is linked, and has no notice; go generate ./internal/notices", name(n))
		case !reflect.DeepEqual(have[at], n):
			t.Errorf("%s: the notice that is carried is another; go generate ./internal/notices", name(n))
		}
	}
	if len(have) != len(want) {
		t.Errorf("%d notices are carried of %d parts; go generate ./internal/notices", len(have), len(want))
	}
}

// Licences are told apart by their sentences.
func TestLicencesOf(t *testing.T) {
	const bsd = "Redistribution and use in source and binary forms, with or without modification"
	for text, want := range map[string][]string{
		"Apache License\n Version 2.0, January 2004":                          {"Apache-2.0"},
		bsd + " … Neither the name of the author":                             {"BSD-3-Clause"},
		bsd + " are permitted":                                                {"BSD-2-Clause"},
		"Permission is hereby granted, free of charge, to all\n" + bsd + " …": {"MIT", "BSD-2-Clause"},
		"All rights reserved.":                                                nil,
	} {
		if got := licencesOf(text); !slices.Equal(got, want) {
			t.Errorf("%.40q: %v, want %v", text, got, want)
		}
	}
}
