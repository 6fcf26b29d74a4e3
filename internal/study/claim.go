package study

import (
	"errors"
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"counterpoise/internal/called"
	"counterpoise/internal/holds"
	"counterpoise/internal/units"
	"counterpoise/internal/words"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/claim"
	"counterpoise/sim/fault"
	"counterpoise/sim/hold"
	"counterpoise/sim/names"
	"counterpoise/sim/scenario"
	"counterpoise/sim/segment"
)

// LoadClaim reads a claim from a file.
func LoadClaim(file string) (*claim.Claim, error) { return loadAs(file, ReadClaim) }

// ReadClaim reads a claim from the text of a file; file names it in messages.
// All faults are reported, one a line. A claim that is returned passes Check.
func ReadClaim(file string, data []byte) (*claim.Claim, error) {
	r := &claimReader{
		line:  map[string]int{},
		claim: &claim.Claim{Share: claim.DefaultShare, Demand: hold.Difficulty},
	}
	lineOf := func(field string) int {
		top, _, _ := strings.Cut(field, ".")
		return r.line[top]
	}
	if err := readStudy(file, data, r.line, r.read, r.claim.Check, lineOf); err != nil {
		return nil, err
	}
	return r.claim, nil
}

// loadAs reads a file by what reads its text.
func loadAs[T any](file string, read func(file string, data []byte) (T, error)) (study T, err error) {
	data, err := load(file, MostBytes)
	if err != nil {
		return study, err
	}
	return read(file, data)
}

// readStudy reads a study of one YAML document, whose fields' lines it keeps in line.
// What the study's own check finds afterwards is told on the line of its field.
func readStudy(file string, data []byte, line map[string]int, read func(*value), check func() error, lineOf func(field string) int) error {
	d := &document{file: file}
	top, err := d.parse(data)
	if err != nil {
		return err
	}
	for _, e := range top.entriesOrNone() {
		line[e.name] = e.line
	}
	if read(top); len(d.faults) > 0 {
		return d.err()
	}
	err = check()
	for _, wrong := range fault.All(err) {
		d.fail(lineOf(wrong.Field), wrong.Field, "%s", words.Fault(wrong))
	}
	if len(d.faults) > 0 {
		return d.err()
	}
	return err
}

// Placed gives an error that computing a study met its place in the file that the study is from, if
// it is about a field that stands there: such as a trunk that loses more than some body's weighs.
func Placed(file string, err error) error {
	var wrong *fault.Error
	if !strings.ContainsAny(file, `/\.`) || !errors.As(err, &wrong) {
		return err
	}
	data, unread := load(file, MostBytes)
	if unread != nil {
		return err
	}
	d := &document{file: file}
	top, unread := d.parse(data)
	if unread != nil {
		return err
	}
	if line := top.lineOf(wrong.Field); line > 0 {
		return &Error{File: file, Line: line, Field: wrong.Field, Reason: words.Fault(wrong)}
	}
	return err
}

// lineOf is where a field stands, or the part of one, by its first name: at the top or, where it is not
// there, within what is; 0 where it is nowhere.
func (v *value) lineOf(field string) int {
	name, _, _ := strings.Cut(field, ".")
	entries := v.entriesOrNone()
	for _, e := range entries {
		if e.name == name || strings.HasPrefix(e.name, name+".") {
			return e.line
		}
	}
	for _, e := range entries {
		if line := e.value.lineOf(field); line > 0 {
			return line
		}
	}
	return 0
}

func (v *value) entriesOrNone() []entry {
	if v.node == nil || !v.isMapping() {
		return nil
	}
	// Faults of the entries are recorded when they are read for good.
	quiet := &value{doc: &document{file: v.doc.file}, node: v.node, field: v.field}
	return quiet.entries()
}

// hold reads the name of a hold, or the path of a file that describes one, which starts
// at the folder of the file being read; nil after a fault.
func (v *value) hold() *hold.Hold {
	name, ok := v.text()
	if !ok {
		return nil
	}
	if !IsHoldFile(name) {
		if name, ok = v.oneOf(holds.Names()); !ok {
			return nil
		}
	} else if name, ok = v.path(name); !ok {
		return nil
	}
	h, err := FindHold(name)
	if err != nil {
		v.unreadableFile(err)
	}
	return h
}

