package math

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// functions are those of one number that are computed here, with those of the standard
// library or gonum, where arguments come from, and by how many units in the last place
// both may differ: those of the standard library are 4 units from themselves on another processor.
var functions = []struct {
	name      string
	ours      func(float64) float64
	theirs    func(float64) float64
	from, to  float64
	mostApart uint64
}{
	{"Exp", Exp, math.Exp, -40, 40, 4},
	{"Exp, far out", Exp, math.Exp, -740, 709, 4},
	{"Log", Log, math.Log, 0, 100, 4},
	{"Log, near 1", Log, math.Log, 0.9, 1.1, 4},
	{"Sin", Sin, math.Sin, -10, 10, 4},
	{"Sin, far out", Sin, math.Sin, -1e6, 1e6, 4},
	{"Cos", Cos, math.Cos, -10, 10, 4},
	{"Atan", Atan, math.Atan, -5, 5, 4},
	{"Asin", Asin, math.Asin, -0.9, 0.9, 4},
	{"Acos", Acos, math.Acos, -1, 0.9, 4},
	{"Cbrt", Cbrt, math.Cbrt, -50, 50, 4},
	{"Erfc", Erfc, math.Erfc, -7, 3, 4},
	{"Hypot", func(x float64) float64 { return Hypot(x, 1.25) }, func(x float64) float64 { return math.Hypot(x, 1.25) }, -9, 9, 4},
	{"Atan2", func(x float64) float64 { return Atan2(x, -0.75) }, func(x float64) float64 { return math.Atan2(x, -0.75) }, -9, 9, 4},
	{"Pow", func(x float64) float64 { return Pow(x, 1.7) }, func(x float64) float64 { return math.Pow(x, 1.7) }, 0, 9, 4},
	{"Pow, negative", func(x float64) float64 { return Pow(x, -2.4) }, func(x float64) float64 { return math.Pow(x, -2.4) }, 0, 9, 4},
	{"NormalQuantile", NormalQuantile, mathext.NormalQuantile, 0, 1, 8},
	{"NormalShare", NormalShare, distuv.UnitNormal.CDF, -5, 5, 4},
	{"NormalDensity", NormalDensity, distuv.UnitNormal.Prob, -5, 5, 8},
}

// apart is how many numbers lie from x to y, which have one sign.
func apart(x, y float64) uint64 {
	a, b := math.Float64bits(x), math.Float64bits(y)
	return max(a, b) - min(a, b)
}

// frozen is the SHA-256 of what the functions of the table give of 4,096 arguments each. It is the
// same on every processor, and never changes: results of seeds would change with it.
const frozen = "66874c05dd8b95f5ef36be6eaee604683e333394bd09bfab9d5db74af795bc41"

func TestFunctions(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 9))
	sum := sha256.New()
	for _, f := range functions {
		worst, worstAt := uint64(0), 0.0
		for range 4096 {
			x := f.from + float64((f.to-f.from)*random.Float64())
			is, want := f.ours(x), f.theirs(x)
			binary.Write(sum, binary.LittleEndian, is)
			if far := apart(is, want); far > worst {
				worst, worstAt = far, x
			}
		}
		if worst > f.mostApart {
			t.Errorf("%s(%v) = %v, the other says %v, %d units in the last place away", f.name, worstAt, f.ours(worstAt), f.theirs(worstAt), worst)
		}
		t.Logf("%s: at most %d units in the last place", f.name, worst)
	}
	if got := fmt.Sprintf("%x", sum.Sum(nil)); got != frozen {
		t.Errorf("the bits of all results have the hash %s, want %s", got, frozen)
	}
}

// The exponential and the logarithm are right to a unit in the last place, by the series
// of the exponential in 300 bits.
func TestExpAndLog(t *testing.T) {
	exact := func(x float64) *big.Float {
		const halvings = 20
		y := new(big.Float).SetPrec(300).SetFloat64(x)
		y.SetMantExp(y, -halvings)
		sum, term := big.NewFloat(1).SetPrec(300), big.NewFloat(1).SetPrec(300)
		for n := 1; n < 20; n++ {
			term.Quo(term.Mul(term, y), big.NewFloat(float64(n)))
			sum.Add(sum, term)
		}
		for range halvings {
			sum.Mul(sum, sum)
		}
		return sum
	}
	random := rand.New(rand.NewPCG(1, 2))
	for range 500 {
		x := 80 * (random.Float64() - 0.5)
		want, _ := exact(x).Float64()
		if is := Exp(x); apart(is, want) > 1 {
			t.Errorf("Exp(%v) = %v, want %v", x, is, want)
		}
		// Half a unit of the argument is the most that rounding want leaves in its logarithm.
		if is := Log(want); math.Abs(is-x) > 1.2e-16+2.3e-16*math.Abs(x) {
			t.Errorf("Log(%v) = %v, want %v", want, is, x)
		}
	}
	// The least number, of which the standard library's assembly for amd64 gives −709.1.
	if is := Log(5e-324); apart(is, -1074*Ln2) > 1 {
		t.Errorf("Log(5e-324) = %v, want %v", is, -1074*Ln2)
	}
}

