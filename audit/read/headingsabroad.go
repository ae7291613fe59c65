package read

// What registers of other languages, and the abbreviations of Indian and American ones, call the columns (common practice), whatever the
// case, accents and marks: Spanish, Portuguese, French, German. Words that may mean two columns are not among them: a count of
// insulators that does not say of one string, a tension that may be a voltage or a pull, a direction, a type.

// withNamesAbroad adds these names to the columns of a sheet.
func withNamesAbroad[R any](columns []column[R], names map[string][]string) []column[R] {
	for i := range columns {
		columns[i] = columns[i].also(names[columns[i].heading]...)
	}
	return columns
}

// lineNamesAbroad and structureNamesAbroad are those of layers too.
func lineNamesAbroad() []string {
	return []string{"línea", "código de línea", "cod línea", "número de línea", "linha", "código da linha", "cod linha", "ligne", "code ligne",
		"numéro de ligne", "Leitung", "Leitungsnummer", "Leitungsnr", "Leitungs-ID", "Freileitung"}
}

func structureNamesAbroad() []string {
	return []string{"loc no", "loc number", "struct no", "str number", "str id", "tower number", "twr no",
		"estructura", "número de estructura", "N° de estructura", "N° estructura", "nro estructura", "nro de estructura", "nro estr", "cod estructura",
		"torre", "número de torre", "N° de torre", "N° torre", "nro torre", "nro de torre", "poste", "número de poste", "N° de poste", "N° poste", "nro poste", "nro de poste",
		"apoyo", "número de apoyo", "N° de apoyo", "N° apoyo", "nro apoyo",
		"estrutura", "número da estrutura", "N° da estrutura", "número da torre", "N° da torre", "apoio", "N° do apoio",
		"pylône", "numéro de pylône", "N° de pylône", "N° pylône", "numéro du pylône", "N° du pylône", "numéro de support", "N° de support", "N° support", "poteau", "N° de poteau",
		"Mast", "Mastnummer", "Mastnr"}
}

// groundNamesAbroad are the heights of the ground in layers.
func groundNamesAbroad() []string {
	return []string{"cota del terreno", "cota de terreno", "cota terreno", "cota msnm", "cota do terreno", "altitud", "elevación", "elevação", "altitude du sol",
		"Geländehöhe", "Gelaendehoehe", "Bodenhöhe", "Geländehöhe m ü. NN", "Geländehöhe m ü. NHN", "ground RL", "RL ground", "RL of ground", "ground reduced level", "reduced level of ground",
		"rzędna terenu", "rzędna gruntu", "zemin kotu", "arazi kotu"}
}

func creepageNamesAbroad() []string {
	return []string{"leakage dist", "creepage dist", "línea de fuga", "distancia de fuga", "linha de fuga", "distância de escoamento", "ligne de fuite",
		"longueur de la ligne de fuite", "Kriechweg", "Kriechweglänge", "Kriechstrecke"}
}

func ratingNamesAbroad() []string {
	return []string{"E&M strength", "E&M rating", "EMS strength", "carga de rotura", "carga mecánica de rotura", "carga de ruptura", "carga mecânica de ruptura", "charge de rupture",
		"charge de rupture mécanique", "Bruchkraft", "Bruchlast", "Mindestbruchkraft"}
}

func unitNamesAbroad() []string {
	return []string{"bell type", "aislador", "tipo de aislador", "tipo aislador", "isolador", "tipo de isolador", "isolateur", "type d'isolateur", "type isolateur",
		"Isolator", "Isolatortyp", "Isolatorentyp", "Typ des Isolators"}
}

