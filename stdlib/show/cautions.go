package show

// cautions are what the card says about the workshop. They are the usual ones,
// in few words; what holds where the reader works comes first.
//
// The limits for silica are read in 29 CFR 1910.1053 (US), EH40/2005, 4th edition
// 2020 (UK), and the Australian workplace exposure standards [S]. Pitch: common
// practice; the Thompson text [S]. Table: OSHA 1910.212, ISO 12100 [M].
func cautions() []string {
	return []string{
		"These are reminders. The law where you work, the rules of your shop and the suppliers' safety data sheets come first.",
		"Table: guards on belts and nips, a stop within reach; no gloves, loose sleeves, hair or rings. Clamp and balance the glass before it turns.",
		"Glass: dry hands, clear path, chamfered edges; lift heavy blanks with help.",
		"Dust: work wet, wipe wet; never sweep dry or blow. Respirable crystalline silica, mean over 8 h: US 0.05 mg/m³, UK 0.1 mg/m³ (2020), Australia 0.05 mg/m³. Limits change: check local ones.",
		"Cerium oxide: its dust irritates. Keep it wet and off hands, food and clothes.",
		"Hot pitch: burns and catches fire. Low, indirect heat, lid at hand, fumes away, never water on burning pitch; no solvent near the stove.",
		"Solvents: fresh air, no flame; oily rags into a closed metal bin.",
	}
}
