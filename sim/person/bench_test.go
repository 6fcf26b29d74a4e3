package person

import (
	"context"
	"testing"

	"counterpoise/sim/anthro"
	"counterpoise/sim/hold"
)

// coachs is what a coach knows of a client.
func coachs() Person {
	return Person{Name: "demo", Sex: anthro.Female, Hold: hold.HumanFlag, Known: []anthro.Known{
		{Of: anthro.Stature, Value: 1.683, Error: 0.005}, {Of: anthro.Mass, Value: 61.4}, {Of: anthro.Span, Value: 1.716},
	}}
}

func BenchmarkAnswer(b *testing.B) {
	for _, h := range []*hold.Hold{hold.HumanFlag, hold.FrontLever, hold.WallHandstand} {
		b.Run("hold="+h.Name, func(b *testing.B) {
			p := coachs()
			p.Hold = h
			b.ReportAllocs()
			for b.Loop() {
				if _, err := Answer(context.Background(), p, DefaultOptions()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkReady(b *testing.B) {
	p := coachs()
	p.Tests = &Tests{Hangs: []Hang{{Left, 12, 0}, {Right, 17, 2.5}}, Handstands: []Handstand{{Left, 21, 3, 0, 0.2}, {Right, 9, 0, 0, 0.18}}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Ready(context.Background(), p, DefaultOptions()); err != nil {
			b.Fatal(err)
		}
	}
}