// path is the path of a file that is named in the file being read, at whose folder it
// starts.
func (v *value) path(name string) (string, bool) {
	if strings.ContainsFunc(name, func(r rune) bool { return !unicode.IsPrint(r) }) {
		v.fail("%q is not a file path", name)
		return "", false
	}
	if folder := filepath.Dir(v.doc.file); folder != "." && !filepath.IsAbs(name) {
		name = filepath.Join(folder, name) // has a slash, so it is a path still
	}
	return name, true
}

// unreadableFile tells what is wrong with another file that the value names: its own
// faults as they are, each in its line.
func (v *value) unreadableFile(err error) {
	many, several := err.(interface{ Unwrap() []error })
	if !several {
		v.fail("%v", err)
		return
	}
	for _, e := range many.Unwrap() {
		v.fail("%v", e)
	}
}

// choice reads a name of an enumeration with n values.
func choice[E interface {
	~int
	String() string
}](to *E, n E) func(*value) {
	return func(v *value) {
		all := names.All(n)
		if name, ok := v.oneOf(all); ok {
			*to = E(slices.Index(all, name))
		}
	}
}

// into reads what is there only where it is given, and without a fault.
func into[T any](to **T, read func(*value) T) func(*value) {
	return func(v *value) {
		clean := v.doc.clean()
		if x := read(v); clean() {
			*to = &x
		}
	}
}

// claimReader fills a claim from its fields.
type claimReader struct {
	claim    *claim.Claim
	line     map[string]int
	matters  *value // these three wait for the quantity
	claimed  *value
	within   *value
	pose     *value // of the first body, and of the changed one: they wait for the hold
	changed  *value
	models   []string
	masses   []body.Masses
	segments []string
	posture  scenario.PostureRule
	carried  loadReader // before and after, then only before, then on top after
	before   *loadReader
	more     loadReader
	measured bool // the quantity is known, so that its sizes can be read
}

func (r *claimReader) read(top *value) {
	c := r.claim
	text := func(to *string) func(*value) { return func(v *value) { *to = v.words() } }
	clean := top.doc.clean()
	_, stated := r.line["quantity"]
	readers := map[string]func(*value){
		"claim":    text(&c.Name),
		"says":     text(&c.Says),
		"why":      text(&c.Why),
		"hold":     func(v *value) { c.Hold = v.hold() },
		"legs":     func(v *value) { c.Legs = v.legs() },
		"tilt":     func(v *value) { c.Tilt = v.tilt() },
		"pose":     func(v *value) { r.pose = v },
		"people":   r.people,
		"change":   r.change,
		"contrast": r.contrast,
		"quantity": func(v *value) {
			if name, ok := v.oneOf(demandNames()); ok {
				c.Demand, r.measured = hold.ParseDemand(name)
			}
		},
		"posture":           choice(&r.posture, scenario.NumPostureRules),
		"expect":            choice(&c.Expect, claim.NumDirections),
		"matters":           func(v *value) { r.matters = v },
		"matters_because":   text(&c.Because),
		"claimed":           func(v *value) { r.claimed = v },
		"within":            func(v *value) { r.within = v },
		"no_effect_because": text(&c.Reason),
		"share":             func(v *value) { c.Share = v.quantity(units.Number).Value },
		"models":            func(v *value) { r.models = v.namesOf(ModelNames()) },
		"regional_masses": func(v *value) {
			for _, name := range v.namesOf(MassesNames()) {
				m, _ := body.ParseMasses(name)
				r.masses = append(r.masses, m)
			}
		},
		"segments": func(v *value) { r.segments = v.namesOf(segment.Names()) },
		"before": func(v *value) {
			r.before = &loadReader{}
			only := map[string]func(*value){}
			r.before.into(only)
			v.fields(only)
		},
	}
	r.carried.into(readers)
	top.fields(readers)
	for _, needed := range []struct{ field, example string }{
		{"claim", "longer-arms"}, {"says", "Longer arms make the human flag harder."}, {"hold", "human-flag"},
		{"people", "[us-men, us-women]"}, {"expect", "increase"},
	} {
		if _, ok := r.line[needed.field]; !ok && top.isMapping() && !top.doc.meant[needed.field] {
			top.doc.fail(0, needed.field, "is missing, as in %s: %s", needed.field, needed.example)
		}
	}
	// Without a fault before, an unstated quantity is the default one.
	h := c.Hold
	if h != nil && !stated && !scenario.AsksFor(h, c.Demand) {
		top.doc.fail(0, "quantity", "is missing: %s has no %s, name one of %s", h.Name, c.Demand, scenario.NamesOf(scenario.DemandsOf(h)))
	} else if r.measured || !stated && clean() {
		r.sizes(top.doc)
	}
	if r.pose != nil {
		c.Pose = r.pose.pose(h, c.Pose)
	}
	r.second(top.doc)
	r.loads(top.doc)
	r.resolveModels()
}

