package provenance

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"
	"strings"
)

// CanonicalJSON writes v as JSON in the one form that equal values share: keys
// sorted, no space, no HTML escaping, floats in the shortest form that reads
// back as the same number, and a number of whole value without a decimal point
// whatever type it came from.
//
// It follows RFC 8785 except that integers keep all their digits instead of
// being rounded to 53 bits, keys sort by their UTF-8 bytes, and U+2028 and
// U+2029 stay escaped. It fails on NaN, infinities and types without a JSON form.
func CanonicalJSON(v any) ([]byte, error) {
	first, err := marshal(v)
	if err != nil {
		return nil, err
	}
	// Through plain maps and back: maps are written with sorted keys, structs
	// and raw messages are not.
	decoder := json.NewDecoder(bytes.NewReader(first))
	decoder.UseNumber()
	var tree any
	if err := decoder.Decode(&tree); err != nil {
		return nil, err
	}
	if tree, err = canonicalNumbers(tree); err != nil {
		return nil, err
	}
	return marshal(tree)
}

func marshal(v any) ([]byte, error) {
	var buffer bytes.Buffer
	encoder := json.NewEncoder(&buffer)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(v); err != nil {
		return nil, err
	}
	return bytes.TrimSuffix(buffer.Bytes(), []byte("\n")), nil
}

// canonicalNumbers replaces every number of tree by its canonical form.
func canonicalNumbers(tree any) (any, error) {
	var err error
	switch node := tree.(type) {
	case map[string]any:
		for key, value := range node {
			if node[key], err = canonicalNumbers(value); err != nil {
				return nil, err
			}
		}
	case []any:
		for i, value := range node {
			if node[i], err = canonicalNumbers(value); err != nil {
				return nil, err
			}
		}
	case json.Number:
		if node == "-0" {
			return json.Number("0"), nil
		}
		if !strings.ContainsAny(string(node), ".eE") {
			return node, nil
		}
		value, err := strconv.ParseFloat(string(node), 64)
		if err != nil {
			return nil, fmt.Errorf("number %s is out of range", node)
		}
		return value + 0, nil // + 0 turns −0 into 0
	}
	return tree, nil
}
