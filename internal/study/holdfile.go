package study

import (
	"cmp"
	"fmt"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/internal/holds"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/outline"

	"github.com/goccy/go-yaml/ast"
)

// LoadHold reads the description of a hold of one's own from a file, and makes the hold.
func LoadHold(file string) (*outline.Outline, *hold.Hold, error) {
	o, err := loadAs(file, ReadOutline)
	if err != nil {
		return nil, nil, err
	}
	h, err := holds.Of(o)
	return o, h, err
}

// ReadOutline reads the description of a hold of one's own from the text of a file; file
// names it in messages. All faults are reported, one a line. An outline that is returned
// passes Check, and its name is no shipped hold's, but for the shipped text itself.
func ReadOutline(file string, data []byte) (*outline.Outline, error) {
	return ReadNamedOutline(file, data, true)
}

// ReadNamedOutline reads a hold of a name of its own, or of one that a shipped hold may have.
func ReadNamedOutline(file string, data []byte, ownName bool) (*outline.Outline, error) {
	r := &outlineReader{outline: &outline.Outline{Text: string(data)}, line: map[string]int{}, written: map[string]string{}}
	read := func(top *value) {
		r.doc = top.doc
		r.read(top)
		if shipped, is := holds.Find(r.outline.Name); ownName && is && shipped.Text != r.outline.Text {
			r.doc.fail(r.line["hold"], "hold", "%s is a shipped hold; give yours another name", r.outline.Name)
		}
	}
	if err := readStudy(file, data, r.line, read, r.check, r.lineOf); err != nil {
		return nil, err
	}
	return r.outline, nil
}

// FindHold returns the hold of a name, or of a file where the name is a path.
func FindHold(name string) (*hold.Hold, error) {
	if IsHoldFile(name) {
		_, h, err := LoadHold(name)
		return h, err
	}
	if h, ok := holds.Find(name); ok {
		return h, nil
	}
	known := holds.Names()
	return nil, fmt.Errorf("unknown hold %q%s; known: %s; a file's path has a slash or ends in .yaml", printable(name), called.Suggest(name, known), strings.Join(known, ", "))
}

