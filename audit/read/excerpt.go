package read

// excerpt shortens what is quoted in a message.
func excerpt(text string) string {
	const longest = 60 // characters (a choice of this program)
	count, short := 0, 0
	for i := range text {
		switch count++; count {
		case longest:
			short = i
		case longest + 1:
			return text[:short] + "…"
		}
	}
	return text
}

// excerptOf is a text as names are kept, and keeps one that is longer than a name from being held whole, where it is a heading or is
// looked at.
func excerptOf(text string) string {
	text = Composed(text)
	if len(text) > longestName {
		return excerpt(text)
	}
	return text
}
