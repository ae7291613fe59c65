package report

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"net/url"
	"strings"
	"unicode/utf8"
)

// Where the page shows a line, a structure or an exception. Each begins with its kind, so that no name is taken for something else.
const (
	lineKind      = "line"      // #line/ and the name
	structureKind = "structure" // #structure/, the name of the line, / and the number
)

// longestFormulaText is the longest text that a formula can hold.
const longestFormulaText = 255

// longestLinkText is as much of a name as a link shows that stands for a long one (a choice of this program).
const longestLinkText = 60

// addressDigits are as many of a hash as stand for a name in an address.
const addressDigits = 16

// pageText is as long as a text of the page may be, in characters.
const pageText = 300

// pageLink is a cell that opens the page beside the workbook where it shows a structure, or a line, and says which. A formula is used since a sheet
// holds no more than 65 530 other links.
func pageLink(line, structure string) computed {
	name := cellText(cmp.Or(structure, line))
	if utf8.RuneCountInString(name) > longestLinkText {
		name = string([]rune(name)[:longestLinkText-1]) + "…"
	}
	return computed{fmt.Sprintf(`HYPERLINK("%s","%s")`, pageAddress(line, structure), inPieces(strings.ReplaceAll(name, `"`, `""`))), name}
}

// inPieces joins a text in a formula of pieces none of which looks like the escape of a character: some programs read such escapes in formulas,
// and some do not, so that it would be shown by some otherwise than it is, escaped or not.
func inPieces(text string) string {
	var b strings.Builder
	for i := range len(text) {
		if i >= escapeLength-1 && isEscape(text[i-escapeLength+1:]) {
			b.WriteString(`"&"`)
		}
		b.WriteByte(text[i])
	}
	return b.String()
}

// pageAddress is where the page shows a structure of a line, or a line. The escaped names hold no quotation mark.
func pageAddress(line, structure string) string { return pageFile + "#" + pagePlace(line, structure) }

// pagePlace is the part of an address behind the #: by names, or by their hash where that would be too long for a formula or would look like the escape
// of a character in one, or where the page shows them otherwise than they are.
func pagePlace(line, structure string) string {
	place := lineKind + "/" + url.PathEscape(line)
	if structure != "" {
		place = structureKind + "/" + url.PathEscape(line) + "/" + url.PathEscape(structure)
	}
	if !isAddressedByHash(line, structure, place) {
		return place
	}
	sum, kind := sha256.Sum256([]byte(line+"\x00"+structure)), lineKind
	if structure != "" {
		kind = structureKind
	}
	return kind + "-" + hex.EncodeToString(sum[:])[:addressDigits]
}

func isAddressedByHash(line, structure, place string) bool {
	return len(pageFile)+1+len(place) > longestFormulaText || underscored(place) != place || cutText(line, pageText) != line || cutText(structure, pageText) != structure
}

// hashedPlaces are the places on the page that are addressed by a hash: the line on the page, and the structure there, −1 for the line itself.
func (h *htmlPage) hashedPlaces() map[string][2]int {
	r, places := h.result, map[string][2]int{}
	for k, l := range h.chosen.lines {
		line := r.Project.Symbols.Text(r.Network.Lines[l].Symbol)
		put := func(structure string, at int) {
			if place := pagePlace(line, structure); !strings.Contains(place, "/") {
				places[place] = [2]int{k, at}
			}
		}
		put("", -1)
		for _, i := range h.chosen.structures[k] {
			put(r.Network.Number(i), int(h.chosen.index[i]))
		}
	}
	return places
}
