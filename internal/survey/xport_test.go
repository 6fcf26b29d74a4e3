package survey

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/golden"
)

func TestIBMFloat(t *testing.T) {
	for _, test := range []struct {
		text string
		want float64
	}{
		{"c276a00000000000", -118.625},            // the usual worked example, as in Wikipedia's "IBM hexadecimal floating-point"
		{"7fffffffffffffff", math.Ldexp(1, 252)},  // 16^63·(1-16^-14), rounded to float64
		{"0010000000000000", math.Ldexp(1, -260)}, // 16^-65, the least normalised number
		{"4110000000000000", 1},
		{"4026666666666666", 0.15}, // the nearest to 0.15 of both formats
		{"4280", 128},              // cut off to two bytes
		{"c41a85", -6789},
		{"0000000000000000", 0},
		{"8000000000000000", 0},
		{"2e00000000000000", math.NaN()}, // missing: .
		{"4100000000000000", math.NaN()}, // missing: .A
		{"5a00000000000000", math.NaN()}, // missing: .Z
		{"5f00000000000000", math.NaN()}, // missing: ._
	} {
		text := golden.Must(hex.DecodeString(test.text))(t)
		got := ibmFloat(text)
		if math.IsNaN(test.want) {
			if !math.IsNaN(got) {
				t.Errorf("%s: %g, want a missing value", test.text, got)
			}
			continue
		}
		if got != test.want {
			t.Errorf("%s: %v, want %v", test.text, got, test.want)
		}
	}
}

// CDC's documentation of NHANES 2003-2004 demographics: 10,122 people
// interviewed, of them 9,643 examined (an examination weight above 0).
func TestTransportFile(t *testing.T) {
	file := golden.Must(readRaw(rawFiles(t), "nhanes-bmx-demo/DEMO_C.XPT.gz", ""))(t)
	demo := golden.Must(parseTransport(file.text))(t)
	if demo.rows != 10122 || len(demo.columns) != 44 {
		t.Errorf("%d rows of %d columns, want 10122 of 44", demo.rows, len(demo.columns))
	}
	total, examined := 0.0, 0
	for _, w := range demo.columns["WTMEC2YR"] {
		if total += w; w > 0 {
			examined++
		}
	}
	if examined != 9643 {
		t.Errorf("%d people examined, want 9643", examined)
	}
	// The weights stand for everybody not in an institution: 286.2 million by
	// the Census's count for these years (from memory).
	if math.Abs(total/286.2e6-1) > 0.002 {
		t.Errorf("the weights stand for %.1f million people", total/1e6)
	}
	for i, number := range demo.columns["SEQN"] {
		if number != 21005+float64(i) {
			t.Fatalf("person %d has number %v, want %d", i, number, 21005+i)
		}
	}
	for _, cut := range []int{0, 79, 80, 640, 700, 3000, 7000} {
		if _, err := parseTransport(file.text[:cut]); err == nil {
			t.Errorf("a file cut off after %d bytes gave no error", cut)
		}
	}
}

// transportOf writes a transport file with one short numeric and one text
// variable.
func transportOf(rows [][]byte) []byte {
	var text bytes.Buffer
	record := func(s string) { text.WriteString(s + strings.Repeat(" ", xportRecord-len(s))) }
	record("HEADER RECORD*******LIBRARY HEADER RECORD!!!!!!!000000000000000000000000000000")
	record("")
	record("")
	record("HEADER RECORD*******MEMBER  HEADER RECORD!!!!!!!000000000000000001600000000140")
	record("HEADER RECORD*******DSCRPTR HEADER RECORD!!!!!!!000000000000000000000000000000")
	record("")
	record("")
	record("HEADER RECORD*******NAMESTR HEADER RECORD!!!!!!!000000000200000000000000000000")
	for _, v := range []struct {
		kind, length uint16
		name         string
		position     uint32
	}{{1, 3, "X       ", 0}, {2, 2, "NAME    ", 3}} {
		d := make([]byte, xportVariable)
		binary.BigEndian.PutUint16(d[0:], v.kind)
		binary.BigEndian.PutUint16(d[4:], v.length)
		copy(d[8:], v.name)
		binary.BigEndian.PutUint32(d[84:], v.position)
		text.Write(d)
	}
	text.Write(bytes.Repeat([]byte(" "), 4*xportRecord-2*xportVariable))
	record("HEADER RECORD*******OBS     HEADER RECORD!!!!!!!000000000000000000000000000000")
	n := 0
	for _, row := range rows {
		text.Write(row)
		n += len(row)
	}
	text.Write(bytes.Repeat([]byte(" "), (xportRecord-n%xportRecord)%xportRecord))
	return text.Bytes()
}

func TestTransportShortRows(t *testing.T) {
	// A row of five bytes: the blanks that fill the last record could pass for
	// more rows.
	text := transportOf([][]byte{[]byte("\xc4\x1a\x85ab"), []byte(".\x00\x00  "), []byte("\x42\x80\x00cd")})
	got := golden.Must(parseTransport(text))(t)
	x := got.columns["X"]
	if got.rows != 3 || len(got.columns) != 1 || x[0] != -6789 || !math.IsNaN(x[1]) || x[2] != 128 {
		t.Errorf("%d rows, columns %v; want -6789, NaN, 128", got.rows, got.columns)
	}
}

func FuzzTransport(f *testing.F) {
	f.Add(transportOf([][]byte{[]byte("\xc4\x1a\x85ab")}))
	f.Add(transportOf(nil)[:900])
	f.Fuzz(func(t *testing.T, text []byte) {
		if got, err := parseTransport(text); err == nil {
			for name, column := range got.columns {
				if len(column) != got.rows {
					t.Errorf("column %s has %d of %d rows", name, len(column), got.rows)
				}
			}
		}
	})
}
