package read

import (
	"archive/zip"
	"bytes"
	"compress/gzip"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
)

// change changes a content in one small way.
func (p *mutated) change(random *rand.Rand, content []byte) []byte {
	if len(content) == 0 {
		return content
	}
	switch {
	case strings.HasSuffix(p.file, ".xlsx") && random.IntN(5) > 0:
		return changeArchive(random, content)
	case strings.HasSuffix(p.file, ".gz") && random.IntN(3) > 0:
		return changePacked(random, content)
	case strings.HasSuffix(p.file, ".gpkg") && random.IntN(3) > 0: // whose pages have their places
		return inPlace(random, content)
	}
	return changeText(random, content)
}

// inPlace changes some bytes and leaves the others where they are.
func inPlace(random *rand.Rand, content []byte) []byte {
	changed := bytes.Clone(content)
	part := changed[random.IntN(len(changed)):]
	part = part[:min(len(part), 1+random.IntN(8))]
	if random.IntN(2) == 0 {
		copy(part, content[random.IntN(len(content)):])
	} else {
		part[0] ^= 1 << random.IntN(8)
	}
	return changed
}

// awkward are texts that mean something to one reader or another.
var awkward = []string{"", "\x00", "\xff", "\xff\xfe", "\xef\xbb\xbf", "\"", "'", ",", ";", "\n", "\r", "\n\n", "[", "]", "{", "}", "<", ">", "&", "=1+1", "#N/A", "-1", "1e308", "1e999", "NaN", "null", "true", "0", "99999999999999999999",
	"-0.5", "1,5", "1.5", " ", "é", "😀", "<row>", "</row>", "<c/>", "<v></v>", "---", "- ", ": ", "&a ", "*a", "!!x ", "0xFFFFFFFF", "\u200b", "A1:XFD1048576"}

// changeText changes a text, or what is none, without knowing what it is.
func changeText(random *rand.Rand, content []byte) []byte {
	at := func() int { return random.IntN(len(content) + 1) }
	run := func() (from, to int) {
		from = at()
		return from, min(len(content), from+1+random.IntN(1<<random.IntN(9)))
	}
	from, to := run()
	part := content[from:to]
	switch random.IntN(9) {
	case 0: // a bit
		if from == len(content) {
			return content
		}
		changed := bytes.Clone(content)
		changed[from] ^= 1 << random.IntN(8)
		return changed
	case 1: // a run is lost
		return slices.Concat(content[:from], content[to:])
	case 2: // a run stands there twice
		return slices.Concat(content[:to], part, content[to:])
	case 3: // a run stands elsewhere too
		other := at()
		return slices.Concat(content[:other], part, content[other:])
	case 4:
		return slices.Concat(content[:from], []byte(awkward[random.IntN(len(awkward))]), content[to:])
	case 5:
		return slices.Concat(content[:from], []byte(awkward[random.IntN(len(awkward))]), content[from:])
	case 6: // the end is lost, or what comes before
		if random.IntN(4) > 0 {
			return content
		}
		return bytes.Clone(content[:from])
	case 7:
		return exchanged(random, content, ",")
	}
	return exchanged(random, content, "\n")
}

// exchanged exchanges two parts of a text between separators.
func exchanged(random *rand.Rand, content []byte, separator string) []byte {
	parts := bytes.Split(content, []byte(separator))
	a, b := random.IntN(len(parts)), random.IntN(len(parts))
	parts[a], parts[b] = parts[b], parts[a]
	return bytes.Join(parts, []byte(separator))
}

// changePacked changes what is compressed.
func changePacked(random *rand.Rand, content []byte) []byte {
	z, err := gzip.NewReader(bytes.NewReader(content))
	if err != nil {
		return changeText(random, content)
	}
	text, err := io.ReadAll(z)
	if err != nil || len(text) == 0 {
		return changeText(random, content)
	}
	var packed bytes.Buffer
	w := gzip.NewWriter(&packed)
	w.Write(changeText(random, text))
	w.Close()
	return packed.Bytes()
}

// changeArchive changes one entry of an archive.
func changeArchive(random *rand.Rand, content []byte) []byte {
	archive, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil || len(archive.File) == 0 {
		return changeText(random, content)
	}
	chosen := random.IntN(len(archive.File))
	for range 3 { // sheets and texts more often than the rest
		if name := archive.File[chosen].Name; !strings.Contains(name, "sheet") && !strings.Contains(name, "shared") {
			chosen = random.IntN(len(archive.File))
		}
	}
	how := random.IntN(20)
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	write := func(name string, text []byte) {
		if entry, err := w.Create(name); err == nil {
			entry.Write(text)
		}
	}
	for i, file := range archive.File {
		entry, err := file.Open()
		if err != nil {
			return content
		}
		text, _ := io.ReadAll(entry)
		entry.Close()
		switch {
		case i != chosen || len(text) == 0:
			write(file.Name, text)
		case how == 0: // the entry is lost
		case how == 1:
			write(file.Name, text)
			write(file.Name, changeText(random, text))
		case how == 2:
			write(string(changeText(random, []byte(file.Name))), text)
		case how == 3:
			write(file.Name, []byte(inUTF16(string(text), random.IntN(2) == 0, random.IntN(2) == 0)))
		case how < 8:
			write(file.Name, exchanged(random, text, "<row "))
		case how < 12:
			write(file.Name, exchanged(random, text, "<c "))
		case how < 14:
			write(file.Name, exchanged(random, text, "</v>"))
		case how < 15:
			write(file.Name, exchanged(random, text, "</si>"))
		default:
			write(file.Name, changeText(random, text))
		}
	}
	w.Close()
	return out.Bytes()
}
