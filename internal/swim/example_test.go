package swim_test

import (
	"fmt"
	"math"

	"underkick/internal/body"
	"underkick/internal/swim"
)

// The steady swim of a kick, and where the toes are a quarter of a second on.
func ExampleModel_Swim() {
	subject, _ := body.Subject{Height: 1.80, Mass: 75, Sex: body.Male}.Complete()
	model := swim.NewModel(subject, swim.ModelOptions{})

	kick := swim.Reference()
	kick.Tempo = 2.4 // Hz
	orbit, err := model.Swim(kick, swim.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	loads := orbit.Loads()
	toe := orbit.Landmarks(0.25, 0)[body.Toe]
	fmt.Printf("%.2f m/s, Strouhal number %.2f\n", orbit.Speed, loads.Strouhal)
	fmt.Printf("toe %.2f m behind the start and %.2f m low\n", -toe.X, -toe.Y)

	// The same kick with the toes pointed 10 degrees less.
	flat, err := model.Swim(kick.Pointed(-10*math.Pi/180), swim.Options{Warm: orbit})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.0f %% of speed\n", 100*(flat.Speed/orbit.Speed-1))
	// Output:
	// 1.61 m/s, Strouhal number 0.78
	// toe 0.65 m behind the start and 0.14 m low
	// -8 % of speed
}
