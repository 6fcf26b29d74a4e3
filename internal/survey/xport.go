package survey

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// transport is the one data set of a SAS transport file, version 5: columns of
// numbers by name, NaN where a value is missing. Columns of text are left out.
type transport struct {
	columns map[string][]float64
	rows    int
}

// The format is that of SAS technical support document TS-140, "The record
// layout of a SAS transport data set".
const (
	xportRecord   = 80  // everything comes in records of this many bytes
	xportVariable = 140 // the description of a variable
)

func parseTransport(text []byte) (*transport, error) {
	if len(text)%xportRecord != 0 {
		return nil, errors.New("SAS transport file ends early: its length is no whole number of records")
	}
	position := 0
	record := func() ([]byte, error) {
		if position+xportRecord > len(text) {
			return nil, errors.New("SAS transport file ends early")
		}
		position += xportRecord
		return text[position-xportRecord : position], nil
	}
	// The headers before the variables: of the library and its two records, of
	// the member, of its descriptor and its two records, of the variables. Those
	// that say what follows are checked.
	var header []byte
	for _, want := range []string{"LIBRARY", "", "", "MEMBER", "DSCRPTR", "", "", "NAMESTR"} {
		var err error
		if header, err = record(); err != nil {
			return nil, err
		}
		if want != "" && !bytes.HasPrefix(header, fmt.Appendf(nil, "HEADER RECORD*******%-8sHEADER RECORD!!!!!!!", want)) {
			return nil, fmt.Errorf("no SAS transport file of version 5: the %s header is missing", want)
		}
		if want == "MEMBER" && strings.TrimSpace(string(header[74:78])) != "0140" {
			return nil, errors.New("SAS transport file with variable descriptions of an unknown length")
		}
	}
	count, err := strconv.Atoi(string(header[54:58]))
	if err != nil || count == 0 {
		return nil, errors.New("SAS transport file without a number of variables")
	}
	type variable struct {
		name             string
		numeric          bool
		length, position int
	}
	variables := make([]variable, count)
	if position+count*xportVariable > len(text) {
		return nil, errors.New("SAS transport file ends early")
	}
	rowLength := 0
	for i := range variables {
		v := text[position+i*xportVariable:]
		variables[i] = variable{
			numeric:  binary.BigEndian.Uint16(v[0:]) == 1,
			length:   int(binary.BigEndian.Uint16(v[4:])),
			name:     strings.TrimSpace(string(v[8:16])),
			position: int(binary.BigEndian.Uint32(v[84:])),
		}
		if n := variables[i].length; n == 0 || variables[i].numeric && (n < 2 || n > 8) {
			return nil, fmt.Errorf("SAS transport file: variable %s has length %d", variables[i].name, n)
		}
		rowLength = max(rowLength, variables[i].position+variables[i].length)
	}
	// The descriptions are filled up to whole records.
	position += (count*xportVariable + xportRecord - 1) / xportRecord * xportRecord
	if header, err = record(); err != nil {
		return nil, err
	}
	if !bytes.HasPrefix(header, []byte("HEADER RECORD*******OBS     HEADER RECORD!!!!!!!")) {
		return nil, errors.New("SAS transport file: the OBS header is missing")
	}
	data := text[position:]
	rows := len(data) / rowLength
	// Blanks fill the last record, at most one short of all of it; where rows are
	// short they may look like rows.
	for rows > 0 && len(data)-(rows-1)*rowLength < xportRecord && len(bytes.Trim(data[(rows-1)*rowLength:rows*rowLength], " ")) == 0 {
		rows--
	}
	t := &transport{columns: map[string][]float64{}, rows: rows}
	for _, v := range variables {
		if !v.numeric {
			continue
		}
		column := make([]float64, rows)
		for i := range column {
			column[i] = ibmFloat(data[i*rowLength+v.position:][:v.length])
		}
		t.columns[v.name] = column
	}
	return t, nil
}

// ibmFloat decodes a floating-point number of the IBM System/360: a sign bit,
// seven bits of exponent of 16 in excess 64, and a fraction below one of up to
// 56 bits, of which a file may leave out the last bytes. A missing value, NaN
// here, is a letter, dot or underscore followed by zeros. The fraction may lose
// its last three bits to rounding, float64 having only 53.
func ibmFloat(text []byte) float64 {
	var all [8]byte
	copy(all[:], text)
	bits := binary.BigEndian.Uint64(all[:])
	fraction := bits & (1<<56 - 1)
	if fraction == 0 {
		if all[0] == '.' || all[0] == '_' || all[0] >= 'A' && all[0] <= 'Z' {
			return math.NaN()
		}
		return 0
	}
	value := math.Ldexp(float64(fraction), 4*(int(all[0]&0x7f)-64)-56)
	if all[0]&0x80 != 0 {
		return -value
	}
	return value
}
