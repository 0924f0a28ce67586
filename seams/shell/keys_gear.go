package shell

func gearKeys() []Key {
	keys := append(gunKeys(), tipKeys()...)
	return append(keys, rollerKeys()...)
}

func gunKeys() []Key {
	return []Key{
		{Name: "guns[].id", Meaning: "name within this file", Required: true},
		{Name: "guns[].letter", Meaning: "one or two letters for maps; left out: A, B …"},
		{Name: "guns[].name", Meaning: "longer name; left out: the id"},
		{Name: "guns[].throat_depth_mm", Meaning: "from the tips back to the yoke", Unit: "mm", Required: true, Least: 10, Greatest: 3000},
		{Name: "guns[].throat_gap_mm", Meaning: "between the arms", Unit: "mm", Required: true, Least: 10, Greatest: 3000},
		{Name: "guns[].arm_mm", Meaning: "diameter of the arms", Unit: "mm", Default: 40.0, Least: 5, Greatest: 300, Source: Practice},
		{Name: "guns[].stroke_mm", Meaning: "opening between the tips", Unit: "mm", Default: 50.0, Least: 2, Greatest: 1000, Source: Practice},
		{Name: "guns[].force_n", Meaning: "greatest electrode force; 0: not stated", Unit: "N", Least: 100, Greatest: 50_000, OrZero: true},
		{Name: "guns[].power_kva", Meaning: "rating at 50 % duty", Unit: "kVA", Default: 40.0, Least: 1, Greatest: 1000, Source: Practice},
		{Name: "guns[].current_a", Meaning: "greatest short-circuit current (ISO 669), tips pressed together; 0: not stated, and the current " +
			"that it " +
			"gives is not judged", Unit: "A", Least: 1000, Greatest: 100_000, OrZero: true},
		{Name: "guns[].voltage_v", Meaning: "open-circuit voltage between tips on the highest tap (ISO 669), for the kVA that a weld draws; " +
			"0: not " +
			"stated, and the duty is not judged", Unit: "V", Least: 1, Greatest: 100, OrZero: true},
		{Name: "guns[].mass_kg", Meaning: "mass that the welder moves; 0: not stated", Unit: "kg", Least: 0.5, Greatest: 500, OrZero: true},
		{Name: "guns[].tips", Meaning: "ids of the tips that fit; left out: all"},
	}
}

func tipKeys() []Key {
	return []Key{
		{Name: "tips[].id", Meaning: "name within this file", Required: true},
		{Name: "tips[].name", Meaning: "longer name; left out: the id"},
		{Name: "tips[].shape", Meaning: "form of the face", Default: "domed", Words: []string{"domed", "flat", "truncated", "narrow-flat"},
			Source: Choice},
		{Name: "tips[].face_mm", Meaning: "diameter of the face", Unit: "mm", Required: true, Least: 2, Greatest: 30},
		{Name: "tips[].shank_mm", Meaning: "diameter, across the flange", Unit: "mm", Default: 16.0, Least: 3, Greatest: 100, Source: Practice},
		{Name: "tips[].shank_long_mm", Meaning: "extent along the flange; 0: round, as shank_mm", Unit: "mm", Least: 3, Greatest: 200,
			OrZero: true},
		{Name: "tips[].length_mm", Meaning: "from the face to where the arm's diameter begins", Unit: "mm", Default: 30.0, Least: 1,
			Greatest: 1000, Source: Practice},
		{Name: "tips[].dress_every", Meaning: "welds between two dressings", Default: 200, Least: 1, Greatest: 1_000_000,
			Source: "on zinc 100 to 300 in production: memory, no document"},
		{Name: "tips[].dressings", Meaning: "dressings that a cap lasts", Default: 15, Least: 0, Greatest: 1000, Source: Practice},
		{Name: "tips[].price", Meaning: "of one pair", Unit: "money", Default: 6.0, Least: 0, Greatest: 1e7, Source: Practice},
	}
}

func rollerKeys() []Key {
	return []Key{
		{Name: "rollers[].id", Meaning: "name within this file", Required: true},
		{Name: "rollers[].letter", Meaning: "one or two letters for maps; left out: R, S …"},
		{Name: "rollers[].name", Meaning: "longer name; left out: the id"},
		{Name: "rollers[].wheel_width_mm", Meaning: "width of the rolling face", Unit: "mm", Default: 5.0, Least: 1, Greatest: 100,
			Source: Practice},
		{Name: "rollers[].wheel_diameter_mm", Meaning: "diameter of the wheels", Unit: "mm", Default: 120.0, Least: 10, Greatest: 1000,
			Source: Practice},
		{Name: "rollers[].least_radius_mm", Meaning: "tightest bend of the path", Unit: "mm", Default: 80.0, Least: 0, Greatest: 10_000,
			Source: Practice},
		{Name: "rollers[].speed_m_per_min", Meaning: "speed; 0: the setting table's", Unit: "m/min", Least: 0.05, Greatest: 30, OrZero: true},
		{Name: "rollers[].dress_every_m", Meaning: "seam between two dressings", Unit: "m", Default: 60.0, Least: 0.1, Greatest: 1e6,
			Source: Practice},
		{Name: "rollers[].wheel_life_m", Meaning: "seam that a pair of wheels lasts", Unit: "m", Default: 2000.0, Least: 0.1, Greatest: 1e7,
			Source: Practice},
		{Name: "rollers[].price", Meaning: "of one pair of wheels", Unit: "money", Default: 120.0, Least: 0, Greatest: 1e7, Source: Practice},
		{Name: "rollers[].power_kva", Meaning: "rating at 50 % duty", Unit: "kVA", Default: 60.0, Least: 1, Greatest: 1000, Source: Practice},
		{Name: "rollers[].current_a", Meaning: "greatest short-circuit current (ISO 669), wheels pressed together; 0: not stated, and the " +
			"current that it " +
			"gives is not judged", Unit: "A", Least: 1000, Greatest: 100_000, OrZero: true},
		{Name: "rollers[].voltage_v", Meaning: "open-circuit voltage between wheels on the highest tap (ISO 669), for the kVA that a weld " +
			"draws; 0: not " +
			"stated, and the duty is not judged", Unit: "V", Least: 1, Greatest: 100, OrZero: true},
	}
}

// StandInTips are the two tips of a file that names none; what is not set here follows the table. Invented;
// common practice, no source.
func StandInTips() []Tip {
	return []Tip{
		{ID: "domed", Name: "domed cap", Shape: "domed", Face: 6},
		{ID: "narrow", Name: "narrow flat tip", Shape: "narrow-flat", Face: 5, Shank: 8, ShankLong: 16, Length: 40, Dress: 120, Dressings: 8,
			Price: 14},
	}
}

// StandInGuns are the two guns of a file that names none. Invented; common practice, no source.
func StandInGuns() []Gun {
	return []Gun{
		{ID: "gun-a", Letter: "A", Name: "ordinary gun", ThroatDepth: 250, ThroatGap: 160, Force: 3000, Mass: 18},
		{ID: "gun-b", Letter: "B", Name: "slim gun for narrow places", ThroatDepth: 150, ThroatGap: 90, Arm: 28, Stroke: 40, Force: 2500,
			Mass: 14},
	}
}

// StandInRollers is the roller of a file that names none. Invented; common practice, no source.
func StandInRollers() []Roller {
	return []Roller{{ID: "roller-r", Letter: "R", Name: "roller head"}}
}
