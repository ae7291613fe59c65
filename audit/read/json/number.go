package jsontext

import (
	"encoding/binary"
	"math/bits"
	"strconv"
)

// DecimalAt reads the number that starts at a place of a text and returns the place behind it: exactly by one division
// where its digits fit 53 bits and its power of ten is exact (Clinger 1990), else by the library.
func DecimalAt[Text string | []byte](text Text, i int) (value float64, end int, ok bool) {
	const mostDigits, exactInteger = 19, 1 << 53
	start := i
	if i < len(text) && text[i] == '-' {
		i++
	}
	var mantissa uint64
	first := i
	for ; i < len(text) && isDigit(text[i]); i++ {
		mantissa = mantissa*10 + uint64(text[i]-'0')
	}
	digits, power := i-first, 0
	if i < len(text) && text[i] == '.' {
		first = i + 1
		for i++; i < len(text) && isDigit(text[i]); i++ {
			mantissa = mantissa*10 + uint64(text[i]-'0')
		}
		power = i - first
		digits += power
	}
	if digits == 0 || digits > mostDigits || mantissa > exactInteger || i < len(text) && isOfNumber(text[i]) {
		for i < len(text) && isOfNumber(text[i]) {
			i++
		}
		if i == start {
			return 0, i, false
		}
		value, err := strconv.ParseFloat(string(text[start:i]), 64)
		return value, i, err == nil
	}
	value = float64(mantissa) / powersOfTen[power]
	if text[start] == '-' {
		value = -value
	}
	return value, i, true
}

// coordinateAt reads what DecimalAt does, quickly where it is written as nearly all coordinates are: with up to eight digits on either side
// of a point, and no more than are exact.
func coordinateAt(text []byte, i int) (value float64, end int, ok bool) {
	const exact = 15
	at := i
	if charAt(text, at) == '-' {
		at++
	}
	whole, before := digitsAt(text, at)
	at += before
	if before == 0 || charAt(text, at) != '.' {
		return DecimalAt(text, i)
	}
	fraction, behind := digitsAt(text, at+1)
	at += 1 + behind
	if behind == 0 || before+behind > exact || at == len(text) || isOfNumber(text[at]) {
		return DecimalAt(text, i)
	}
	power := powersOfTen[behind]
	value = (float64(whole)*power + float64(fraction)) / power
	if text[i] == '-' {
		value = -value
	}
	return value, at, true
}

// digitsAt reads the digits that come next, of which it takes eight at most, as a number. Near the end of the text it finds none.
func digitsAt(text []byte, i int) (number uint64, digits int) {
	if len(text)-i < 8 {
		return 0, 0
	}
	word := binary.LittleEndian.Uint64(text[i:])
	digits = bits.TrailingZeros64(noDigits(word)) / 8
	if digits == 0 {
		return 0, 0
	}
	word = (word ^ ones*'0') << (64 - 8*digits) // zeros before them
	// of digits that stand in bytes, the first the lowest, pairs, fours and all eight
	word = word*10 + word>>8
	word = (word&0x00ff00ff00ff00ff)*100 + (word>>16)&0x00ff00ff00ff00ff
	return (word&0xffff)*10_000 + (word>>32)&0xffff, digits
}

// isOfNumber tells whether a character may stand in a number.
func isOfNumber(c byte) bool {
	return isDigit(c) || c == '.' || c == '-' || c == '+' || c == 'e' || c == 'E'
}

var powersOfTen = [...]float64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19}