// second reads of the changed body what waits for the hold and the posture of the first.
func (r *claimReader) second(doc *document) {
	c := r.claim
	_, postured := r.line["posture"]
	if ch := c.Change; ch != nil {
		if r.changed != nil {
			clean := doc.clean()
			of, base := c.Hold, c.Pose
			if ch.Hold != nil {
				of, base = ch.Hold, hold.Pose{}
			}
			pose := r.changed.pose(of, base)
			if clean() && ch.Hold == nil && pose == c.Pose {
				r.changed.fail("changes nothing: the first body is held in the same way")
			}
			ch.Pose = &pose
		}
		ch.Posture = r.posture
		if postured && ch.Arms != nil {
			doc.fail(r.line["posture"], "posture", "the change itself places the arms, leave this out")
		}
		if ch.Hold != nil && ch.Hold == c.Hold {
			doc.fail(r.line["change"], "change.hold", "changes nothing: the first body is in the same hold")
		}
		if ch.Hold == nil && ch.Legs != nil && *ch.Legs == c.Legs {
			doc.fail(r.line["change"], "change.legs", "changes nothing: the first body holds its legs in the same way")
		}
		if ch.Hold == nil && ch.Tilt != nil && *ch.Tilt == c.Tilt {
			doc.fail(r.line["change"], "change.tilt", "changes nothing: the first body has the same tilt")
		}
	} else if postured && c.Contrast != nil {
		doc.fail(r.line["posture"], "posture", "applies to the changed body; a contrast has none, leave this out")
	}
}

// loads reads what the bodies carry: before and after, and on top after a change, or only
// before it.
func (r *claimReader) loads(doc *document) {
	c := r.claim
	c.Load = r.carried.total()
	if c.Change == nil {
		if r.before != nil {
			doc.fail(r.line["before"], "before", "is the load before a change, and there is no change")
		}
		return
	}
	c.Change.Load = r.more.total()
	if r.before == nil {
		return
	}
	before := r.before.total()
	if before == c.Change.Load {
		doc.fail(r.line["before"], "before", "is also there after the change: write it as load")
	}
	c.Load = c.Load.Plus(before)
	for p := range before {
		c.Change.Load[p] -= before[p]
	}
}

// demandNames lists the names of the demands.
func demandNames() []string { return names.Of(hold.Demands()) }

// AssumptionNames lists the assumptions.
func AssumptionNames() []string { return names.All(assume.Count) }

// MassesNames lists the choices of regional masses.
func MassesNames() []string { return names.All(body.NumMasses) }

// ModelNames lists the models of holds.
func ModelNames() []string { return names.All(hold.NumModels) }

// resolveModels makes every combination of the model choices.
func (r *claimReader) resolveModels() {
	c := r.claim
	var statics []hold.Model
	for _, name := range r.models {
		m, _ := hold.ParseModel(name)
		statics = append(statics, m)
	}
	if h := c.Hold; h != nil && r.models == nil {
		next := h
		if c.Change != nil && c.Change.Hold != nil {
			next = c.Change.Hold
		}
		for m := range hold.NumModels {
			if m.Judges() && (h.Has(m) || next.Has(m)) && h.AsksFor(scenario.Under(h, m), c.Demand) && next.AsksFor(scenario.Under(next, m), c.Demand) {
				statics = append(statics, m)
			}
		}
	}
	c.Models = Models(statics, r.masses, r.segments)
}