func assemblyNamesAbroad() map[string][]string {
	return map[string][]string{
		"Line":      append(lineNamesAbroad(), "nombre de línea", "nombre de la línea", "nome da linha", "nom de la ligne", "nom de ligne", "Leitungsname", "Leitungsbezeichnung"),
		"Structure": structureNamesAbroad(),
		"Circuit":   {"cct no", "ckt no", "cct number", "ckt number", "terna", "circuito", "N° de terna", "N° de circuito", "terne", "Stromkreis"},
		"Phase":     {"ph", "fase", "fases"},
		"Side":      {"lado", "côté", "Seite"},
		"Duty": {"función", "función de la cadena", "função", "função da cadeia", "fonction", "tipo de cadena", "tipo cadena", "tipo de cadeia", "type de chaîne", "type chaîne",
			"Kettenart", "Kettentyp"},
		"Arrangement": {"disposición", "disposición de la cadena", "configuración", "disposição", "configuração", "disposition", "Anordnung"},
		"Unit":        unitNamesAbroad(),
		"Units per string": {"no of discs per string", "no of disks per string", "number of discs per string", "number of disks per string", "nos of discs per string", "no of units per string",
			"number of units per string", "no of insulators per string", "number of insulators per string", "no of bells per string", "no of discs string",
			"aisladores por cadena", "número de aisladores por cadena", "N° de aisladores por cadena", "cantidad de aisladores por cadena", "discos por cadena",
			"isoladores por cadeia", "número de isoladores por cadeia", "N° de isoladores por cadeia", "isolateurs par chaîne", "nombre d'isolateurs par chaîne", "éléments par chaîne",
			"nombre d'éléments par chaîne", "Isolatoren je Strang", "Isolatoren pro Strang", "Anzahl Isolatoren je Strang", "Anzahl Isolatoren pro Strang", "Kappen je Strang", "Anzahl Kappen je Strang"},
		"Strings": {"nos of strings", "cadenas", "número de cadenas", "N° de cadenas", "cadenas en paralelo", "cadeias", "número de cadeias", "N° de cadeias", "nombre de chaînes",
			"Stränge", "Strangzahl", "Anzahl Stränge"},
		"Defective units": {"defective bells", "broken bells", "damaged bells", "no of defective discs", "no of broken discs", "no of damaged discs", "number of defective discs",
			"aisladores defectuosos", "aisladores rotos", "aisladores dañados", "isoladores defeituosos", "isoladores quebrados", "isoladores danificados", "isolateurs défectueux",
			"isolateurs cassés", "defekte Isolatoren", "beschädigte Isolatoren"},
		"Installed": {"date inst", "inst date", "year installed", "year of installation", "year of commissioning", "date of commissioning", "commissioned", "fecha de montaje",
			"fecha de instalación", "fecha instalación", "año de montaje", "año de instalación", "data de montagem", "data de instalação", "ano de instalação", "date de pose", "date d'installation",
			"année de pose", "année d'installation", "Baujahr", "Einbaujahr", "Montagejahr", "Einbaudatum", "Montagedatum"},
		"Inspected": {"date insp", "insp date", "last insp", "fecha de inspección", "última inspección", "data de inspeção", "última inspeção", "date d'inspection", "dernière inspection",
			"Inspektionsdatum", "letzte Inspektion", "letzte Begehung"},
		"Remarks": {"observación", "observaciones", "comentario", "comentarios", "observação", "observações", "comentários", "observation", "remarque", "remarques", "commentaire", "commentaires",
			"Bemerkung", "Bemerkungen", "Anmerkung", "Anmerkungen", "Kommentar"},
		"Creepage": append(creepageNamesAbroad(), "Kriechweg je Strang", "Kriechweg pro Strang", "línea de fuga de la cadena", "distancia de fuga de la cadena", "ligne de fuite de la chaîne"),
		"Rating":   ratingNamesAbroad(),
		"Length":   {"longitud de la cadena", "longitud de cadena", "comprimento da cadeia", "longueur de la chaîne", "longueur de chaîne", "Stranglänge", "Kettenlänge"},
		"Arcing":   {"distancia de arco", "distancia de arco en seco", "distância de arco", "distance d'arc", "Schlagweite"},
	}
}

func lineSheetNamesAbroad() map[string][]string {
	return map[string][]string{
		"Line": lineNamesAbroad(),
		"Name": {"nombre", "nombre de línea", "nombre de la línea", "nome", "nome da linha", "nom", "nom de la ligne", "nom de ligne", "Leitungsname", "Leitungsbezeichnung", "Bezeichnung"},
		"Circuits": {"no of ckts", "no of ckt", "no of ccts", "no of cct", "number of ckts", "number of ccts", "ckts", "ccts", "ternas", "número de ternas", "N° de ternas", "circuitos",
			"número de circuitos", "N° de circuitos", "nombre de circuits", "nombre de ternes", "ternes", "Stromkreise", "Anzahl Stromkreise", "Systeme", "Anzahl Systeme"},
		"Phases": {"fases"},
		"System": {"neutro", "régimen de neutro", "puesta a tierra del neutro", "regime de neutro", "aterramento do neutro", "régime de neutre", "régime du neutre", "mise à la terre du neutre",
			"Sternpunktbehandlung", "Sternpunkterdung", "neutral treatment", "neutral point treatment"},
		"Nominal voltage": {"voltage level", "tensión nominal", "voltaje nominal", "tensão nominal", "tension nominale", "Nennspannung", "nom kV"},
		"Highest voltage": {"max kV", "maximum kV", "highest kV", "Um kV", "tensión máxima kV", "tensión más elevada", "tensión más elevada para el material", "voltaje máximo", "tensão máxima kV",
			"tensão máxima de operação", "tension la plus élevée", "tension la plus élevée pour le matériel", "tension maximale kV", "höchste Spannung für Betriebsmittel",
			"höchste Betriebsspannung", "höchste Spannung"},
		"Lightning level": {"BIL kV", "BIL kVp", "nivel básico de aislamiento", "nivel básico de aislación", "nível básico de isolamento", "tension de tenue au choc de foudre",
			"Bemessungs-Stehblitzstoßspannung", "Stehblitzstoßspannung"},
		"Conductor":     {"condutor", "cabo condutor", "conducteur", "Leiterseil", "Leiterseiltyp"},
		"Subconductors": {"conductores por fase", "subconductores por fase", "condutores por fase", "subcondutores por fase", "conducteurs par phase", "Leiter je Phase", "Teilleiter je Phase"},
	}
}

func unitSheetNamesAbroad() map[string][]string {
	return map[string][]string{
		"Unit":     append(unitNamesAbroad(), "Typenbezeichnung"),
		"Kind":     {"tipo constructivo", "clase constructiva", "tipo construtivo", "type de construction", "Bauart", "Bauform"},
		"Material": {"material aislante", "matériau", "matière", "Werkstoff"},
		"Rating":   ratingNamesAbroad(),
		"Spacing":  {"paso", "paso nominal", "passo", "pas", "pas nominal", "Baulänge", "Länge", "longitud", "comprimento", "longueur"},
		"Creepage": creepageNamesAbroad(),
		"Diameter": {"diámetro", "diâmetro", "diamètre", "Durchmesser", "Schirmdurchmesser"},
		"Weight":   {"peso", "masa", "massa", "masse", "poids", "Gewicht"},
		"Coupling": {"acoplamiento", "acoplamento", "accouplement", "Klöppelgröße", "Klöppel"},
		"Stocked":  {"en almacén", "en existencia", "em estoque", "en stock", "auf Lager", "am Lager"},
		"Price":    {"precio", "preço", "prix", "Preis"},
	}
}
