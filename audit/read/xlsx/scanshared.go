package xlsx

import (
	"fmt"
	"io"
)

// sharedTexts is the list of the texts that cells share. There may be millions, so that they stand one after the other in a few blocks.
type sharedTexts struct {
	blocks []string
	places []sharedPlace
	open   []byte // what becomes the next block
}

// sharedPlace is where a text begins; it ends where the next one does, or its block.
type sharedPlace struct{ block, from uint32 }

// sharedBlock is how many bytes a block has, unless a single text has more. Whoever keeps a text keeps its block.
const sharedBlock = 1 << 16

// add adds a text.
func (t *sharedTexts) add(text []byte) {
	if len(t.open)+len(text) > sharedBlock {
		t.close()
	}
	t.places = append(t.places, sharedPlace{uint32(len(t.blocks)), uint32(len(t.open))})
	t.open = append(t.open, text...)
}

// close makes a block of what is open.
func (t *sharedTexts) close() {
	if len(t.open) > 0 {
		t.blocks, t.open = append(t.blocks, string(t.open)), t.open[:0]
	}
}

// text returns a text of the list, which is complete.
func (t *sharedTexts) text(i uint64) string {
	at := t.places[i]
	if int(at.block) == len(t.blocks) {
		return "" // nothing but empty texts stands behind the last block
	}
	block := t.blocks[at.block]
	if i+1 < uint64(len(t.places)) && t.places[i+1].block == at.block {
		return block[at.from:t.places[i+1].from]
	}
	return block[at.from:]
}

// readSharedTexts reads the list of shared texts.
func readSharedTexts(part io.Reader) (texts sharedTexts, err error) {
	x, err := newXMLScanner(part)
	if err != nil {
		return texts, err
	}
	if err := x.root("sst"); err != nil {
		return texts, err
	}
	var text []byte
	for {
		kind, err := x.next()
		switch {
		case err != nil:
			return texts, err
		case kind == tokenEnd:
			texts.close()
			return texts, nil
		case kind == tokenText:
		case string(x.name) != "si":
			err = x.skip()
		default:
			if len(texts.places) == mostShared {
				return texts, fmt.Errorf("%w: it has more than %d texts", ErrTooLarge, mostShared)
			}
			text, err = x.appendRich(text[:0])
			texts.add(text)
		}
		if err != nil {
			return texts, err
		}
	}
}
