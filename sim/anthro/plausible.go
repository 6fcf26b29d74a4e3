package anthro

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"counterpoise/sim/math"
	"counterpoise/sim/names"
)

// What fewer than these shares of people have is noted, or refused.
const (
	rareShare  = 1e-3
	improbable = 1e-5
	// nobody is the share below which even what was measured again is refused: with as
	// many people as ever lived it would be one in a hundred of a person.
	nobody = 1e-13
	// slipRate is how often values are written down wrongly; common practice, no source. A
	// slip is suggested only where it is likelier than the truth.
	slipRate = 0.01
)

// Interval is a range of values in SI units.
type Interval struct{ Low, High float64 }

// Rarity says how unusual a person's measurements are together, and which of
// them makes them so.
type Rarity struct {
	Population string
	// Share is that of people whose measurements are together at least as far
	// from the average as these, by squared Mahalanobis distance among normal
	// scores, measurement errors included.
	Share float64
	// Known is the measurement without which the others are least unusual.
	Known Known
	// Percentile is the share of all people below its value. The rest is about
	// people who have the other measurements in common with this one; where
	// there are no others, or those are improbable themselves, about everybody.
	Percentile      float64
	Given           []Measurement // the other measurements; empty for everybody
	PercentileGiven float64
	Ordinary        Interval // holds the values of 90 % of them
	Possible        Interval // beyond it fewer than 1 in 100,000 are as unusual as it would make this person
}

// String says it in one line, in SI units.
func (r *Rarity) String() string {
	unit := r.Known.Of.Unit()
	given := ""
	if len(r.Given) > 0 {
		given = " with that " + strings.Join(names.Of(r.Given), ", ")
	}
	return fmt.Sprintf("%s %.4g %s: of people in %s%s, 90 %% have %.4g..%.4g %s; beyond %.4g..%.4g %s fewer than 1 in 100,000 are as unusual",
		r.Known.Of, r.Known.Value, unit, r.Population, given, r.Ordinary.Low, r.Ordinary.High, unit, r.Possible.Low, r.Possible.High, unit)
}

// Slip is a likely mistake behind an improbable measurement.
type Slip struct {
	Of     []Measurement // those that it happened to
	Factor float64       // from the values given to those meant
	Text   string        // as in "inches for centimetres"
	Value  float64       // what the measurement most to blame becomes, SI unit
}

// ImprobableError tells that fewer than 1 in 100,000 people have such
// measurements together.
type ImprobableError struct {
	Rarity
	Slip *Slip // nil where no common slip explains it
	// Nobody says that nobody has them, and that they are refused even if they were measured again; Has
	// is then where a second measurement would do, of the one that is Known.
	Nobody bool
	Has    Interval
}

func (e *ImprobableError) Error() string {
	text := e.Rarity.String()
	if e.Slip == nil {
		return text
	}
	text += fmt.Sprintf("; %.4g %s would fit", e.Slip.Value, e.Known.Of.Unit())
	if len(e.Slip.Of) > 1 {
		return text + ": " + e.Slip.Text + " in all lengths?"
	}
	return text + ": " + e.Slip.Text + "?"
}

// publics holds the populations of the public that judge has read.
var publics sync.Map

// judge returns the people against whom it is judged who is plausible: for a survey of
// some of the public, such as soldiers, the public of their sex; youths against youths.
func (p *Population) judge() *Population {
	name := PublicOf(p.Sex)
	if p.Young() {
		name = YouthsOf(p.Sex)
	}
	if p.Name == name || !slices.Contains(Names(), p.Name) {
		return p
	}
	if public, ok := publics.Load(name); ok {
		return public.(*Population)
	}
	public, err := Load(name)
	if err != nil {
		return p // a damaged build, in which others will say so
	}
	publics.Store(name, public)
	return public
}

// plausible checks known values, valid one by one and in the order of the
// measurements, against each other and the population. It returns what is rare
// about them, if anything is. What was measured again is refused only where nobody has
// it.
func (p *Population) plausible(known []Known, again bool) (*Rarity, error) {
	least := improbable
	if again {
		least = nobody
	}
	contradiction := contradiction(known)
	share := p.jointShare(known)
	if share >= least {
		if contradiction != nil {
			return nil, contradiction
		}
		// Among many values, or ones of large errors, one that nobody has by itself
		// would pass.
		for i, k := range known {
			if alone := p.jointShare(known[i : i+1]); alone < least {
				return nil, p.improbable([]Known{k}, 0, alone, p.slip(known, i))
			}
		}
		if share >= rareShare {
			return nil, nil
		}
		return p.rarity(known, p.mostToBlame(known), share), nil
	}
	// A slip explains more than a contradiction says: a sitting height above a
	// stature given in inches.
	blamed := p.mostToBlame(known)
	slip := p.slip(known, blamed)
	if slip == nil && !isLength(known[blamed].Of) {
		// Of lengths that all have the wrong unit the rest may look odd.
		if i := slices.IndexFunc(known, func(k Known) bool { return isLength(k.Of) }); i >= 0 {
			if all := p.slip(known, i); all != nil && len(all.Of) > 1 {
				blamed, slip = i, all
			}
		}
	}
	if slip == nil && contradiction != nil {
		return nil, contradiction
	}
	return nil, p.improbable(known, blamed, share, slip)
}

// improbable is the error about the measurement at a place among those known.
func (p *Population) improbable(known []Known, at int, share float64, slip *Slip) *ImprobableError {
	e := &ImprobableError{Rarity: *p.rarity(known, at, share), Slip: slip}
	if e.Nobody = share < nobody; e.Nobody {
		e.Has = p.possible(known, at, nobody)
	}
	return e
}