// Models makes every combination of model choices; an empty choice is the
// default one.
func Models(statics []hold.Model, masses []body.Masses, segments []string) []scenario.Model {
	if len(masses) == 0 {
		masses = []body.Masses{body.Residual}
	}
	if len(segments) == 0 {
		segments = []string{body.DefaultSegments}
	}
	var models []scenario.Model
	for _, s := range segments {
		for _, m := range masses {
			for _, st := range statics {
				models = append(models, scenario.Model{Statics: st, Masses: m, Segments: s})
			}
		}
	}
	return models
}

// quantity reads one quantity; after a fault it is zero.
func (v *value) quantity(want ...units.Dimension) units.Quantity {
	if v.doc.probe != nil {
		v.shape().wanted = want
	}
	text, ok := v.text()
	if !ok {
		return units.Quantity{}
	}
	q, err := units.Parse(text, want...)
	if err != nil {
		v.unreadable(text, err)
	}
	return q
}

// unreadable records that a text was not understood, and shows it once.
func (v *value) unreadable(text string, err error) {
	if quoted := fmt.Sprintf("%q", text); strings.Contains(err.Error(), quoted) {
		v.fail("%v", err)
	} else {
		v.fail("%q: %v", printable(text), err)
	}
}

// by reads a change, whose sign must be written: without it "75 cm" could also
// be meant as the length itself. check says whether it can be meant.
func (v *value) by(check func(body.Amount) error, example string, want ...units.Dimension) body.Amount {
	text, ok := v.text()
	if !ok {
		return body.Amount{}
	}
	if _, err := units.Parse(text, want...); err == nil && !signed(text) {
		v.fail("%q: a change is written with its sign, as in %s", text, example)
		return body.Amount{}
	}
	q := v.quantity(want...)
	by := body.Amount{Metres: q.Value}
	if q.Dimension == units.Relative {
		by = body.Amount{Share: q.Value}
	}
	for _, wrong := range fault.All(check(by)) {
		allowed := words.TypedChange(wrong.Bounds.Least, "m") + " to " + words.TypedChange(wrong.Bounds.Most, "m")
		if q.Dimension == units.Relative {
			allowed = words.TypedChange(100*wrong.Bounds.Least, "%") + " to " + words.TypedChange(100*wrong.Bounds.Most, "%")
		}
		v.fail("%q is more than a body can change, allowed: %s", text, allowed)
	}
	return by
}

// amount reads a change of a length: "+10 cm" or "+5 %".
func (v *value) amount(check func(body.Amount) error) body.Amount {
	return v.by(check, `"+10 cm" or "-5 %"`, units.Length, units.Relative)
}

// changes returns the readers of the changes of a body, by their names.
func changes(ch *body.Change) map[string]func(*value) {
	readers := map[string]func(*value){
		"added_mass": func(v *value) { ch.Mass = append(ch.Mass, v.mass(+1)...) },
		"lost_mass":  func(v *value) { ch.Mass = append(ch.Mass, v.mass(-1)...) },
		"mass":       func(v *value) { ch.MassStays = v.stays(massExample) },
		"stature":    func(v *value) { ch.StatureStays = v.stays("size: +5 % or leg_length: +3 cm") },
	}
	for t := range body.NumChanges {
		readers[t.String()] = func(v *value) {
			if t.Info().Unit == "" {
				ch.Of[t] = v.by(t.Check, `"+5 %"`, units.Relative)
			} else {
				ch.Of[t] = v.amount(t.Check)
			}
		}
	}
	return readers
}

// massExample is how mass is changed.
const massExample = "added_mass: {trunk: 5 kg} or lost_mass: {trunk: 5 kg}"

// stays reads whether something follows what is changed, as it does unless it is said
// to stay. An example says how it is changed itself.
func (v *value) stays(example string) bool {
	text, ok := v.text()
	if ok && signed(text) {
		v.fail("%q: says whether it follows or stays; to change it write %s", printable(text), example)
		return false
	}
	answer, _ := v.oneOf([]string{"follows", "stays"})
	return answer == "stays"
}

// tilt reads how far the feet are above the level of the shoulders, radians.
func (v *value) tilt() float64 {
	return v.within(scenario.TiltBounds, v.quantity(units.Angle).Value)
}

