package bench

import (
	"testing"

	"turncue/calc"
)

func TestSpigotIsRight(t *testing.T) {
	l, j := smallLathe(), spigot()
	r := Run(spigotPlan(l), j, l)
	mustPass(t, r)
	want := Profile{
		{From: 0, To: mm, Left: 13960 * um, Right: 15960 * um},
		{From: mm, To: 20 * mm, Left: 15960 * um, Right: 15960 * um},
		{From: 20 * mm, To: 30 * mm, Left: 20 * mm, Right: 20 * mm},
	}
	equalProfiles(t, r.Profile, want)
	if !r.Parted {
		t.Error("not parted off")
	}
	equalProfiles(t, r.Rest, Profile{
		{From: 32 * mm, To: 33 * mm, Left: 20 * mm, Right: 20 * mm},
		{From: 33 * mm, To: 59500 * um, Left: 22 * mm, Right: 22 * mm},
	})
	if len(r.Sizes) != 5 {
		t.Errorf("%d sizes, want 5: %v", len(r.Sizes), r.Sizes)
	}
}

func TestStudIsRight(t *testing.T) {
	l, j := smallLathe(), stud()
	r := Run(studPlan(l, studDepths...), j, l)
	mustPass(t, r)
	var th *Thread
	for _, p := range r.Profile {
		if p.Thread != nil {
			th = p.Thread
		}
	}
	if th == nil || th.Passes != len(studDepths) || th.Depth != 600*um || th.Lead != calc.PerTurn(mm) {
		t.Errorf("thread %+v, want 9 passes to 0.6 mm at 1 mm", th)
	}
	groove := r.Profile.At(18 * mm)
	if groove != 8360*um {
		t.Errorf("groove is %s, want 8.36 mm", groove)
	}
}

func equalProfiles(t *testing.T, got, want Profile) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("profile %v, want %v", got, want)
	}
	for i := range got {
		g := got[i]
		g.Step, g.latest, g.Thread = 0, 0, nil
		if g != want[i] {
			t.Errorf("piece %d is %v, want %v", i, g, want[i])
		}
	}
}