// IsHoldFile reports whether the name of a hold is the path of a file: it has a slash,
// or ends in .yaml or .yml.
func IsHoldFile(name string) bool {
	return strings.ContainsAny(name, `/\`) || slices.Contains([]string{".yaml", ".yml"}, strings.ToLower(filepath.Ext(name)))
}

// outlineReader fills an outline from its fields.
type outlineReader struct {
	outline *outline.Outline
	doc     *document
	line    map[string]int    // of every field that was read, by its path as the outline's Check has it
	written map[string]string // the path as the file has it
	sides   []sided
}

// sided is a field that tells two sides apart, and by which words.
type sided struct {
	at    *value
	words [2]string
}

var (
	leftRight = [2]string{"left", "right"}
	topBottom = [2]string{"top", "bottom"}
)

// lineOf returns the line of a field, or of the nearest field around it that was read.
func (r *outlineReader) lineOf(field string) int {
	for field != "" {
		if line, ok := r.line[field]; ok {
			return line
		}
		field = field[:max(strings.LastIndexAny(field, ".["), 0)]
	}
	return 0
}

// numbered is the number of a support or force in the path of a field.
var numbered = regexp.MustCompile(`\[[0-9]+\]`)

// check tells what the outline's own Check finds, its fields named as the file has them.
func (r *outlineReader) check() error {
	for _, e := range fault.All(r.outline.Check()) {
		field, other := r.written[e.Field]
		if !other {
			field = numbered.ReplaceAllString(e.Field, "")
		}
		r.doc.fail(r.lineOf(e.Field), field, "%s", words.Fault(e))
	}
	return nil
}

// at remembers where a field stands that Check may complain of.
func (r *outlineReader) at(path string, v *value) {
	r.line[path], r.written[path] = v.line(), v.field
}

func (r *outlineReader) read(top *value) {
	o := r.outline
	top.doc.within = within
	var title, angles, free, supports, forces *value
	later := func(to **value) func(*value) { return func(v *value) { *to = v } }
	top.fields(map[string]func(*value){
		"hold":                 func(v *value) { o.Name = v.holdName() },
		"title":                later(&title),
		"looks":                func(v *value) { o.Looks = v.words() },
		"leaves_out":           func(v *value) { o.LeavesOut = v.sentences() },
		"view":                 choice(&o.View, outline.NumViews),
		"faces":                choice(&o.Faces, outline.NumFacings),
		"angles":               later(&angles),
		"shoulders":            func(v *value) { o.ShouldersRaised = v.either("raised", "at rest") },
		"arms_spread":          func(v *value) { o.ArmsSpread = v.quantity(units.Angle).Value },
		"legs_apart":           func(v *value) { o.LegsApart = v.quantity(units.Angle).Value },
		"feet":                 choice(&o.Feet, outline.NumFeet),
		"one_arm":              func(v *value) { o.OneArm = v.yes() },
		"free":                 later(&free),
		"supports":             later(&supports),
		"forces":               later(&forces),
		"shared":               r.shared,
		"leg_forms":            func(v *value) { o.LegForms = v.yes() },
		"only_reported":        r.onlyReported,
		"hips_decide":          func(v *value) { o.HipsDecide = v.yes() },
		"shoulder_strength_at": func(v *value) { x := v.quantity(units.Angle).Value; o.ShoulderStrengthAt = &x },
	})
	for _, needed := range []struct{ field, example string }{
		{"hold", "hold: bent-arm-lever"}, {"view", "view: side"},
		{"angles", "angles: {trunk: level 0 deg, upper_arms: raised 90 deg}"}, {"supports", "supports: [{at: hands, on: bar}]"},
	} {
		if _, ok := r.line[needed.field]; !ok && top.isMapping() && !top.doc.meant[needed.field] {
			top.doc.fail(0, needed.field, "is missing, as in %s", needed.example)
		}
	}
	o.Title = words.Capital(strings.ReplaceAll(o.Name, "-", " "))
	if title != nil {
		o.Title = title.words()
	}
	o.Looks = cmp.Or(o.Looks, o.Title+".")
	if angles != nil {
		r.angles(angles)
	}
	if supports != nil {
		r.supports(supports)
	}
	if forces != nil {
		r.forces(forces)
	}
	if free != nil {
		r.free(free)
	}
	r.checkSides()
}

// within says in which field others stand that are easily written one level too high.
var within = func() map[string]string {
	of := map[string]string{wholeTrunk: "angles", "from": "free", "to": "free", "by": "free", "at": "supports", "on": "supports"}
	for p := range outline.NumParts {
		of[p.String()] = "angles"
	}
	return of
}()

// either reads which of two words is meant, and reports whether it is the first.
func (v *value) either(first, other string) bool {
	name, _ := v.oneOf([]string{first, other})
	return name == first
}

func (v *value) yes() bool { return v.either("yes", "no") }

// mostNamed is how many letters the name of a hold may have.
const mostNamed = 60

var ofHolds = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

// holdName reads what a hold of one's own is called.
func (v *value) holdName() string {
	name, ok := v.text()
	if !ok {
		return ""
	}
	if !ofHolds.MatchString(name) || len(name) > mostNamed {
		v.fail("%q is not a valid name: use small letters, digits and single hyphens, as in bent-arm-lever", printable(name))
		return ""
	}
	return name
}

// sentences reads a list of texts.
func (v *value) sentences() []string {
	if _, several := v.node.(*ast.SequenceNode); !several && v.doc.probe == nil {
		return []string{v.words()}
	}
	return names.Each(v.list(), func(e *value) string { return e.words() })
}

// wholeTrunk is what chest, abdomen and pelvis in one line are called.
const wholeTrunk = "trunk"

// angles reads where the parts of the body point.
func (r *outlineReader) angles(v *value) {
	readers := map[string]func(*value){}
	given := map[string]*value{}
	for p := range outline.NumParts {
		readers[p.String()] = func(v *value) {
			given[p.String()] = v
			r.at("angles."+p.String(), v)
			r.pair(v, p)
		}
	}
	readers[wholeTrunk] = func(v *value) {
		given[wholeTrunk] = v
		for _, p := range []outline.Part{outline.Chest, outline.Abdomen, outline.Pelvis} {
			r.at("angles."+p.String(), v)
		}
		r.outline.Parts[outline.Chest].First = v.angle(outline.Chest)
	}
	v.fields(readers)
	if trunk := given[wholeTrunk]; trunk != nil {
		for _, p := range []outline.Part{outline.Chest, outline.Abdomen, outline.Pelvis} {
			if part := given[p.String()]; part != nil {
				part.fail("is part of the trunk, which has its angle on line %d: leave one of them out, or give chest, abdomen and pelvis", trunk.line())
			}
		}
	}
	needed := func(field, example string, there bool) {
		if !there && v.isMapping() && !v.doc.meant["angles."+field] {
			v.doc.fail(v.line(), "angles."+field, "is missing, as in %s: %s", field, example)
		}
	}
	needed(wholeTrunk, "level 0 deg", given[wholeTrunk] != nil || given[outline.Chest.String()] != nil)
	needed(outline.UpperArm.String(), "raised 90 deg", given[outline.UpperArm.String()] != nil)
}

// pair reads the angle of a part, or of the parts of both sides.
func (r *outlineReader) pair(v *value, p outline.Part) {
	to := &r.outline.Parts[p]
	if !v.isMapping() {
		to.First = v.angle(p)
		return
	}
	if !p.Paired() {
		v.fail("there is only one %s: give just its angle, as in %s", p, angleExample(p))
		return
	}
	to.First, to.Other = eachSide(r, v, func(v *value) outline.Angle { return v.angle(p) })
	to.Differ = true
}

// eachSide reads what is told of two sides apart.
func eachSide[T any](r *outlineReader, v *value, read func(*value) T) (first, other T) {
	given := map[string]bool{}
	readers := map[string]func(*value){}
	for _, pair := range [][2]string{leftRight, topBottom} {
		for side, word := range pair {
			readers[word] = func(v *value) {
				given[word] = true
				if x := read(v); side == 0 {
					first = x
				} else {
					other = x
				}
			}
		}
	}
	clean := v.doc.clean()
	v.fields(readers)
	if !clean() {
		return first, other
	}
	for _, pair := range [][2]string{leftRight, topBottom} {
		if given[pair[0]] && given[pair[1]] && len(given) == 2 {
			r.sides = append(r.sides, sided{v, pair})
			return first, other
		}
	}
	v.fail("needs both sides, found %s: write left and right, or top and bottom", strings.Join(slices.Sorted(maps.Keys(given)), " and "))
	return first, other
}

// checkSides holds that the sides are called as the view has them: top and bottom where
// the trunk lies level and is seen from the front, else left and right.
func (r *outlineReader) checkSides() {
	o := r.outline
	chest := o.Parts[outline.Chest].First
	want, why := leftRight, ""
	switch {
	case o.View == outline.Side:
		why = "seen from the side, neither of the two is above the other"
	case chest.Free || chest.Assumed != outline.NoAssumption:
		return
	case nearLevel(chest.Value):
		want, why = topBottom, "the trunk lies level, seen from the front"
	default:
		why = "the trunk is upright"
	}
	for _, s := range r.sides {
		if s.words != want {
			s.at.fail("%s: the sides are called %s and %s, found %s and %s", why, want[0], want[1], s.words[0], s.words[1])
		}
	}
}