// pose reads variants of a pose over those that are there already: a length or
// an angle each, or yes or no. It allows those that the hold has, or all where
// no hold is known.
func (v *value) pose(h *hold.Hold, over hold.Pose) hold.Pose {
	allowed := names.All(hold.NumVariants)
	if h != nil {
		allowed = names.Of(h.Variants)
	}
	for _, e := range v.entries(allowed...) {
		variant, known := hold.ParseVariant(e.name)
		switch {
		case !known && len(allowed) == 0:
			v.doc.fail(e.line, e.value.field, "unknown field; %s has no variants of its pose", h.Name)
		case !known:
			v.doc.fail(e.line, e.value.field, "unknown field%s; allowed: %s", called.Suggest(e.name, allowed), strings.Join(allowed, ", "))
		case h != nil && !h.Takes(variant):
			v.doc.fail(e.line, e.value.field, "%s", scenario.Lacks(h, variant))
		default:
			over[variant] = e.value.variant(variant.Info())
		}
	}
	return over
}

// variant reads the value of one variant of a pose.
func (v *value) variant(info hold.VariantInfo) float64 {
	bounds := fault.Bounds{Least: info.Least, Most: info.Most, Unit: info.Unit}
	switch info.Unit {
	case "rad":
		return v.within(bounds, v.quantity(units.Angle).Value)
	case "m":
		clean := v.doc.clean()
		if x := v.quantity(units.Length).Value; clean() {
			return v.within(bounds, x)
		}
		return 0
	}
	if v.yes() {
		return 1
	}
	return 0
}

// namesOf reads a list of different names.
func (v *value) namesOf(allowed []string) []string {
	var list []string
	for _, e := range v.list() {
		name, ok := e.oneOf(allowed)
		if !ok {
			continue
		}
		if slices.Contains(list, name) {
			e.fail("%s appears twice", name)
			continue
		}
		list = append(list, name)
	}
	return list
}

// legs reads a leg form: its name, "straddle 45 deg", or a mapping.
func (v *value) legs() hold.Legs {
	read := v.legsInWords
	if v.isMapping() {
		read = v.legsInFields
	}
	form, angle, hip, knee, ok := read()
	if !ok {
		return hold.Legs{}
	}
	switch legs := hold.LegsIn(form, 0); {
	case form == hold.Straddle && angle == nil:
		v.fail(`%s`, straddleNeedsAngle)
	case form != hold.Straddle && angle != nil:
		v.fail("%s has no angle, only a straddle has", form)
	case (form == hold.Together || form == hold.Straddle) && (hip != nil || knee != nil):
		v.fail("the legs of %s are straight, leave out hip and knee", form)
	case form == hold.Straddle && !(*angle > 0):
		v.fail("a straddle opens each leg by more than 0 deg; for 0 deg write together")
	case form == hold.Straddle:
		return hold.LegsIn(form, v.within(scenario.StraddleBounds, *angle))
	default:
		if hip != nil {
			legs.Hip = *hip
		}
		if knee != nil {
			legs.Knee = *knee
		}
		return legs
	}
	return hold.Legs{}
}

// legsInWords reads a form and, behind a straddle, its angle.
func (v *value) legsInWords() (form hold.LegForm, angle, hip, knee *float64, ok bool) {
	text, ok := v.text()
	if !ok {
		return
	}
	name, behind, _ := strings.Cut(strings.TrimSpace(text), " ")
	if form, ok = hold.ParseLegForm(name); !ok {
		forms := names.All(hold.NumLegForms)
		if signed(text) {
			v.fail("%q: says how the legs are held; to change their length write leg_length: %s", printable(text), printable(text))
			return
		}
		v.fail("unknown name %q%s; allowed: %s", printable(text), called.Suggest(name, forms), strings.Join(forms, ", "))
		return
	}
	if behind == "" {
		return
	}
	angle = new(float64)
	if form == hold.Straddle {
		q, err := units.Parse(behind, units.Angle)
		if err != nil {
			v.unreadable(behind, err)
		}
		*angle, ok = q.Value, err == nil
	}
	return
}

