package chart

import (
	"image/color"
	"math"
	"strings"
	"testing"

	"counterpoise/internal/draw"
)

// How people without one kind of cones see colours: the matrices of Machado, Oliveira &
// Fernandes 2009 (IEEE Transactions on Visualization and Computer Graphics 15:1291) for
// linear RGB at full severity, from memory.
var visions = map[string][3][3]float64{
	"common":       {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}},
	"protanopia":   {{0.152286, 1.052583, -0.204868}, {0.114503, 0.786281, 0.099216}, {-0.003882, -0.048116, 1.051998}},
	"deuteranopia": {{0.367322, 0.860646, -0.227968}, {0.280085, 0.672501, 0.047413}, {-0.011820, 0.042940, 0.968881}},
	"tritanopia":   {{1.255528, -0.076749, -0.178779}, {-0.078411, 0.930809, 0.147602}, {0.004733, 0.691367, 0.303900}},
}

// lab is a colour in CIE L*a*b* (D65) as a kind of vision sees it.
func lab(c color.RGBA, vision [3][3]float64) [3]float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	apply := func(m [3][3]float64, v [3]float64) (to [3]float64) {
		for i, row := range m {
			to[i] = row[0]*v[0] + row[1]*v[1] + row[2]*v[2]
		}
		return to
	}
	seen := apply(vision, [3]float64{linear(c.R), linear(c.G), linear(c.B)})
	for i := range seen {
		seen[i] = min(max(seen[i], 0), 1)
	}
	xyz := apply([3][3]float64{{0.4124564, 0.3575761, 0.1804375}, {0.2126729, 0.7151522, 0.0721750}, {0.0193339, 0.1191920, 0.9503041}}, seen)
	f := func(t float64) float64 {
		if t > 216.0/24389 {
			return math.Cbrt(t)
		}
		return (24389.0/27*t + 16) / 116
	}
	x, y, z := f(xyz[0]/0.95047), f(xyz[1]), f(xyz[2]/1.08883)
	return [3]float64{116*y - 16, 500 * (x - y), 200 * (y - z)}
}

// difference is CIEDE2000 (ISO/CIE 11664-6).
func difference(p, q [3]float64) float64 {
	mean := (math.Hypot(p[1], p[2]) + math.Hypot(q[1], q[2])) / 2
	g := 0.5 * (1 - math.Sqrt(math.Pow(mean, 7)/(math.Pow(mean, 7)+math.Pow(25, 7))))
	polar := func(l [3]float64) (c, h float64) {
		a := (1 + g) * l[1]
		h = math.Atan2(l[2], a)
		if h < 0 {
			h += 2 * math.Pi
		}
		return math.Hypot(a, l[2]), h
	}
	c1, h1 := polar(p)
	c2, h2 := polar(q)
	turn, hue := h2-h1, (h1+h2)/2
	switch {
	case c1*c2 == 0:
		turn, hue = 0, h1+h2
	case turn > math.Pi:
		turn -= 2 * math.Pi
		hue += math.Pi
	case turn < -math.Pi:
		turn += 2 * math.Pi
		hue += math.Pi
	}
	c := (c1 + c2) / 2
	const degree = math.Pi / 180
	t := 1 - 0.17*math.Cos(hue-30*degree) + 0.24*math.Cos(2*hue) + 0.32*math.Cos(3*hue+6*degree) - 0.20*math.Cos(4*hue-63*degree)
	off := (math.Mod(hue/degree, 360) - 275) / 25
	rotation := -math.Sin(60*degree*math.Exp(-off*off)) * 2 * math.Sqrt(math.Pow(c, 7)/(math.Pow(c, 7)+math.Pow(25, 7)))
	light := (p[0]+q[0])/2 - 50
	l := (q[0] - p[0]) / (1 + 0.015*light*light/math.Sqrt(20+light*light))
	chroma, h := (c2-c1)/(1+0.045*c), 2*math.Sqrt(c1*c2)*math.Sin(turn/2)/(1+0.015*c*t)
	return math.Sqrt(l*l + chroma*chroma + h*h + rotation*chroma*h)
}

