package kick

import "underkick/internal/body"

const (
	groupStreamline = "Travel of the body"
	groupFoot       = "Foot speed"
	groupWave       = "Body wave"
	sourceWave      = "Phase of the first harmonic against distance: Lighthill 1960; Zamparo et al. 2002 for swimming people."
)

func amplitude(id, name, what string, l body.Landmark) Definition {
	return Definition{
		ID: id, Name: name, Group: groupStreamline, Unit: "m", Digits: 2, tags: metric | byPitch, needs: []body.Landmark{l},
		Meaning: "How far " + what + " across the travel line in a kick.",
		Formula: "largest minus smallest y over the kick",
		Source:  "Common to the field; a flatter shoulder line went with speed in Ikeda et al. 2021 (as quoted elsewhere).",
		Limits:  "Peak to peak of one kick: noise makes it a little too large.",
	}
}

var motionDefinitions = map[slot]Definition{
	handAmplitude:     amplitude("hand_amplitude", "Hand travel", "the hands move (the wrist where no finger tip is marked); a loss of streamline", body.Fingertip),
	shoulderAmplitude: amplitude("shoulder_amplitude", "Shoulder travel", "the shoulders move; a loss of streamline", body.Shoulder),
	hipAmplitude:      amplitude("hip_amplitude", "Hip travel", "the hips move", body.Hip),
	kneeAmplitude:     amplitude("knee_amplitude", "Knee travel", "the knees move", body.Knee),
	ankleAmplitude:    amplitude("ankle_amplitude", "Ankle travel", "the ankles move", body.Ankle),

	toePeakSpeedDown: {
		ID: "toe_peak_speed_down", Name: "Fastest toe, downkick", Group: groupFoot, Unit: "m/s", Digits: 1, tags: metric | quickFoot | byPitch, needs: needToe,
		Meaning: "The toes' largest speed across the travel line in the downkick.",
		Formula: "max of -dy_toe/dt from top to bottom",
		Source:  "Higher in faster swimmers, both ways (Tanaka et al. 2022; Higgs et al. 2017 as quoted elsewhere). At least A / T_down in every kick.",
		Limits:  slowFilm,
	},
	toePeakSpeedUp: {
		ID: "toe_peak_speed_up", Name: "Fastest toe, upkick", Group: groupFoot, Unit: "m/s", Digits: 1, tags: metric | quickFoot | byPitch, needs: needToe,
		Meaning: "The toes' largest speed across the travel line in the upkick.",
		Formula: "max of dy_toe/dt from bottom to next top",
		Source:  "As for the downkick.",
		Limits:  slowFilm,
	},
	toeSpeedRatio: {
		ID: "toe_speed_ratio", Name: "Downkick to upkick toe speed", Group: groupFoot, Unit: "1", Digits: 2, tags: quickFoot | byPitch, needs: needToe,
		Meaning: "Fastest toe of the downkick over that of the upkick. Nearer 1 goes with speed.",
		Formula: "toe_peak_speed_down / toe_peak_speed_up",
		Source:  "Atkison et al. 2014: lower in faster swimmers.",
		Limits:  slowFilm,
	},
	anklePeakSpeedDown: {
		ID: "ankle_peak_speed_down", Name: "Fastest ankle, downkick", Group: groupFoot, Unit: "m/s", Digits: 1, tags: metric | quickFoot | byPitch, needs: []body.Landmark{body.Ankle},
		Meaning: "The ankles' largest speed across the travel line in the downkick.",
		Formula: "max of -dy_ankle/dt from top to bottom",
		Source:  "Common to the field.",
		Limits:  slowFilm,
	},
	anklePeakSpeedUp: {
		ID: "ankle_peak_speed_up", Name: "Fastest ankle, upkick", Group: groupFoot, Unit: "m/s", Digits: 1, tags: metric | quickFoot | byPitch, needs: []body.Landmark{body.Ankle},
		Meaning: "The ankles' largest speed across the travel line in the upkick.",
		Formula: "max of dy_ankle/dt from bottom to next top",
		Source:  "Common to the field.",
		Limits:  slowFilm,
	},
	footPeakSpeedDown: {
		ID: "foot_peak_speed_down", Name: "Fastest foot, downkick", Group: groupFoot, Unit: "m/s", Digits: 1, tags: metric | quickFoot | byPitch, needs: needFoot,
		Meaning: "The largest speed of the foot's centre past the hip in the downkick.",
		Formula: "max v from top to bottom",
		Source:  sourceQualities,
		Limits:  slowFilm,
	},
	footPeakSpeedUp: {
		ID: "foot_peak_speed_up", Name: "Fastest foot, upkick", Group: groupFoot, Unit: "m/s", Digits: 1, tags: metric | quickFoot | byPitch, needs: needFoot,
		Meaning: "The largest speed of the foot's centre past the hip in the upkick.",
		Formula: "max v from bottom to next top",
		Source:  sourceQualities,
		Limits:  slowFilm,
	},
}

var waveDefinitions = map[slot]Definition{
	waveSpeed: {
		ID: "wave_speed", Name: "Speed of the body wave", Unit: "m/s", Digits: 1, tags: metric | byPitch | byWave, needs: needWave,
		Meaning: "How fast the wave runs down the legs from hip to toe.",
		Formula: "c = wavelength / T; phase of the first harmonic of each landmark across the travel line, regressed on its distance from the hip along the leg, weight = squared amplitude",
		Source:  sourceWave,
		Limits:  "Hip, knee, ankle and toe; the trunk and arms move nearly as a standing wave and are left out. Other texts use other landmarks.",
	},
	wavelength: {
		ID: "wavelength", Name: "Length of the body wave", Unit: "m", Digits: 1, tags: metric | byPitch | byWave, needs: needWave,
		Meaning: "The length that one whole wave would have on the body.",
		Formula: "lambda = c T",
		Source:  sourceWave, Limits: "As the wave's speed.",
	},
	slip: {
		ID: "slip", Name: "Slip", Unit: "1", Digits: 2, tags: byTravel | byYaw | byPitch | byWave | byCentre, needs: needWave,
		Meaning: "The swimmer's speed over the speed of the body wave; 1 would be a wave that stands still in the water.",
		Formula: "U / c",
		Source:  sourceWave, Limits: "As the wave's speed.",
	},
	slenderBodyEfficiency: {
		ID: "slender_body_efficiency", Name: "Slender-body efficiency", Unit: "1", Digits: 2, tags: byTravel | byYaw | byPitch | byWave | byCentre, needs: needWave,
		Meaning: "What slender-body theory gives for this slip. It leaves out the legs' drag, cannot fall below 0.5, and does not rank kickers.",
		Formula: "(1 + U/c) / 2",
		Source:  "Lighthill 1960; Zamparo et al. 2002.",
		Limits:  "A property of the wave alone, not of the swimmer's effort.",
	},
}