// legsInFields reads a form, with angles that are not its own.
func (v *value) legsInFields() (form hold.LegForm, angle, hip, knee *float64, ok bool) {
	forms := names.All(hold.NumLegForms)
	bend := func(to **float64, bounds fault.Bounds) func(*value) {
		return into(to, func(v *value) float64 { return v.within(bounds, v.quantity(units.Angle).Value) })
	}
	clean := v.doc.clean()
	v.fields(map[string]func(*value){
		"form": func(v *value) {
			if name, known := v.oneOf(forms); known {
				form, ok = hold.ParseLegForm(name)
			}
		},
		"angle": bend(&angle, scenario.StraddleBounds),
		"hip":   bend(&hip, scenario.BendBounds),
		"knee":  bend(&knee, scenario.BendBounds),
	})
	if clean() && !ok {
		v.fail("needs the form of the legs, as in form: tuck; allowed: %s", strings.Join(forms, ", "))
	}
	return form, angle, hip, knee, clean()
}

const straddleNeedsAngle = `a straddle needs its angle, each leg from the body's line, as in "straddle 40 deg"`

// within checks a number against bounds.
func (v *value) within(b fault.Bounds, x float64) float64 {
	for _, wrong := range fault.All(b.Check(v.field, x)) {
		v.fail("%s", words.Fault(wrong))
	}
	return x
}

// people reads who a claim is about.
func (r *claimReader) people(v *value) {
	c := r.claim
	from := func(v *value) {
		for _, e := range v.list() {
			people, ok := e.population()
			if slices.ContainsFunc(c.People, func(p scenario.Group) bool { return ok && p.Population == people.Population }) {
				e.fail("%s appears twice", people.Population)
			} else if ok {
				c.People = append(c.People, people)
			}
		}
	}
	if !v.isMapping() {
		from(v)
		return
	}
	var weights *value
	fields := map[string]func(*value){
		"from":    from,
		"where":   func(v *value) { c.Where = v.where() },
		"weights": func(v *value) { weights = v }, // after from, wherever they stand
	}
	targets := make([][]anthro.Target, len(TargetKinds))
	for k, kind := range TargetKinds {
		fields[kind.Field] = func(v *value) {
			targets[k] = conditions(v, func(name, text string) (anthro.Target, error) { return target(name, text, kind.read) },
				func(t anthro.Target) string { return t.Of.String() })
		}
	}
	clean := v.doc.clean()
	v.fields(fields)
	c.Targets = slices.Concat(targets...)
	if clean() {
		if err := anthro.CheckTargets(c.Targets); err != nil {
			v.fail("%v", err)
		}
	}
	if weights == nil {
		return
	}
	for _, w := range weights.entries() {
		i := slices.IndexFunc(c.People, func(p scenario.Group) bool { return p.Population == w.name })
		if i < 0 {
			v.doc.fail(w.line, w.value.field, "weights people who are not listed in from")
			continue
		}
		clean := v.doc.clean()
		c.People[i].Weight = w.value.quantity(units.Number).Value
		if clean() && !(c.People[i].Weight > 0) {
			w.value.fail("must be positive, found %g", c.People[i].Weight)
		}
	}
}

// population reads the name of people, or the path of a file of people of one's
// own, which starts at the folder of the file being read.
func (v *value) population() (scenario.Group, bool) {
	name, ok := v.text()
	if !ok {
		return scenario.Group{}, false
	}
	if missing := anthro.Missing(name); missing != "" {
		v.fail("%s", missing)
		return scenario.Group{}, false
	}
	if !anthro.IsFile(name) {
		name, ok = v.oneOf(anthro.Names())
		return scenario.Group{Population: name, Weight: 1}, ok
	}
	path, ok := v.path(name)
	if !ok {
		return scenario.Group{}, false
	}
	own, err := anthro.Load(path)
	if err != nil {
		v.fail("%v", err)
		return scenario.Group{}, false
	}
	return scenario.Group{Population: own.Name, Weight: 1, Own: own}, true
}

// where reads the conditions on people.
func (v *value) where() []anthro.Range {
	return conditions(v, condition, func(r anthro.Range) string { return r.Of.String() })
}

// conditions reads a condition of each entry, and puts them in the order of their names.
func conditions[T any](v *value, read func(name, text string) (T, error), name func(T) string) []T {
	var list []T
	for _, e := range v.entries() {
		text, ok := e.value.text()
		if !ok {
			continue
		}
		c, err := read(e.name, text)
		if err != nil {
			e.value.fail("%v", err)
			continue
		}
		list = append(list, c)
	}
	slices.SortFunc(list, func(a, b T) int { return strings.Compare(name(a), name(b)) })
	return list
}

