package swim

import (
	"testing"

	"underkick/internal/body"
)

func BenchmarkSwim(b *testing.B) {
	m := NewModel(body.Subject{Height: 1.8, Mass: 75, Sex: body.Male}, ModelOptions{})
	k := Reference()
	warm, err := m.Swim(k, Options{RigidFoot: true})
	if err != nil {
		b.Fatal(err)
	}
	bent, err := m.Swim(k, Options{})
	if err != nil {
		b.Fatal(err)
	}
	near := k.Scaled(1.02)
	for _, c := range []struct {
		name string
		kick Kick
		opt  Options
	}{
		{"cold", k, Options{RigidFoot: true}},
		{"warm", near, Options{RigidFoot: true, Warm: warm}},
		{"bending", k, Options{}},
		{"bendingWarm", near, Options{Warm: bent}},
		{"personal", k, Options{TargetSpeed: 1.3}},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if _, err := m.Swim(c.kick, c.opt); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	b.Run("kick", func(b *testing.B) {
		b.ReportAllocs()
		s, o := warm.trail[0], warm.out
		for b.Loop() {
			m.integrate(warm.frames, warm.Period(), s, &o, nil)
		}
	})
	b.Run("loads", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			warm.Loads()
		}
	})
}
