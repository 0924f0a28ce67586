package shell

// ruleKeys are what the works changes about rules, and what it lets pass.
func ruleKeys() []Key {
	own := func(name, meaning string, least, greatest float64) Key {
		return Key{Name: "rules." + name, Meaning: meaning + "; 0: the rule book's", Unit: "mm", Least: least, Greatest: greatest, OrZero: true}
	}
	return []Key{
		{Name: "supply.frequency_hz", Meaning: "mains frequency: settings in cycles depend on it", Unit: "Hz", Default: 50.0, Least: 50,
			Greatest: 60, Source: "European mains, " + Practice},
		{Name: "supply.kind", Meaning: "alternating current, or medium-frequency direct current: the tables are for AC, DC is converted",
			Default: "ac", Words: []string{"ac", "mfdc"}, Source: "the published tables are for AC"},
		own("least_pitch_mm", "least pitch", 2, 500),
		own("greatest_pitch_mm", "greatest pitch", 5, 1000),
		own("edge_distance_mm", "weld centre to the sheet's free edge", 1, 100),
		own("end_distance_mm", "weld centre to the end of the strip", 1, 200),
		own("bend_clearance_mm", "electrode face to the start of a bend", 0.1, 100),
		own("tack_every_mm", "distance between tacks", 10, 5000),
		{Name: "rules.weld_tolerance_mm", Meaning: "how far a hand-held gun may be off a weld's place: kept from edges and ends, twice between " +
			"rows, and counted in what a weld carries at an end; 0: welds are judged where they are planned", Unit: "mm", Default: 0.0, Least: 0,
			Greatest: 10, Source: Choice},
		{Name: "rules.book", Meaning: "the works' rule book (YAML, TOML or JSON), relative to the shell file; left out: the default book alone"},
		{Name: "rules.use[].rule", Meaning: "id of a rule of the book", Required: true},
		{Name: "rules.use[].source", Meaning: "id of the source that it goes by here", Required: true},
		{Name: "rules.setting_table", Meaning: "published table that spot settings start from", Default: "optimum",
			Words: settingTables(), Source: "the only one that was read; the others are recalled"},
		{Name: "rules.strength", Meaning: "rule for a weld's shear resistance: EN 1993-1-3, AISI S100, or the least of AWS D8.1M",
			Default: "en-1993", Words: []string{"en-1993", "aisi", "aws"}, Source: Choice},
		{Name: "rules.tension_factor", Meaning: "partial factor on a weld's tension, whose rules are test values", Default: 1.25, Least: 1,
			Greatest: 5, Source: "gamma_M2 of EN 1993-1-3:2006 (replaced by the 2024 edition, not seen), as for shear; memory"},

		{Name: "waivers[].rule", Meaning: "id of the rule that may be broken", Required: true},
		{Name: "waivers[].where", Meaning: "id of a joint, flange, station, roller seam, setting or panel that the finding is about, or a " +
			"weld as station:number; left out: everywhere"},
		{Name: "waivers[].reason", Meaning: "why, printed with the finding", Required: true},
		{Name: "waivers[].name", Meaning: "who answers for it, printed with the finding", Required: true},
		{Name: "survey.file", Meaning: "CSV file, relative to the shell file, of welds measured on an original part, in the shell's frame: " +
			"joints that it names are welded at its points"},
	}
}

// demandKeys are what a joint must carry and keep shut, beside its evenly spread load.
func demandKeys() []Key {
	return []Key{
		{Name: "joints[].forces[].at_mm", Meaning: "place where the load acts, in the shell's frame", Unit: "mm", Required: true, Least: -far,
			Greatest: far},
		{Name: "joints[].forces[].force_n", Meaning: "design force", Unit: "N", Least: -1e8, Greatest: 1e8},
		{Name: "joints[].forces[].moment_nm", Meaning: "design moment", Unit: "N·m", Least: -1e8, Greatest: 1e8},
		{Name: "joints[].forces[].on", Meaning: "id of the joint's panel that the load acts on, which tells pull from push; left out: both " +
			"count as pull"},
		{Name: "joints[].compression_mpa", Meaning: "design compressive stress along the row of welds; 0: none", Unit: "MPa", Least: 0,
			Greatest: 2000},
		{Name: "joints[].rows", Meaning: "rows of welds; 0: a second where one cannot hold the count or the load and the flange is wide " +
			"enough; 1: one and no more; 2: two wherever the flange is wide enough; more: so many, or as near to it as fit all along", Default: 0,
			Least: 0, Greatest: 20, Source: Choice},
		{Name: "joints[].edge_of", Meaning: "id of the joint's panel from whose free edge edge_mm is measured"},
		{Name: "joints[].edge_mm", Meaning: "from the free edge of the panel edge_of to the weld line, or to the outermost row over a broad " +
			"contact; 0: the line runs in the middle of the flange, and rows keep the rule's edge distance", Unit: "mm", Least: 1, Greatest: 500,
			OrZero: true},
		{Name: "joints[].row_pitch_mm", Meaning: "greatest distance between neighbouring rows of welds over a broad contact of the joint's " +
			"panels; 0: such a contact is welded only when the joint states a count, in one row", Unit: "mm", Least: 5, Greatest: 1000,
			OrZero: true},
		{Name: "joints[].row_distance_mm", Meaning: "between two rows of welds, across the flange; 0: as the load needs, or as welds side by " +
			"side ask for", Unit: "mm", Least: 3, Greatest: 500, OrZero: true},
		{Name: "joints[].welds[].id", Meaning: "name of a single weld set by hand", Required: true},
		{Name: "joints[].welds[].flange", Meaning: "id of its flange; left out: the joint's only one"},
		{Name: "joints[].welds[].along_mm", Meaning: "where along the flange's weld line: the weld nearest to it is meant", Unit: "mm", Least: 0,
			Greatest: far},
		{Name: "joints[].welds[].do", Meaning: "let it stand exactly there, move it to to_mm, add one more, or leave it out",
			Words: []string{"pin", "move", "add", "leave-out"}, Required: true},
		{Name: "joints[].welds[].to_mm", Meaning: "where a weld is moved to", Unit: "mm", Least: 0, Greatest: far},
		{Name: "joints[].clamp_gap_mm", Meaning: "air up to which clamps draw the sheets together, so that the flange goes on there if it " +
			"lies " +
			"closer somewhere; 0: 3 mm", Unit: "mm", Least: 0.1, Greatest: 20, OrZero: true, Source: Practice},
		{Name: "joints[].clamp_angle_deg", Meaning: "angle between the sheets up to which clamps do so, from the 8 degrees up to which " +
			"sheets count as lying on each other; 0: 10 degrees", Unit: "degrees", Least: 8, Greatest: 30, OrZero: true, Source: Practice},
		{Name: "joints[].mirror_of", Meaning: "id of the joint on the other side of the shell: this one is welded at the mirrored places, and " +
			"is said where its own geometry forbids that; left out: laid by itself"},
		{Name: "joints[].sealed", Meaning: "true: sealant lies between the sheets, which asks for a small pitch"},
	}
}

// settingTables are the published tables of spot settings.
func settingTables() []string {
	return []string{"optimum", "class-a", "class-b", "class-c", "aws-c1.1"}
}