// ConditionNames lists what people can be told apart by, beside two of them as in
// span/stature.
func ConditionNames() []string {
	return append(anthro.MeasurementNames(), anthro.Age.String(), anthro.BodyMassIndex.String())
}

// ParseCondition reads a condition on people from one line, as in
// "bmi=18.5..27" or "stature=160..175 cm".
func ParseCondition(text string) (anthro.Range, error) {
	name, span, found := strings.Cut(text, "=")
	if !found {
		return anthro.Range{}, fmt.Errorf(`%s: write it as in "bmi=18.5..27"`, text)
	}
	r, err := condition(strings.TrimSpace(name), span)
	if err != nil {
		return r, fmt.Errorf("%s: %w", text, err)
	}
	return r, nil
}

// condition reads a range of a quantity by which people can be told apart.
func condition(name, span string) (anthro.Range, error) {
	of, err := parseQuantity(name)
	if err != nil {
		return anthro.Range{}, err
	}
	r, err := units.ParseRange(span, dimensionOf(of))
	if err != nil {
		return anthro.Range{}, fmt.Errorf("%q: %w", strings.TrimSpace(span), err)
	}
	return anthro.Range{Of: of, Low: r.Low, High: r.High}, nil
}

// parseQuantity reads what people can be told apart by.
func parseQuantity(name string) (anthro.Quantity, error) {
	of, err := anthro.ParseQuantity(name)
	if err == nil {
		if above, below, _ := strings.Cut(of.String(), "/"); above == below {
			return of, fmt.Errorf("%s is the same for everybody", name)
		}
		return of, nil
	}
	allowed := ConditionNames()
	hint := ""
	for _, part := range strings.Split(name, "/") {
		if part = strings.TrimSpace(part); hint == "" && !slices.Contains(allowed, part) {
			hint = called.Suggest(part, allowed)
		}
	}
	return of, fmt.Errorf("unknown quantity %q%s; allowed: bmi, age, a measurement, or two of them as in span/stature; measurements: %s",
		printable(name), hint, strings.Join(anthro.MeasurementNames(), ", "))
}

// change reads what is done to the first body.
func (r *claimReader) change(v *value) {
	ch := &scenario.Change{}
	clean := v.doc.clean()
	v.fields(r.changeReaders(v, ch))
	_, before := r.line["before"]
	if clean() && !before && r.more == (loadReader{}) && ch.Hold == nil && ch.Body.IsZero() && ch.Legs == nil && r.changed == nil && ch.Tilt == nil && ch.Arms == nil && len(ch.Assume) == 0 {
		v.fail("changes nothing")
	}
	r.claim.Change = ch
}

// OtherChanges lists the fields of a change that are no trait of the body, in order.
func OtherChanges() []string {
	readers := (&claimReader{}).changeReaders(nil, &scenario.Change{})
	for t := range body.NumChanges {
		delete(readers, t.String())
	}
	return slices.Sorted(maps.Keys(readers))
}

// changeReaders are the readers of the fields of a change.
func (r *claimReader) changeReaders(v *value, ch *scenario.Change) map[string]func(*value) {
	arms := func() *scenario.Arms {
		if ch.Arms != nil {
			v.fail("arm_angle and hand_spacing both place the arms, give only one")
		}
		ch.Arms = &scenario.Arms{}
		return ch.Arms
	}
	readers := changes(&ch.Body)
	maps.Copy(readers, map[string]func(*value){
		"arm_angle": func(v *value) {
			text, ok := v.text()
			if !ok {
				return
			}
			clean := v.doc.clean()
			angle := v.quantity(units.Angle).Value
			bounds := fault.Bounds{Least: hold.FlagLeastAngle, Most: hold.FlagMostAngle, Unit: "rad"}
			switch {
			case !clean():
			case !signed(text):
				angle = v.within(bounds, angle)
				arms().Angle = &angle
			case angle == 0:
				v.fail("changes nothing")
			default:
				most := bounds.Most - bounds.Least
				angle = v.within(fault.Bounds{Least: -most, Most: most, Unit: "rad"}, angle)
				arms().Turn = &angle
			}
		},
		"hand_spacing": func(v *value) {
			text, ok := v.text()
			if !ok {
				return
			}
			if angle, known := map[string]float64{"widest": hold.FlagLeastAngle, "narrowest": hold.FlagMostAngle}[text]; known {
				arms().Angle = &angle
				return
			}
			if !signed(text) {
				v.fail(`%q: change the spacing by an amount, as in "+10 cm" or "-5 %%", or is "widest" or "narrowest"`, printable(text))
				return
			}
			clean := v.doc.clean()
			amount := v.amount(func(by body.Amount) error { return by.Check("hand_spacing") })
			if clean() && amount == (body.Amount{}) {
				v.fail("changes nothing")
			}
			arms().Spacing = &amount
		},
		"legs": into(&ch.Legs, (*value).legs),
		"tilt": into(&ch.Tilt, (*value).tilt),
		"pose": func(v *value) { r.changed = v },
		"hold": func(v *value) { ch.Hold = v.hold() },
		"assume": func(v *value) {
			ch.Assume = map[assume.ID]float64{}
			v.assumptions(func(id assume.ID, x float64) error {
				ch.Assume[id] = x
				u := assume.DefaultUncertainty()
				return u.Fix(id, x)
			})
		},
	})
	r.more.into(readers)
	return readers
}