// Three of the pairs that Sharma, Wu & Dalal 2005 (Color Research & Application 30:21,
// table 1) give for tests of CIEDE2000, from memory.
func TestDifference(t *testing.T) {
	for _, c := range []struct {
		p, q [3]float64
		want float64
	}{
		{[3]float64{50, 2.6772, -79.7751}, [3]float64{50, 0, -82.7485}, 2.0425},
		{[3]float64{50, 2.5, 0}, [3]float64{73, 25, -18}, 27.1492},
		{[3]float64{60.2574, -34.0099, 36.2677}, [3]float64{60.4626, -34.1751, 39.4387}, 1.2644},
	} {
		if got := difference(c.p, c.q); math.Abs(got-c.want) > 5e-5 {
			t.Errorf("%v, %v: %.4f, published %.4f", c.p, c.q, got, c.want)
		}
		if a, b := difference(c.p, c.q), difference(c.q, c.p); math.Abs(a-b) > 1e-12 || difference(c.p, c.p) != 0 {
			t.Errorf("%v, %v: %g one way, %g the other", c.p, c.q, a, b)
		}
	}
}

// Everybody tells easier from harder, and both from what is too small to matter; easier and
// harder differ in print too, where colours go; and so do before and after.
func TestColorsAreToldApartByEverybody(t *testing.T) {
	for name, vision := range visions {
		for _, row := range vision {
			if sum := row[0] + row[1] + row[2]; math.Abs(sum-1) > 1e-5 {
				t.Errorf("%s: grey does not stay grey: %v", name, row)
			}
		}
		for _, theme := range draw.Themes {
			small := EffectDistribution{}.sideColor(theme, 0)
			for _, pair := range []struct {
				what  string
				a, b  color.RGBA
				least float64
			}{
				{"easier and harder", theme.Below, theme.Above, 40},
				{"easier and too small", theme.Below, small, 18},
				{"harder and too small", theme.Above, small, 18},
				{"before and after", theme.Before, theme.After, 15},
				{"the least cell and the greatest", theme.Shade(0), theme.Shade(1), 40},
				{"a cell and one a third of the scale on", theme.Shade(0.3), theme.Shade(0.63), 10},
				{"a hump and the line over it", draw.Mix(theme.Background, theme.Before, 0.3), theme.After, 18},
				{"a bar of people and one of what nobody has measured", FromPeople.color(theme), FromAssumptions.color(theme), 15},
			} {
				if got := difference(lab(pair.a, vision), lab(pair.b, vision)); got < pair.least {
					t.Errorf("%s, %s: %s differ by %.1f, at least %g", name, theme, pair.what, got, pair.least)
				}
			}
			if name == "common" {
				for _, pair := range [][2]color.RGBA{{theme.Below, theme.Above}, {theme.Before, theme.After}, {theme.Shade(0), theme.Shade(0.5)}, {theme.Shade(0.5), theme.Shade(1)}} {
					if l := math.Abs(lab(pair[0], vision)[0] - lab(pair[1], vision)[0]); l < 18 {
						t.Errorf("%s: in print %v and %v differ by %.1f of lightness", theme, pair[0], pair[1], l)
					}
				}
			}
		}
	}
}

// Pages get both themes, and every colour of text can be read on the paper and what is sunk
// into it.
func TestIdentity(t *testing.T) {
	css := draw.Identity()
	light, dark, both := strings.Cut(css, "@media")
	if !both || strings.Count(light, "--") != strings.Count(dark, "--") || strings.Count(light, "--") < 10 {
		t.Errorf("not both themes: %s", css)
	}
	for _, text := range []string{light, dark} {
		of := map[string]color.RGBA{}
		for _, property := range strings.Split(text, ";") {
			if _, after, found := strings.Cut(property, "--"); found {
				name, hex, _ := strings.Cut(after, ":#")
				var c uint32
				for _, digit := range hex {
					c = c<<4 | uint32(strings.IndexRune("0123456789abcdef", digit))
				}
				of[name] = draw.RGB(c)
			}
		}
		for _, name := range []string{"ink", "soft", "mine", "easier", "harder", "force", "weight", "moment"} {
			for _, ground := range []string{"paper", "sunk"} {
				if c := draw.Contrast(of[name], of[ground]); c < draw.Readable {
					t.Errorf("%s on %s has a contrast of %.2f", name, ground, c)
				}
			}
		}
	}
}