// Special values are the standard library's.
func TestSpecialValues(t *testing.T) {
	special := []float64{0, math.Copysign(0, -1), 1, -1, 0.5, -0.5, 2, -2, 3, -3, 1e300, -1e300, 1e-300, 1e-9, 28, -28, 2.5,
		math.Inf(1), math.Inf(-1), math.NaN()}
	same := func(name string, is, want float64, args ...float64) {
		t.Helper()
		if math.IsNaN(is) != math.IsNaN(want) || !math.IsNaN(is) && is != want && !(apart(is, want) <= 4) || math.Signbit(is) != math.Signbit(want) && !math.IsNaN(is) {
			t.Errorf("%s%v = %v, want %v", name, args, is, want)
		}
	}
	for _, x := range special {
		same("Exp", Exp(x), math.Exp(x), x)
		same("Log", Log(x), math.Log(x), x)
		same("Atan", Atan(x), math.Atan(x), x)
		same("Asin", Asin(x), math.Asin(x), x)
		same("Acos", Acos(x), math.Acos(x), x)
		same("Cbrt", Cbrt(x), math.Cbrt(x), x)
		same("Erfc", Erfc(x), math.Erfc(x), x)
		sin, cos := Sincos(x)
		same("first of Sincos", sin, Sin(x), x)
		same("second of Sincos", cos, Cos(x), x)
		if !(math.Abs(x) > largestAngle) {
			same("Sin", Sin(x), math.Sin(x), x)
			same("Cos", Cos(x), math.Cos(x), x)
		}
		for _, y := range special {
			same("Pow", Pow(x, y), math.Pow(x, y), x, y)
			same("Atan2", Atan2(x, y), math.Atan2(x, y), x, y)
			same("Hypot", Hypot(x, y), math.Hypot(x, y), x, y)
		}
	}
	for share, want := range map[float64]float64{0: math.Inf(-1), 1: math.Inf(1), 0.5: 0, -1: math.NaN(), 2: math.NaN()} {
		same("NormalQuantile", NormalQuantile(share), want, share)
	}
}

// The tails of distributions agree with gonum's, and quantiles with their shares.
func TestTails(t *testing.T) {
	near := func(name string, is, want, within float64, args ...any) {
		t.Helper()
		if !(math.Abs(is-want) <= within*math.Abs(want)) {
			t.Errorf("%s%v = %v, want %v", name, args, is, want)
		}
	}
	for degrees := 1; degrees < 40; degrees++ {
		for _, x := range []float64{0, 0.01, 0.5, 1, 3, 10, 40, 90} {
			near("ChiSquaredAbove", ChiSquaredAbove(x, degrees), distuv.ChiSquared{K: float64(degrees)}.Survival(x), 1e-12, x, degrees)
		}
		for _, share := range []float64{0.55, 0.9, 0.975, 0.995} {
			near("StudentQuantile", StudentQuantile(share, float64(degrees)), distuv.StudentsT{Sigma: 1, Nu: float64(degrees)}.Quantile(share), 1e-10, share, degrees)
			near("StudentQuantile", StudentQuantile(1-share, float64(degrees)), -StudentQuantile(share, float64(degrees)), 1e-12, 1-share, degrees)
		}
	}
	for _, alpha := range []float64{0.5, 1, 3, 40, 4000} {
		for _, beta := range []float64{0.5, 1, 7, 100, 5000} {
			for _, share := range []float64{1e-4, 0.025, 0.5, 0.975} {
				x := BetaQuantile(share, alpha, beta)
				near("BetaQuantile", x, distuv.Beta{Alpha: alpha, Beta: beta}.Quantile(share), 1e-9, share, alpha, beta)
				near("BetaShare", BetaShare(x, alpha, beta), share, 1e-9, x, alpha, beta)
			}
		}
	}
	// Student 1908 and every textbook since: 12.706 for one degree, 2.776 for 4 (from memory).
	near("StudentQuantile", StudentQuantile(0.975, 1), math.Tan(0.475*math.Pi), 1e-12)
	near("StudentQuantile", StudentQuantile(0.975, 4), 2.776, 2e-4)
}

func BenchmarkAgainstStandard(b *testing.B) {
	for name, f := range map[string][2]func(float64) float64{"Exp": {Exp, math.Exp}, "Sin": {Sin, math.Sin}, "Log": {Log, math.Log}} {
		b.Run(name+"/ours", func(b *testing.B) { benchmark(b, f[0]) })
		b.Run(name+"/standard", func(b *testing.B) { benchmark(b, f[1]) })
	}
}

func benchmark(b *testing.B, f func(float64) float64) {
	sum := 0.0
	for i := 0; b.Loop(); i++ {
		sum += f(0.5 + float64(i%1024)/512)
	}
	if sum == 0 {
		b.Error("no sum")
	}
}
