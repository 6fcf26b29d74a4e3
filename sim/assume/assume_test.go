package assume

import (
	"math"
	"testing"

	"counterpoise/internal/golden"
)

func TestEveryAssumptionIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, a := range All() {
		if a.Name == "" || a.Unit == "" || a.Meaning == "" || a.Source == "" {
			t.Errorf("assumption %d lacks a name, unit, meaning or source: %+v", a.ID, a)
		}
		if seen[a.Name] {
			t.Errorf("two assumptions are called %s", a.Name)
		}
		seen[a.Name] = true
		if a.Choice {
			if a.Default != Chosen || a.Low != Chosen || a.High != Chosen || a.Least <= Chosen && Chosen <= a.Most {
				t.Errorf("%s: default %g, range %g..%g of a choice, possible %g..%g", a.Name, a.Default, a.Low, a.High, a.Least, a.Most)
			}
		} else if !(a.Least <= a.Low && a.Low < a.High && a.High <= a.Most && a.Low <= a.Default && a.Default <= a.High) {
			t.Errorf("%s: default %g, range %g..%g, possible %g..%g are not nested", a.Name, a.Default, a.Low, a.High, a.Least, a.Most)
		}
		id, ok := Parse(a.Name)
		if !ok || id != a.ID || id.String() != a.Name {
			t.Errorf("Parse(%q) = %v, %v", a.Name, id, ok)
		}
	}
}

func TestUncertainty(t *testing.T) {
	u := DefaultUncertainty()
	choices := 0
	for _, a := range All() {
		if a.Choice {
			choices++
		}
	}
	if got := len(u.Free()); got != int(Count)-choices {
		t.Fatalf("%d free assumptions, want all but %d of %d", got, choices, Count)
	}
	if _, pinned := u.Centre.Pinned(TopShare); pinned {
		t.Error("top_share is pinned from the start")
	}
	golden.OK(t, u.Fix(TopShare, 0.4))
	golden.OK(t, u.Spread(GripReach, 0.5, 0.6))
	golden.OK(t, u.Fix(ShoulderDrop, 0.1))
	if got := len(u.Free()); got != int(Count)-choices-1 {
		t.Fatalf("%d free assumptions after pinning a choice and fixing another", got)
	}
	point := make([]float64, len(u.Free()))
	for i := range point {
		point[i] = float64(i+1) / float64(len(point)+1)
	}
	s := u.At(point)
	if share, pinned := s.Pinned(TopShare); share != 0.4 || !pinned {
		t.Errorf("top_share pinned to 0.4 is %g, pinned %v", share, pinned)
	}
	if s[GripReach] < 0.5 || s[GripReach] > 0.6 {
		t.Errorf("grip_reach %g left its range", s[GripReach])
	}
	for i, id := range u.Free() {
		want := u.Low[id] + point[i]*(u.High[id]-u.Low[id])
		if s[id] != want {
			t.Errorf("%s = %g, want %g", id, s[id], want)
		}
	}
	for _, bad := range []struct{ low, high float64 }{{-1, 0.5}, {0.5, 2}, {0.6, 0.4}, {math.NaN(), 1}, {0, math.Inf(1)}} {
		if err := u.Spread(TopShare, bad.low, bad.high); err == nil {
			t.Errorf("top_share %g..%g was accepted", bad.low, bad.high)
		}
	}
}

func TestNamedLeavesOutWhatThePerformerChooses(t *testing.T) {
	s := Defaults()
	s[WallFriction] = -1 // as Chosen is, and no choice
	if _, there := s.Named()[TopShare.String()]; there || len(s.Named()) != int(Count)-1 || s.Named()[WallFriction.String()] != -1 {
		t.Errorf("named: %v", s.Named())
	}
	s[TopShare] = 0
	if share, there := s.Named()[TopShare.String()]; share != 0 || !there {
		t.Errorf("pinned: %v", s.Named())
	}
}

// What is a part of a whole is never more than all of it.
func TestPartsOfAWhole(t *testing.T) {
	for _, id := range []ID{HeelShare, TopShare, ActiveShare, BallShare} {
		if a := id.Info(); a.Least < 0 || a.Most > 1 {
			t.Errorf("%s may be from %g to %g", a.Name, a.Least, a.Most)
		}
	}
}
