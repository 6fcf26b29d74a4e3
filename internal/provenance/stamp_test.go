package provenance

import (
	"encoding/json"
	"math"
	"os"
	"reflect"
	"runtime/debug"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

func TestCanonicalJSON(t *testing.T) {
	type study struct {
		Zeta  float64
		Alpha string
	}
	tests := []struct {
		name string
		in   any
		want string
	}{
		{"struct fields are sorted", study{2.5, "hold"}, `{"Alpha":"hold","Zeta":2.5}`},
		{"nested raw message", map[string]any{"b": json.RawMessage(`{ "y":1.50, "x":[3.0,2e1] }`), "a": 7},
			`{"a":7,"b":{"x":[3,20],"y":1.5}}`},
		{"no HTML escaping", "F > 1 & M < 2", `"F > 1 & M < 2"`},
		{"whole floats and integers agree", []any{3.0, 3, json.Number("3.000")}, `[3,3,3]`},
		{"shortest float", []any{0.1, float32(0.1), 1.0 / 3, 9.80665}, `[0.1,0.1,0.3333333333333333,9.80665]`},
		{"no negative zero", []any{math.Copysign(0, -1), json.RawMessage("-0"), json.RawMessage("-0.0")}, `[0,0,0]`},
		{"integers keep every digit", []any{uint64(math.MaxUint64), int64(math.MinInt64)},
			`[18446744073709551615,-9223372036854775808]`},
		// RFC 8785, section 3.2.2, the sample's array of numbers, as printed
		// there (written from memory).
		{"RFC 8785 numbers", json.RawMessage(`[333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001]`),
			`[333333333.3333333,1e+30,4.5,0.002,1e-27]`},
		{"letters outside ASCII", "N·m ± ½", `"N·m ± ½"`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := golden.Must(CanonicalJSON(test.in))(t)
			if string(got) != test.want {
				t.Errorf("got  %s\nwant %s", got, test.want)
			}
			again, err := CanonicalJSON(json.RawMessage(got))
			if err != nil || string(again) != string(got) {
				t.Errorf("not a fixed point: %s, %v", again, err)
			}
		})
	}
}

func TestCanonicalJSONRefuses(t *testing.T) {
	for _, bad := range []any{math.NaN(), math.Inf(1), []float64{1.5, math.Inf(-1)}, func() {}, json.RawMessage("1.5e999"), json.RawMessage("{")} {
		if got, err := CanonicalJSON(bad); err == nil {
			t.Errorf("wrote %s", got)
		}
	}
}

func TestStamp(t *testing.T) {
	stampOnce := func() Stamp {
		stamp := golden.Must(NewStamp(
			map[string]any{"hold": "human-flag", "bodies": 2000},
			math.MaxUint64,
			map[string]string{"men": "ab12", "elders": "cd34"},
			map[string]float64{"top_share": 0.5, "grip_reach": 0.55},
		))(t)
		return stamp
	}
	stamp := stampOnce()
	got := golden.Must(stamp.KeyValues())(t)
	want := []KeyValue{
		{"counterpoise.version", "counterpoise " + Version()},
		{"counterpoise.study", `{"bodies":2000,"hold":"human-flag"}`},
		{"counterpoise.seed", "18446744073709551615"},
		{"counterpoise.data", `{"elders":"cd34","men":"ab12"}`},
		{"counterpoise.assumptions", `{"grip_reach":0.55,"top_share":0.5}`},
	}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}

	first := golden.Must(CanonicalJSON(stamp))(t)
	second := golden.Must(CanonicalJSON(stampOnce()))(t)
	if string(first) != string(second) {
		t.Errorf("two stamps of one study differ:\n%s\n%s", first, second)
	}
	var back Stamp
	golden.OK(t, json.Unmarshal(first, &back))
	if !reflect.DeepEqual(back, stamp) {
		t.Errorf("read back %+v, want %+v", back, stamp)
	}
	stamp.Code = "0123abcd"
	pairs := golden.Must(stamp.KeyValues())(t)
	if back, err := StampFrom(pairs); err != nil || !reflect.DeepEqual(back, stamp) {
		t.Errorf("read back %+v, %v, want %+v", back, err, stamp)
	}
	host, err := os.Hostname()
	if err != nil {
		t.Skip("no host name to look for: ", err)
	}
	if len(host) > 4 && strings.Contains(string(first), host) {
		t.Errorf("the stamp names the host: %s", first)
	}
}

func TestStampRefuses(t *testing.T) {
	if _, err := NewStamp(math.NaN(), 5, nil, nil); err == nil || !strings.Contains(err.Error(), "study") {
		t.Errorf("study NaN: error %v", err)
	}
	if _, err := NewStamp("claim", 5, nil, map[string]float64{"delta": math.Inf(1)}); err == nil || !strings.Contains(err.Error(), "assumptions") {
		t.Errorf("assumption +Inf: error %v", err)
	}
}

func TestVersion(t *testing.T) {
	build := func(version string, settings ...debug.BuildSetting) *debug.BuildInfo {
		return &debug.BuildInfo{Main: debug.Module{Version: version}, Settings: settings}
	}
	revision := debug.BuildSetting{Key: "vcs.revision", Value: "0123456789abcdef0123456789abcdef01234567"}
	when := debug.BuildSetting{Key: "vcs.time", Value: "2031-02-03T04:05:06Z"}
	const plain, sources = "", "fedcba9876543210fedcba9876543210fedcba98"
	tests := []struct {
		info *debug.BuildInfo
		code string
		want string
	}{
		{build(""), plain, "unversioned"},
		{build("(devel)"), plain, "unversioned"},
		{build("(devel)"), sources, "sources-fedcba987654"},
		{build("(devel)", revision, when), plain, "revision-0123456789ab"},
		{build("(devel)", revision, when), sources, "revision-0123456789ab"},
		{build("(devel)", revision, debug.BuildSetting{Key: "vcs.modified", Value: "true"}), plain, "revision-0123456789ab-modified"},
		{build("(devel)", revision, debug.BuildSetting{Key: "vcs.modified", Value: "false"}), plain, "revision-0123456789ab"},
		{build("(devel)", debug.BuildSetting{Key: "vcs.revision", Value: "42"}), plain, "revision-42"},
		{build("v0.0.0-20310203040506-0123456789ab", revision), plain, "revision-0123456789ab"},
		{build("v0.0.0-20310203040506-0123456789ab+dirty"), plain, "revision-0123456789ab-modified"},
		{build("v1.4.3-0.20310203040506-0123456789ab"), plain, "v1.4.3-0.20310203040506-0123456789ab"},
		{build("v1.4.2", revision), sources, "v1.4.2"},
	}
	for _, test := range tests {
		if got := versionOf(test.info, func() string { return test.code }); got != test.want {
			t.Errorf("got %q, want %q", got, test.want)
		}
	}
	version = "v2.0.0"
	defer func() { version = "" }()
	if got := Version(); got != "v2.0.0" {
		t.Errorf("linked with a version: %q", got)
	}
}