// jointShare returns the share of people whose measurements are at least as
// unusual as these; where there are two kinds of people, as far from the one to whom
// they are nearer, which no more of them are.
func (p *Population) jointShare(known []Known) float64 {
	if len(known) == 0 {
		return 1
	}
	return math.ChiSquaredAbove(p.given(known).distance, len(known))
}

// mostToBlame returns the place of the measurement that lies furthest from what
// the others let expect: leaving it out shortens the distance most.
func (p *Population) mostToBlame(known []Known) int {
	blamed, least := 0, math.Inf(1)
	for i := range known {
		if distance := p.given(without(known, i)).distance; distance < least {
			blamed, least = i, distance
		}
	}
	return blamed
}

func without(known []Known, i int) []Known { return slices.Delete(slices.Clone(known), i, i+1) }

// rarity describes the measurement at a place among those known.
func (p *Population) rarity(known []Known, at int, share float64) *Rarity {
	k, others := known[at], without(known, at)
	if p.jointShare(others) < improbable {
		others = nil
	}
	r := &Rarity{Population: p.Name, Share: share, Known: k, Percentile: p.ShareBelow(k.Of, k.Value), PercentileGiven: p.ShareBelow(k.Of, k.Value, others...)}
	r.Given = names.Each(others, func(k Known) Measurement { return k.Of })
	left := p.given(others)
	value := func(score float64) float64 { return max(0, p.marginals[k.Of].Value(score)) }
	const half = 0.05 // of those who are not ordinary
	r.Ordinary = Interval{value(left.quantile(k.Of, half)), value(left.quantile(k.Of, 1-half))}
	r.Possible = p.possible(known, at, improbable)
	return r
}

// possible is from where to where the measurement at a place among those known leaves a person of whom
// there is a share or more.
func (p *Population) possible(known []Known, at int, least float64) Interval {
	k, others := known[at], without(known, at)
	if p.jointShare(others) < least {
		others = nil
	}
	left := p.given(others)
	value := func(score float64) float64 { return max(0, p.marginals[k.Of].Value(score)) }
	// From the middle out, to where the person would be refused.
	end := func(beyond float64) float64 {
		within := left.quantile(k.Of, 0.5)
		for range 50 {
			middle := (within + beyond) / 2
			k.Value = value(middle)
			if min(p.jointShare(append(slices.Clone(others), k)), p.jointShare([]Known{k})) >= least {
				within = middle
			} else {
				beyond = middle
			}
		}
		return value(within)
	}
	const nobodyHas = 20 // standard deviations
	return Interval{end(-nobodyHas), end(nobodyHas)}
}

// slips are common mistakes. factor turns the value written into the one meant.
var slips = []struct {
	text   string
	factor float64
	of     func(Measurement) bool
	unit   bool // a mistake in the unit may have been made in all lengths
}{
	{"inches for centimetres", 2.54, isLength, true},
	{"centimetres for inches", 1 / 2.54, isLength, true},
	{"feet for metres", 0.3048, isLength, true},
	{"metres for feet", 1 / 0.3048, isLength, true},
	{"millimetres for centimetres", 0.1, isLength, true},
	{"centimetres for millimetres", 10, isLength, true},
	{"centimetres for metres", 0.01, isLength, true},
	{"metres for centimetres", 100, isLength, true},
	{"millimetres for metres", 0.001, isLength, true},
	{"metres for millimetres", 1000, isLength, true},
	{"diameter for circumference", math.Pi, isOneOf(WaistCircumference), false},
	{"half for whole", 2, isOneOf(BiacromialBreadth, HipBreadth, Span, WaistCircumference), false},
	{"pounds for kilograms", 0.45359237, isOneOf(Mass), false},
	{"kilograms for pounds", 1 / 0.45359237, isOneOf(Mass), false},
	{"stones for kilograms", 6.35029318, isOneOf(Mass), false},
	{"newtons for kilograms", 1 / 9.80665, isOneOf(Mass), false},
	{"grams for kilograms", 0.001, isOneOf(Mass), false},
}

func isLength(m Measurement) bool { return m.Unit() == "m" }

func isOneOf(these ...Measurement) func(Measurement) bool {
	return func(m Measurement) bool { return slices.Contains(these, m) }
}

// slip returns the mistake whose correction, in the measurement at a place among
// those known or in all lengths, leaves the most ordinary person; nil where none
// leaves one that is not even rare, or none is likelier than the truth.
func (p *Population) slip(known []Known, at int) *Slip {
	var best *Slip
	most := max(rareShare, p.jointShare(known)/slipRate)
	try := func(text string, factor float64, of func(Measurement) bool) {
		mended := slices.Clone(known)
		slip := &Slip{Factor: factor, Text: text, Value: known[at].Value * factor}
		for i := range mended {
			if of(mended[i].Of) {
				mended[i].Value *= factor
				mended[i].Error *= factor
				if _, spread := p.read(mended[i]); spread > 1 {
					return // so rough that anything would fit
				}
				slip.Of = append(slip.Of, mended[i].Of)
			}
		}
		if share := p.jointShare(mended); share >= most && contradiction(mended) == nil {
			best, most = slip, share
		}
	}
	for _, s := range slips {
		if s.of(known[at].Of) {
			try(s.text, s.factor, isOneOf(known[at].Of))
			if s.unit {
				try(s.text, s.factor, isLength)
			}
		}
	}
	return best
}
