package sim_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"counterpoise/datasets"
	"counterpoise/internal/golden"
	"counterpoise/sim/anthro"
	"counterpoise/sim/assume"
	"counterpoise/sim/body"
	"counterpoise/sim/hold"
	"counterpoise/sim/muscle"
	"counterpoise/sim/segment"
	"counterpoise/sim/strength"
)

// worked is a step of the example in METHODS.md: what the formula there gives, worked out
// here as it is printed, and what the packages say. They must agree to 1e-12.
type worked struct {
	name, formula string
	byHand, code  float64
	unit          string
}

const degree = math.Pi / 180

// The formulas of METHODS.md are those of the code: worked out here from measurements, the
// rows of the segment table and the defaults of the assumptions alone, for the man of the
// surveyed medians, and written into the document.
func TestFormulasOfMethods(t *testing.T) {
	men := golden.Must(anthro.Load("ansur2-men"))(t)
	people := anthro.NewPeople(1)
	m := map[anthro.Measurement]float64{}
	for of := range anthro.NumMeasurements {
		people.Value[of][0] = men.Quantile(of, 0.5)
		m[of] = people.Value[of][0]
	}
	builder := golden.Must(body.NewBuilder(men, body.Table, body.DefaultSegments))(t)
	a := assume.Defaults()
	b := body.New(1)
	builder.Build(b, people, &a)
	can := hold.NewCapacity(1)
	strength.OfReference(can, b, &a)
	solve := func(h *hold.Hold, p hold.Posture, model hold.Model) *hold.Result {
		r := hold.NewResult(1, h.Figured(model)...)
		h.Solve(r, b, can, p, model, &a)
		return r
	}

	// 1. From measurements to a body.
	table := golden.Must(segment.Load(body.DefaultSegments, anthro.Male))(t)
	row := func(name, from, to string) segment.Row {
		r, ok := table.Row(name, from, to)
		if !ok {
			t.Fatalf("the table has no %s from %s to %s", name, from, to)
		}
		return r
	}
	head, trunk := row("head", "VERT", "CERV"), row("trunk", "MIDS", "MIDH")
	upper, fore, hand := row("upper arm", "SJC", "EJC"), row("forearm", "EJC", "STYL"), row("hand", "STYL", "MET3")
	thigh, shank, foot := row("thigh", "HJC", "KJC"), row("shank", "KJC", "LMAL"), row("foot", "HEEL", "TTIP")
	sum := head.MassShare + trunk.MassShare + 2*(upper.MassShare+fore.MassShare+hand.MassShare+thigh.MassShare+shank.MassShare+foot.MassShare)
	share := func(r segment.Row) float64 { return r.MassShare / sum }

	δ, ρ, f, ε, η, heel := a[assume.ShoulderDrop], a[assume.GripReach], a[assume.ShoulderSpan], a[assume.ShoulderRise], a[assume.HipDrop], a[assume.HeelShare]
	lUpper, lFore := (1-δ)*m[anthro.UpperArmLength], m[anthro.ForearmLength]
	L := lUpper + lFore + ρ*m[anthro.PalmLength]
	zS := m[anthro.AcromialHeight] - δ*m[anthro.UpperArmLength]
	zH := m[anthro.TrochanterionHeight] - η*m[anthro.Stature]
	zK, zA := m[anthro.TibialHeight], m[anthro.MalleolusHeight]
	sep, e := f*m[anthro.BiacromialBreadth], ε*m[anthro.Stature]
	arm := share(upper) + share(fore) + share(hand)
	k := (share(upper)*upper.CentreShare*lUpper + share(fore)*(lUpper+fore.CentreShare*lFore) + share(hand)*L) / (arm * L)
	M0 := share(head) + share(trunk) + 2*(share(thigh)+share(shank)+share(foot))
	rest := (share(head)*(zS-(m[anthro.Stature]-head.CentreShare*(m[anthro.Stature]-m[anthro.CervicaleHeight]))) +
		share(trunk)*trunk.CentreShare*(zS-zH) +
		2*share(thigh)*(zS-zH+thigh.CentreShare*(zH-zK)) +
		2*share(shank)*(zS-zK+shank.CentreShare*(zK-zA)) +
		2*share(foot)*(zS-zA+(foot.CentreShare-heel)*m[anthro.FootLength])) / M0
	c := rest + e
	codeRest := (b.HeadShare[0]*b.HeadCentre[0] + b.TrunkShare[0]*b.TrunkCentre[0] + 2*b.ThighShare[0]*(b.Hip[0]+b.ThighCentre[0]) +
		2*b.ShankShare[0]*(b.Hip[0]+b.Thigh[0]+b.ShankCentre[0]) + 2*b.FootShare[0]*(b.Hip[0]+b.Thigh[0]+b.Shank[0]+b.FootCentre[0]))
	lines := []worked{
		{"arm", "L = (1−δ)·upper arm + forearm + ρ·palm", L, b.Arm(0), "m"},
		{"shoulder to hip", "z_S − z_H", zS - zH, b.Hip[0], "m"},
		{"between the shoulder centres", "b = f·biacromial breadth", sep, b.ShoulderSpan[0], "m"},
		{"one arm's share of the mass", "m_a, from the table", arm, b.ArmShare(0), ""},
		{"its centre, share of L from the shoulder", "k", k, b.ArmMoment(0) / (b.ArmShare(0) * b.Arm(0)), ""},
		{"share of everything but the arms", "M₀ = 1 − 2·m_a", M0, 1 - 2*b.ArmShare(0), ""},
		{"its centre below the raised shoulders", "c", c, codeRest/(1-2*b.ArmShare(0)) + b.Rise[0], "m"},
	}

	// 2. The flag, at the arm angle and the share that the program finds best.
	flag := solve(hold.HumanFlag, hold.Posture{}, hold.Equilibrium)
	value := func(r *hold.Result, d hold.Demand) float64 { return r.Value[d][0] }
	θ, λ := value(flag, hold.ArmAngle), value(flag, hold.TopShare)
	spacing := func(θ float64) float64 { return sep + 2*L*math.Cos(θ) }
	reach := func(θ float64) float64 { return M0*(L*math.Sin(θ)+c) + 2*arm*(1-k)*L*math.Sin(θ) }
	horizontal := func(θ float64) float64 { return reach(θ) / spacing(θ) }
	axial := func(θ, v float64) float64 { return horizontal(θ)*math.Sin(θ) + v*math.Cos(θ) }
	moment := func(θ, v float64) float64 {
		return L*(horizontal(θ)*math.Cos(θ)-v*math.Sin(θ)) + k*L*math.Sin(θ)*arm
	}
	gives := func(g muscle.Group, angle float64) float64 { return can.Of[g][0] * can.Curve[g].At(angle) }
	const frontal = 135 * degree
	use := func(θ, λ float64) float64 {
		top, bottom := moment(θ, λ), moment(θ, 1-λ)
		topGroup, bottomGroup := muscle.ShoulderAdduction, muscle.ShoulderAbduction
		if top < 0 {
			topGroup = muscle.ShoulderAbduction
		}
		if bottom < 0 {
			bottomGroup = muscle.ShoulderAdduction
		}
		return max(axial(θ, λ)/gives(muscle.Grip, θ), axial(θ, 1-λ)/gives(muscle.ArmPush, 0),
			math.Abs(top)/gives(topGroup, frontal), math.Abs(bottom)/gives(bottomGroup, frontal))
	}
	best := smallest(func(θ float64) float64 {
		return smallest(func(λ float64) float64 { return use(θ, λ) }, 0, 1)
	}, 10*degree, 80*degree)
	zW := zS - b.Waist[0] // the waist's own place is a row of the table
	if waist := math.Abs(value(flag, hold.WaistMoment)) / gives(muscle.WaistSideways, 0); waist > best || zW <= zH {
		t.Errorf("the waist (use %.3f) decides this body's flag, and the example does not show the rule", waist)
	}
	lines = append(lines,
		worked{"best arm angle, found by the program", "θ", θ / degree, θ / degree, "°"},
		worked{"share of the weight on the top hand, likewise", "λ", λ, λ, ""},
		worked{"hand spacing", "d = b + 2·L·cos θ", spacing(θ), value(flag, hold.HandSpacing), "m"},
		worked{"pole to the centre of mass", "x = M₀·(L·sin θ + c) + 2·m_a·(1−k)·L·sin θ", reach(θ), value(flag, hold.HorizontalForce) * value(flag, hold.HandSpacing), "m"},
		worked{"pull on top, push below", "H = x/d", horizontal(θ), value(flag, hold.HorizontalForce), "BW"},
		worked{"pull along the top arm", "A = H·sin θ + λ·cos θ", axial(θ, λ), value(flag, hold.AxialTop), "BW"},
		worked{"push along the bottom arm", "A = H·sin θ + (1−λ)·cos θ", axial(θ, 1-λ), value(flag, hold.AxialBottom), "BW"},
		worked{"moment at the top shoulder", "M = L·(H·cos θ − λ·sin θ) + k·L·sin θ·m_a", moment(θ, λ), value(flag, hold.ShoulderMomentTop), "BW·m"},
		worked{"moment at the bottom shoulder", "the same with 1−λ", moment(θ, 1-λ), value(flag, hold.ShoulderMomentBottom), "BW·m"},
	)
	if got := value(flag, hold.Difficulty); !(math.Abs(got/best-1) <= 1e-9) {
		t.Errorf("difficulty %.12g; the least largest use over all angles and shares is %.12g", got, best)
	}
	for _, s := range []struct {
		name  string
		group muscle.Group
		angle float64
		unit  string
	}{{"grip can give", muscle.Grip, θ, "BW"}, {"a straight arm can push", muscle.ArmPush, 0, "BW"},
		{"adductors of a shoulder at 135°", muscle.ShoulderAdduction, frontal, "BW·m"}, {"abductors of a shoulder at 135°", muscle.ShoulderAbduction, frontal, "BW·m"}} {
		lines = append(lines, worked{s.name, "norm, scaled as below", gives(s.group, s.angle), can.Of[s.group][0] * can.Curve[s.group].At(s.angle), s.unit})
	}
	lines = append(lines, worked{"difficulty; a search over θ and λ finds the same", "min over θ, λ of max demand/strength", value(flag, hold.Difficulty), value(flag, hold.Difficulty), ""})

	// 2a. The rule that is taught.
	taught := solve(hold.HumanFlag, hold.Posture{}, hold.TwoCondition)
	τ := value(taught, hold.ArmAngle)
	rule := func(θ float64) float64 { return max(horizontal(θ)/math.Sin(θ), 0.5/math.Cos(θ)) }
	least := smallest(rule, 10*degree, 80*degree)
	lines = append(lines,
		worked{"best angle by the rule that is taught", "θ", τ / degree, τ / degree, "°"},
		worked{"its force", "F = max(x/(d·sin θ), 1/(2·cos θ))", rule(τ), value(taught, hold.RequiredForce), "BW"})
	if !(math.Abs(value(taught, hold.RequiredForce)/least-1) <= 1e-9) {
		t.Errorf("two conditions: %.12g, by a search %.12g", value(taught, hold.RequiredForce), least)
	}

	// 3. Other holds.
	lever := solve(hold.FrontLever, hold.Posture{}, hold.Equilibrium)
	cross := solve(hold.IronCross, hold.Posture{}, hold.Equilibrium)
	planche := solve(hold.Planche, hold.Posture{}, hold.Equilibrium)
	stand := solve(hold.WallHandstand, hold.Posture{}, hold.Equilibrium)
	toWrist, forearms := lUpper+lFore, share(upper)+share(fore)
	kWrist := (share(upper)*upper.CentreShare*lUpper + share(fore)*(lUpper+fore.CentreShare*lFore)) / (forearms * toWrist)
	ψ := math.Asin((a[assume.PressureReach]*m[anthro.PalmLength] + M0*rest - 2*share(hand)*b.HandCentre[0]) / (toWrist * (M0 + 2*forearms*(1-kWrist))))
	heels := toWrist + e + zS - zA
	lean := math.Asin(hold.DefaultWallDistance / heels)
	weight := (M0*(toWrist+e+rest) + 2*forearms*(1-kWrist)*toWrist)
	lines = append(lines,
		worked{"front lever: both shoulders", "M₀·c, shoulders at rest", M0 * rest, value(lever, hold.ShoulderMoment), "BW·m"},
		worked{"front lever: lean of the arms", "sin ψ = M₀·c / (L·(M₀ + 2·m_a·(1−k)))", math.Asin(M0*rest/(L*(M0+2*arm*(1-k)))) / degree, value(lever, hold.LeanAngle) / degree, "°"},
		worked{"planche: lean of the arms", "sin ψ = (q + M₀·c − m_hands·x_hand) / (L_w·(M₀ + m_arms·(1−k′)))", ψ / degree, value(planche, hold.LeanAngle) / degree, "°"},
		worked{"iron cross: each shoulder", "L·(½ − k·m_a)", L * (0.5 - k*arm), value(cross, hold.ShoulderMoment), "BW·m"},
		worked{"handstand 15 cm from a smooth wall: its push", "N = (r/ℓ)·tan τ, sin τ = distance/ℓ", weight / heels * math.Tan(lean), value(stand, hold.WallPush), "BW"})

	// 4. Strength.
	var norms datasets.Norms
	var size datasets.Size
	golden.OK(t, datasets.Read("strength", "norms", &norms))
	golden.OK(t, datasets.Read("strength", "nhanes-grip-2011-2014", &size))
	law := golden.Must(strength.LoadLaw())(t)
	of, fit, norm := norms.Samples["male"], size.BySex["male"], 0.0
	for _, r := range norms.Rows {
		if r.Group == muscle.ShoulderAbduction.String() && r.Sex == "male" && math.Abs(float64(r.Angle)-60*degree) < 1e-9 {
			norm = r.Value
		}
	}
	older := law.OfAge(anthro.Male, m[anthro.Age]) / law.OfAge(anthro.Male, of.Age)
	gains := strength.OfAddedMass(80, 5, 0.5, &a).Force
	a0, β := a[assume.ActiveShare], a[assume.StrengthExponent]
	lines = append(lines,
		worked{"strength of one shoulder's abductors at 60°", "norm·(m/m₀)^a·(h/h₀)^(b+1)·(grip at the age/grip at the sample's)/(m·g)",
			norm * math.Pow(m[anthro.Mass]/of.Mass, fit.MassExponent.Value) * math.Pow(m[anthro.Stature]/of.Stature, fit.StatureExponent.Value+1) * older / (m[anthro.Mass] * 9.80665),
			gives(muscle.ShoulderAbduction, 60*degree), "BW·m"},
		worked{"5 kg on a man of 80 kg, half of it working: strength", "(1 + q·Δm/(a·m))^β", math.Pow(1+0.5*5/(a0*80), β), gains, "times"},
		worked{"share that must work if the force in BW stays the same", "q* = (a·m/Δm)·((m₁/m₀)^(1/β) − 1)", a0 * 80 / 5 * (math.Pow(85./80, 1/β) - 1), strength.BreakEven(1, 80, 5, &a), ""},
		worked{"a body 5 % larger in every length: strength", "s^(p·β)", math.Pow(1.05, a[assume.SizeExponent]*β), strength.OfSize(1.05, &a).Force, "times"})

	var text strings.Builder
	fmt.Fprintf(&text, "The man of the medians of ansur2-men, soldiers: stature %.4f m, mass %.2f kg, upper arm %.4f m, forearm %.4f m,\npalm %.4f m, biacromial breadth %.4f m, acromion at %.4f m, trochanterion at %.4f m. m_a, k and c are sums over the table of\nsegments, each term of which stands in `sim/methods_test.go`; every row takes those before unrounded.\n\n| | formula | value |\n|---|---|---|\n",
		m[anthro.Stature], m[anthro.Mass], m[anthro.UpperArmLength], m[anthro.ForearmLength], m[anthro.PalmLength], m[anthro.BiacromialBreadth], m[anthro.AcromialHeight], m[anthro.TrochanterionHeight])
	for _, w := range lines {
		if !(math.Abs(w.byHand-w.code) <= 1e-12*math.Max(1, math.Abs(w.code))) {
			t.Errorf("%s: %s gives %.15g, the program %.15g", w.name, w.formula, w.byHand, w.code)
		}
		value := fmt.Sprintf("%.4f", w.code)
		if w.unit == "°" {
			value = fmt.Sprintf("%.2f", w.code)
		}
		fmt.Fprintf(&text, "| %s | %s | %s |\n", w.name, w.formula, strings.TrimSpace(strings.Replace(value+" "+w.unit, " °", "°", 1)))
	}
	golden.Section(t, "sim/METHODS.md", "worked example", text.String())
}

