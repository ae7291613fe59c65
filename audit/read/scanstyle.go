package read

import "strings"

// dateStyles says of every style of the cells whether it shows numbers as dates or times.
func (b *scanBook) dateStyles() ([]bool, error) {
	if b.styles == "" {
		return nil, nil
	}
	var content struct {
		Formats []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Styles []struct {
			Format int `xml:"numFmtId,attr"`
		} `xml:"cellXfs>xf"`
	}
	if err := b.decode(b.styles, &content); err != nil {
		return nil, err
	}
	dates := map[int]bool{}
	for _, format := range content.Formats {
		dates[format.ID] = isDateFormat(format.Code)
	}
	styles := make([]bool, len(content.Styles))
	for i, style := range content.Styles {
		own, given := dates[style.Format]
		styles[i] = own || !given && isBuiltInDate(style.Format)
	}
	return styles, nil
}

// isBuiltInDate says whether a number format that needs no definition is one of dates or times.
//
// Source: ECMA-376-1:2016, 18.8.30: 14 to 22 and 45 to 47 everywhere, 27 to 36 and 50 to 58 in East Asian languages,
// 71 to 81 in Thai.
func isBuiltInDate(id int) bool {
	return 14 <= id && id <= 22 || 27 <= id && id <= 36 || 45 <= id && id <= 47 || 50 <= id && id <= 58 || 71 <= id && id <= 81
}

// isDateFormat says whether a format code shows a part of a date or a time in its first section.
func isDateFormat(code string) bool {
	for i := 0; i < len(code); i++ {
		switch c := code[i]; c {
		case ';':
			return false
		case '\\', '_', '*':
			i++
		case '"', '[':
			until := `"`
			if c == '[' {
				until = "]"
			}
			length := strings.Index(code[i+1:], until)
			if length < 0 {
				return false
			}
			if inside := strings.ToLower(code[i+1 : i+1+length]); c == '[' && inside != "" && strings.Trim(inside, inside[:1]) == "" &&
				strings.Contains("hms", inside[:1]) {
				return true
			}
			i += 1 + length
		case 'y', 'Y', 'm', 'M', 'd', 'D', 'h', 'H', 's', 'S':
			return true
		}
	}
	return false
}