func signed(text string) bool {
	return strings.HasPrefix(text, "+") || strings.HasPrefix(text, "-") || strings.HasPrefix(text, "−")
}

// mass reads masses by region and the share of them that works.
func (v *value) mass(sign float64) []body.AddedMass {
	working := 0.0
	clean := v.doc.clean()
	var masses []body.AddedMass
	readers := map[string]func(*value){
		"working_share": func(v *value) {
			working = v.within(body.WorkingBounds, v.quantity(units.Number).Value)
		},
	}
	for region := range body.NumRegions {
		readers[region.String()] = func(v *value) {
			clean := v.doc.clean()
			kg := v.quantity(units.Mass).Value
			if clean() && !(kg > 0) {
				v.fail("must be positive, found %s", words.Typed(kg, "kg"))
			}
			masses = append(masses, body.AddedMass{Region: region, Kilograms: sign * kg})
		}
	}
	v.fields(readers)
	for i := range masses {
		masses[i].Working = working
	}
	if clean() && len(masses) == 0 {
		v.fail("names no part of the body")
	}
	return masses
}

// sexName is what women and men are told apart by.
const sexName = "sex"

// interval reads a range of a quantity.
func (v *value) interval(of anthro.Quantity) anthro.Interval {
	text, ok := v.text()
	if !ok {
		return anthro.Interval{}
	}
	r, err := condition(of.String(), text)
	if err != nil {
		v.fail("%v", err)
	}
	return anthro.Interval{Low: r.Low, High: r.High}
}

// contrast reads which people are compared.
func (r *claimReader) contrast(v *value) {
	c := &claim.Contrast{Share: 1.0 / 3}
	clean := v.doc.clean()
	given, shared := false, false
	var low, high *value
	v.fields(map[string]func(*value){
		"by": func(v *value) {
			text, ok := v.text()
			if !ok {
				return
			}
			if text == sexName {
				c.Sexes, given = true, true
				return
			}
			by, err := parseQuantity(text)
			if err != nil {
				v.fail("%v", err)
			}
			c.By, given = by, true
		},
		"groups": func(v *value) {
			shared = true
			shares := map[string]float64{"halves": 0.5, "thirds": 1.0 / 3, "quarters": 0.25, "fifths": 0.2, "tenths": 0.1}
			if name, ok := v.oneOf([]string{"halves", "thirds", "quarters", "fifths", "tenths"}); ok {
				c.Share = shares[name]
			}
		},
		"low":  func(v *value) { low = v },
		"high": func(v *value) { high = v },
	})
	switch {
	case !clean():
	case !given:
		v.fail("needs the trait that separates the groups, as in by: stature, or by: sex")
	case c.Sexes && (shared || low != nil || high != nil):
		v.fail("women are compared with men: leave out groups, low and high")
	case c.Sexes:
		c.Share = 0
	case (low == nil) != (high == nil):
		v.fail("with low or high, state both, as in {by: age, low: 18..29, high: 50..59}")
	case low != nil && shared:
		v.fail("low and high state the groups: leave out groups")
	case low != nil:
		c.Share = 0
		c.Bottom, c.Top = low.interval(c.By), high.interval(c.By)
	}
	r.claim.Contrast = c
}