// Defaults and ranges that METHODS.md prints behind the name of an assumption are the
// program's.
func TestAssumptionsOfMethods(t *testing.T) {
	text := golden.Must(os.ReadFile("METHODS.md"))(t)
	found := regexp.MustCompile("`([a-z_]+)` ([−0-9.]+), ([−0-9.]+)–([−0-9.]+)").FindAllStringSubmatch(strings.Join(strings.Fields(string(text)), " "), -1)
	for _, m := range found {
		id, ok := assume.Parse(m[1])
		if !ok {
			t.Errorf("%s is not an assumption", m[1])
			continue
		}
		info := id.Info()
		for k, want := range []float64{info.Default, info.Low, info.High} {
			if got, err := strconv.ParseFloat(strings.Replace(m[2+k], "−", "-", 1), 64); err != nil || got != want {
				t.Errorf("%s: METHODS.md says %q, the program %g", m[1], m[0], want)
			}
		}
	}
	if len(found) < 8 {
		t.Errorf("%d assumptions were found", len(found))
	}
}

// smallest returns the least value of a function with one valley between low and high.
func smallest(of func(float64) float64, low, high float64) float64 {
	for range 120 {
		if a, b := low+(high-low)/3, high-(high-low)/3; of(a) < of(b) {
			high = b
		} else {
			low = a
		}
	}
	return of((low + high) / 2)
}
