package page

import (
	"encoding/json"
	"fmt"
	"html/template"
	"math"
	"strconv"
	"strings"

	"counterpoise/internal/words"
	"counterpoise/sim/hold"
)

// teller prints numbers out of the JSON that a page carries, each marked with its
// exact value and the path at which it stands there, so that a page cannot say a
// number that its data do not hold.
type teller struct{ tree any }

// newTeller reads what a page carries.
func newTeller(carried any) (*teller, error) {
	text, err := json.Marshal(carried)
	if err != nil {
		return nil, err
	}
	t := &teller{}
	return t, json.Unmarshal(text, &t.tree)
}

// at finds the value at a path of keys and indices joined by dots.
func at(tree any, path string) (any, error) {
	for step := range strings.SplitSeq(path, ".") {
		switch node := tree.(type) {
		case map[string]any:
			next, ok := node[step]
			if !ok {
				return nil, fmt.Errorf("page: %s: no %q", path, step)
			}
			tree = next
		case []any:
			i, err := strconv.Atoi(step)
			if err != nil || i < 0 || i >= len(node) {
				return nil, fmt.Errorf("page: %s: no item %q of %d", path, step, len(node))
			}
			tree = node[i]
		default:
			return nil, fmt.Errorf("page: %s: nothing below %q", path, step)
		}
	}
	return tree, nil
}

// printer turns a number of one kind into text; scale is what the text's number is
// of the value.
type printer struct {
	scale float64
	print func(x float64) string
}

// printers are the kinds of numbers, but for those of a demand.
var printers = map[string]printer{
	"share":        {100, words.Share},
	"limit":        {100, func(x float64) string { return words.Percent(x, 1) }},
	"count":        {1, func(x float64) string { return words.Count(int(x)) }},
	"rank":         {1, words.Correlation},
	"plain":        {1, words.Given},
	"percent":      {1, words.SignedEffect},
	"percent-size": {1, words.Effect},
}

// datum marks the number at a path. The kind is one of printers, "decimals 2" for
// so many decimals, or "value NAME", "effect NAME" or "size NAME" for a demand:
// without sign but where negative, with its sign, without. What is less comes without its sign,
// and with a scale of −1, as "plainly NAME" and "way NAME", which adds "easier" or the like; in
// per cent as "plainly-percent NAME" and "way-percent NAME".
func (t *teller) datum(path, kind string) (template.HTML, error) {
	found, err := at(t.tree, path)
	if err != nil {
		return "", err
	}
	name, of, _ := strings.Cut(kind, " ")
	p := printers[name]
	demand, isDemand := hold.ParseDemand(of)
	switch {
	case name == "decimals":
		n, err := strconv.Atoi(of)
		if err != nil {
			return "", fmt.Errorf("page: %s: %w", kind, err)
		}
		p = printer{1, func(x float64) string { return words.Number(x, n) }}
	case isDemand:
		spoken := words.DemandOf(demand, hold.TwoCondition)
		size := words.SizesOf(demand, hold.Equilibrium)
		name, inPercent := strings.CutSuffix(name, "-percent")
		if !inPercent {
			size.Signed, p.scale = spoken.Signed, spoken.Scale
		} else {
			p.scale = 1
		}
		p.print = map[string]func(float64) string{
			"value": spoken.Number, "effect": spoken.Signed, "size": func(x float64) string { return spoken.Number(math.Abs(x)) },
			"plainly": size.Plain, "way": size.Compared,
		}[name]
		if x, isNumber := found.(float64); isNumber && x < 0 && (name == "plainly" || name == "way") {
			p.scale *= -1
		}
	}
	if p.print == nil {
		return "", fmt.Errorf("page: unknown kind of number %q", kind)
	}
	switch x := found.(type) {
	case nil:
		return template.HTML(fmt.Sprintf(`<data value="" data-field="%s">%s</data>`, template.HTMLEscapeString(path), words.BeyondReach)), nil
	case float64:
		scale := ""
		if p.scale != 1 {
			scale = ` data-scale="` + strconv.FormatFloat(p.scale, 'g', -1, 64) + `"`
		}
		return template.HTML(fmt.Sprintf(`<data value="%s" data-field="%s"%s>%s</data>`,
			strconv.FormatFloat(x, 'g', -1, 64), template.HTMLEscapeString(path), scale, template.HTMLEscapeString(words.OneLine(p.print(x))))), nil
	}
	return "", fmt.Errorf("page: %s is not a number", path)
}
