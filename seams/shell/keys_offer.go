package shell

// offerKeys are what a quote says beside minutes and money of the welding.
func offerKeys() []Key {
	pct := func(name, meaning string, greatest float64) Key {
		return Key{Name: "offer." + name, Meaning: meaning, Unit: "%", Default: 0.0, Least: 0, Greatest: greatest, Source: Choice}
	}
	return []Key{
		{Name: "offer.number", Meaning: "number of the quote"},
		{Name: "offer.date", Meaning: "date of the quote, as text in quotes; never filled in by the program"},
		{Name: "offer.customer", Meaning: "whom the quote goes to: name and address, parted by commas"},
		{Name: "offer.valid_days", Meaning: "how long the quote holds, from its date", Unit: "days", Default: 30, Least: 1, Greatest: 3650,
			Source: Practice},
		{Name: "offer.delivery_weeks", Meaning: "from order to delivery; 0: not said", Unit: "weeks", Least: 0, Greatest: 520},
		pct("margin_pct", "on all costs", 1000),
		pct("subcontract_pct", "on what is subcontracted, before the margin", 1000),
		pct("discount_pct", "of the price", 99),
		pct("vat_pct", "value-added tax on the price; 0: prices are without", 100),
		{Name: "offer.steel", Meaning: "who buys the sheet steel of the panels", Default: WorksBuys, Words: []string{WorksBuys, CustomerBuys},
			Source: Choice},
		{Name: "offer.lines[].id", Meaning: "name within this file", Required: true},
		{Name: "offer.lines[].what", Meaning: "what is sold besides the welding and its steel, in words", Required: true},
		{Name: "offer.lines[].by", Meaning: "who does it", Default: Own, Words: []string{Own, Subcontract}, Source: Choice},
		{Name: "offer.lines[].per", Meaning: "what its quantity is for", Default: PerShell, Words: []string{PerShell, PerBatch}, Source: Choice},
		{Name: "offer.lines[].quantity", Meaning: "how many", Default: 1.0, Least: 0, Greatest: 1e6, Source: Choice},
		{Name: "offer.lines[].price", Meaning: "what one costs the works, in rates.currency", Unit: "money", Required: true, Least: 0,
			Greatest: 1e9},
		{Name: "offer.breaks[].shells", Meaning: "another quantity that is priced; without breaks 1, 6, 12, 24 and 48 are", Required: true,
			Least:    1,
			Greatest: 100_000},
		{Name: "offer.breaks[].discount_pct", Meaning: "of the price at this quantity, on top of the offer's", Unit: "%", Default: 0.0, Least: 0,
			Greatest: 99, Source: Choice},
		{Name: "offer.terms", Meaning: "what the quote prints as it stands, such as on payment"},
	}
}
