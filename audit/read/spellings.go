package read

import (
	"dryarc/audit"
)

// The spellings below are understood besides those of package audit; all are trade usage (common practice). Letters that
// mean different things in different registers (S, T, L, R) are not among them.

// spellings makes the spellings of one value.
func spellings[V any](value V, texts ...string) []audit.Spelling[V] {
	made := make([]audit.Spelling[V], len(texts))
	for i, text := range texts {
		made[i] = audit.Spelling[V]{Text: text, Value: value}
	}
	return made
}

func moreDutyWords() []audit.Spelling[audit.Duty] {
	var all []audit.Spelling[audit.Duty]
	for _, group := range [][]audit.Spelling[audit.Duty]{
		suspensionWords(), tensionWords(),
		spellings(audit.Pin, "pin type", "pin insulator"),
		spellings(audit.Post, "line post", "post type", "post insulator", "line post insulator"),
		spellings(audit.Shackle, "shackle type", "shackle insulator", "spool", "spool insulator"),
		spellings(audit.Jumper, "jumper string", "jumper suspension", "pilot", "pilot string"),
		spellings(audit.EarthWire, "earthwire insulator", "ground wire", "overhead ground wire", "OHGW", "shield wire", "sky wire", "OPGW"),
		spellings(audit.Guy, "guy insulator", "guy strain", "stay", "stay insulator"),
	} {
		all = append(all, group...)
	}
	return all
}

func suspensionWords() []audit.Spelling[audit.Duty] {
	return spellings(audit.Suspension, "suspension string", "susp", "sus", "straight", "straight line", "tangent", "tan", "intermediate",
		"cadena de suspensión", "suspensão", "cadeia de suspensão", "chaîne de suspension", "Trag", "Tragkette", "Hängekette")
}

func tensionWords() []audit.Spelling[audit.Duty] {
	return spellings(audit.Tension, "tension string", "strain", "strain string", "dead end", "deadend string", "DE", "anchor", "termination",
		"anclaje", "amarre", "retención", "cadena de anclaje", "cadena de amarre", "cadena de retención", "ancoragem", "amarração", "cadeia de ancoragem", "ancrage",
		"chaîne d'ancrage", "Abspannung", "Abspann", "Abspannkette")
}

// declaredDutyWords are the duties that a structure may be declared to have.
func declaredDutyWords() []audit.Spelling[audit.Duty] {
	return []audit.Spelling[audit.Duty]{{Text: "suspension", Value: audit.Suspension}, {Text: "tension", Value: audit.Tension}}
}

func moreDeclaredDutyWords() []audit.Spelling[audit.Duty] {
	return append(suspensionWords(), tensionWords()...)
}

func moreRoleWords() []audit.Spelling[audit.DeclaredRole] {
	all := spellings(audit.DeclaredTerminal, "terminal structure", "terminal tower", "dead end", "line end")
	all = append(all, spellings(audit.Gantry, "substation gantry", "landing gantry")...)
	all = append(all, spellings(audit.CableEnd, "cable termination", "cable sealing end", "riser")...)
	return append(all, spellings(audit.Transposition, "transposition structure", "transposition tower")...)
}

func moreSideWords() []audit.Spelling[audit.Side] {
	all := spellings(audit.Back, "back span", "rear", "behind", "BK", "atrás", "arrière", "zurück", "rückwärts")
	all = append(all, spellings(audit.Ahead, "ahead span", "forward", "front", "AH", "adelante", "vorwärts")...)
	return append(all, spellings(audit.BothSides, "both sides", "back and ahead", "ambos lados", "beidseitig", "des deux côtés")...)
}

func moreArrangementWords() []audit.Spelling[audit.Arrangement] {
	all := spellings(audit.Single, "single string", "I", "I string", "simple", "sencilla", "simples", "einfach", "Einfachkette")
	all = append(all, spellings(audit.Parallel, "parallel strings", "double", "double string", "twin", "duplex", "doble", "dupla", "doppelt", "Doppelkette")...)
	return append(all, spellings(audit.VSet, "vee", "vee string", "V string", "V set")...)
}

func moreMountingWords() []audit.Spelling[audit.Mounting] {
	all := spellings(audit.Upright, "vertical", "vertically", "up right", "standing", "upright post", "vertical post", "line post upright", "line post vertical", "vertical line post")
	return append(all, spellings(audit.Horizontal, "horiz", "horizontally", "horizontal post", "horizontal line post", "line post horizontal", "sideways", "side mounted")...)
}

func moreRingsWords() []audit.Spelling[audit.Rings] {
	all := spellings(audit.NoRings, "no", "without", "no rings", "ninguno", "keine", "aucun")
	all = append(all, spellings(audit.LiveEnd, "live end", "line end", "conductor end", "line", "leiterseitig", "lado línea")...)
	all = append(all, spellings(audit.EarthEnd, "earth end", "ground end", "tower end", "structure end", "ground", "erdseitig", "lado tierra")...)
	return append(all, spellings(audit.BothEnds, "both ends", "live and earth", "ambos", "beidseitig", "les deux")...)
}

func moreSystemWords() []audit.Spelling[audit.System] {
	all := spellings(audit.Earthed, "solidly earthed", "effectively earthed", "earthed neutral", "grounded", "solidly grounded", "effectively grounded", "rígidamente puesto a tierra", "sólidamente puesto a tierra",
		"rigidamente aterrado", "solidamente aterrado", "starr geerdet")
	all = append(all, spellings(audit.Isolated, "isolated neutral", "unearthed", "ungrounded", "aislado", "neutro aislado", "isolado", "neutro isolado", "isolé", "neutre isolé", "isoliert")...)
	all = append(all, spellings(audit.Resonant, "resonant earthed", "resonant grounded", "compensated", "Petersen coil", "Petersen", "arc suppression coil", "gelöscht", "kompensiert", "compensado", "neutro compensado",
		"bobina Petersen", "bobine de Petersen", "Petersenspule", "neutre compensé")...)
	all = append(all, spellings(audit.SinglePhase, "one phase")...)
	all = append(all, spellings(audit.SinglePhaseRailway, "railway single-phase", "AC railway", "railway AC", "AC traction", "single-phase traction", "ferrocarril monofásico", "ferrovia monofásica", "chemin de fer monophasé",
		"Einphasenbahn", "Wechselstrombahn")...)
	all = append(all, spellings(audit.DirectRailway, "railway direct current", "direct current railway", "DC railway", "railway DC", "DC traction", "direct-current traction", "ferrocarril de corriente continua", "Gleichstrombahn")...)
	return append(all, spellings(audit.DirectCurrent, "HVDC")...)
}

func yesNoWords() []audit.Spelling[bool] {
	return []audit.Spelling[bool]{
		{Text: "yes", Value: true}, {Text: "no", Value: false}, {Text: "true", Value: true}, {Text: "false", Value: false},
		{Text: "1", Value: true}, {Text: "0", Value: false},
	}
}

func moreYesNoWords() []audit.Spelling[bool] {
	return append(spellings(true, "y", "t", "sí", "sim", "oui", "ja"), spellings(false, "n", "f", "não", "non", "nein")...)
}
