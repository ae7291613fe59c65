package report

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// longestShown is the longest line that a terminal is shown whole, in characters. Of a longer one the beginning and the
// end are shown, since a long value stands before what is said of it.
const (
	longestShown = 1200
	shownHead    = 800
	shownTail    = 300
)

// Visible makes one line of text fit for a terminal: control characters, characters without a shape that could turn or
// hide what stands beside them, and bytes that are no UTF-8 are shown as escapes, and the middle of a very long line is
// left out.
func Visible(line string) string {
	line = escaped(line, func(_ int, r rune) bool { return invisible(r) })
	if len(line) <= longestShown {
		return line
	}
	runes := []rune(line)
	if len(runes) <= longestShown {
		return line
	}
	return fmt.Sprintf("%s … (%d characters left out) … %s", string(runes[:shownHead]), len(runes)-shownHead-shownTail, string(runes[len(runes)-shownTail:]))
}

// invisible tells what a terminal would act on, or not show. A tab only makes room.
func invisible(r rune) bool {
	return r != '\t' && (unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp))
}

// unturned makes text safe to stand beside other text outside of a terminal: characters that turn the direction of what
// follows are shown as escapes. An isolate that takes its direction from what it holds turns nothing outside and stays.
func unturned(text string) string {
	if strings.IndexFunc(text, turns) < 0 {
		return text
	}
	within, open := map[int]bool{}, -1
	for i, r := range text {
		switch {
		case r == firstStrongIsolate:
			open = i
		case r == popIsolate && open >= 0:
			within[open], within[i] = true, true
			open = -1
		}
	}
	return escaped(text, func(i int, r rune) bool { return turns(r) && !within[i] })
}

const firstStrongIsolate, popIsolate = '\u2068', '\u2069'

func turns(r rune) bool { return unicode.Is(unicode.Bidi_Control, r) }

// isolated is a name fit to stand in a sentence that runs from left to right: one with letters that run the other way is
// isolated, so that the sentence reads in its order.
func isolated(name string) string {
	name = visibleTurns(name)
	if strings.IndexFunc(name, fromTheRight) < 0 {
		return name
	}
	return string(firstStrongIsolate) + name + string(popIsolate)
}

func isolatedNames(names []string) (out []string) {
	for _, name := range names {
		out = append(out, isolated(name))
	}
	return out
}

// inOrder keeps the order of a sentence that runs from left to right, whatever words from the right its names have: each run of such words is isolated
// with the blanks and figures between them. What is isolated already stays as it is.
func inOrder(sentence string) string {
	if strings.IndexFunc(sentence, fromTheRight) < 0 {
		return sentence
	}
	var b strings.Builder
	start, end, done := -1, 0, 0 // of the run, and what is written
	put := func() {
		if start >= 0 {
			b.WriteString(sentence[done:start] + string(firstStrongIsolate) + sentence[start:end] + string(popIsolate))
			start, done = -1, end
		}
	}
	within := false // what is isolated already
	for i, r := range sentence {
		switch {
		case within:
			within = r != popIsolate
		case r == firstStrongIsolate:
			put()
			within = true
		case fromTheRight(r):
			if start < 0 {
				start = i
			}
			end = i + utf8.RuneLen(r)
		case start >= 0 && unicode.Is(unicode.Mn, r) && i == end:
			end = i + utf8.RuneLen(r)
		case !unicode.IsDigit(r) && !strings.ContainsRune(" -/_\u00a0\u2010\u2011", r):
			put()
		}
	}
	put()
	return b.String() + sentence[done:]
}

// visibleTurns shows every character that turns the direction as an escape.
func visibleTurns(text string) string {
	return escaped(text, func(_ int, r rune) bool { return turns(r) })
}

func fromTheRight(r rune) bool {
	return unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko, unicode.Samaritan, unicode.Mandaic, unicode.Adlam, unicode.Hanifi_Rohingya)
}

// escaped shows what is unfit, and bytes that are no UTF-8, as escapes; unfit is told where in the text a character stands.
func escaped(text string, unfit func(int, rune) bool) string {
	clean := utf8.ValidString(text)
	for i, r := range text {
		if !clean {
			break
		}
		clean = !unfit(i, r)
	}
	if clean {
		return text
	}
	var b strings.Builder
	for i, r := range text {
		_, size := utf8.DecodeRuneInString(text[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			fmt.Fprintf(&b, `\x%02x`, text[i])
		case !unfit(i, r):
			b.WriteRune(r)
		case r < 0x100:
			fmt.Fprintf(&b, `\x%02x`, r)
		case r < 0x10000:
			fmt.Fprintf(&b, `\u%04x`, r)
		default:
			fmt.Fprintf(&b, `\U%08x`, r)
		}
	}
	return b.String()
}
