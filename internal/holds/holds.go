// Package holds finds holds by their names: the closed forms of sim/hold, and those that
// ship as descriptions. It reads no YAML, so that a program in a browser can carry it:
// the descriptions are embedded as JSON, which the tests of package study keep like the
// files in study/holds.
package holds

import (
	_ "embed"
	"encoding/json"
	"fmt"
	"sync"

	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/outline"
)

//go:embed shipped.json
var shipped []byte

// Shipped returns the descriptions that ship, in the order of their names. They are not
// to be changed.
var Shipped = sync.OnceValue(func() []*outline.Outline {
	var list []*outline.Outline
	if err := json.Unmarshal(shipped, &list); err != nil {
		panic(fmt.Sprintf("holds: shipped.json: %v", err)) // which a test reads
	}
	return list
})

// Names returns the name of every hold that the program ships, the closed forms first.
func Names() []string {
	return append(hold.Names(), names.Each(Shipped(), func(o *outline.Outline) string { return o.Name })...)
}

// All returns every hold that the program ships, in the order of Names.
func All() []*hold.Hold {
	return append(hold.All(), names.Each(Shipped(), compiled)...)
}

// Find returns the hold of a name.
func Find(name string) (*hold.Hold, bool) {
	if h, ok := hold.Parse(name); ok {
		return h, true
	}
	if o, ok := names.First(Shipped(), func(o *outline.Outline) bool { return o.Name == name }); ok {
		return compiled(o), true
	}
	return nil, false
}

// compiled returns the hold of a description that ships.
func compiled(o *outline.Outline) *hold.Hold {
	h, err := Of(o)
	if err != nil {
		panic(fmt.Sprintf("holds: %s: %v", o.Name, err)) // which a test reads
	}
	return h
}

// made keeps the holds of descriptions by their texts: the same text is the same hold.
var made sync.Map

// Of returns the hold of a description.
func Of(o *outline.Outline) (*hold.Hold, error) {
	if h, ok := made.Load(o.Text); ok && o.Text != "" {
		return h.(*hold.Hold), nil
	}
	h, err := o.Hold()
	if err != nil || o.Text == "" {
		return h, err
	}
	kept, _ := made.LoadOrStore(o.Text, h)
	return kept.(*hold.Hold), nil
}
