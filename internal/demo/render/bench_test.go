package render

import "testing"

func BenchmarkDraw(b *testing.B) {
	for name, still := range map[string]bool{"still": true, "drifting": false} {
		b.Run(name, func(b *testing.B) {
			s := testScene(1280, 720)
			s.Still = still
			desk := NewStudio(s).NewDesk()
			buf := make([]byte, s.FrameBytes())
			for b.Loop() {
				desk.Draw(0.3, 1, buf)
			}
		})
	}
}
