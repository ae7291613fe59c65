package parquet

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/parquet-go/parquet-go"
	"github.com/parquet-go/parquet-go/format"
)

// Kind is what the cells of a column stand for.
type Kind int

// The kinds of column.
const (
	Text Kind = iota
	Number
	Truth // true or false
	Moment
	Unread
)

// Column is a column of values.
type Column struct {
	Name string
	Kind Kind
	Why  string // of a column that is not read, what it is

	leaf int // among the leaves of the schema
	text func(parquet.Value) string
}

// findColumns lists the columns that are neither the geometry nor its extents.
func (f *File) findColumns() ([]Column, error) {
	var columns []Column
	seen := map[string]bool{}
	for _, c := range f.file.Root().Columns() {
		if seen[c.Name()] {
			return nil, fmt.Errorf("it has two columns %q", c.Name())
		}
		seen[c.Name()] = true
		if g := f.geometry; g != nil && (c.Name() == g.Column || c.Name() == g.extents) {
			continue
		}
		column := Column{Name: c.Name(), Kind: Unread}
		switch {
		case !c.Leaf() || c.Repeated():
			column.Why = "holds several values in a cell"
		default:
			column.leaf = c.Index()
			column.Kind, column.text = cellOf(c.Type())
			if column.Kind == Unread {
				column.Why = "holds neither texts, numbers nor dates, but " + c.Type().String()
			}
		}
		columns = append(columns, column)
	}
	return columns, nil
}

// cellOf finds what values of a type are, and how each is written as the text of a cell.
//
// Source: Apache Parquet, Logical Types.
func cellOf(t parquet.Type) (Kind, func(parquet.Value) string) {
	var logical format.LogicalTypeValue
	if l := t.LogicalType(); l != nil {
		logical = l.Value
	}
	physical := t.Kind()
	isBytes := physical == parquet.ByteArray || physical == parquet.FixedLenByteArray
	isInteger := physical == parquet.Int32 || physical == parquet.Int64
	switch of := logical.(type) {
	case *format.StringType, *format.EnumType, *format.JsonType:
		if isBytes {
			return Text, func(v parquet.Value) string { return string(v.ByteArray()) }
		}
	case *format.UUIDType:
		if isBytes && t.Length() == len(uuid.UUID{}) {
			return Text, func(v parquet.Value) string { return uuid.UUID(v.ByteArray()).String() }
		}
	case *format.DecimalType:
		if of.Scale >= 0 && of.Scale <= mostPlaces && (isInteger || isBytes) {
			return Number, func(v parquet.Value) string { return decimal(v, int(of.Scale)) }
		}
	case *format.DateType:
		if physical == parquet.Int32 {
			return Moment, func(v parquet.Value) string {
				return time.Unix(int64(v.Int32())*secondsADay, 0).UTC().Format(time.DateOnly)
			}
		}
	case *format.TimestampType:
		if at := since1970(of.Unit); at != nil && physical == parquet.Int64 {
			return Moment, func(v parquet.Value) string { return moment(at(v.Int64()), of.IsAdjustedToUTC) }
		}
	case *format.TimeType:
		if unit := of.Unit.Value; unit != nil && isInteger {
			return Moment, func(v parquet.Value) string {
				return time.Unix(0, 0).UTC().Add(time.Duration(whole(v)) * unit.Duration()).Format("15:04:05.999999999")
			}
		}
	case *format.IntType:
		switch {
		case !isInteger:
		case of.IsSigned:
			return Number, func(v parquet.Value) string { return strconv.FormatInt(whole(v), 10) }
		case physical == parquet.Int32:
			return Number, func(v parquet.Value) string { return strconv.FormatUint(uint64(v.Uint32()), 10) }
		default:
			return Number, func(v parquet.Value) string { return strconv.FormatUint(v.Uint64(), 10) }
		}
	case *format.Float16Type:
		if isBytes && t.Length() == 2 {
			return Number, func(v parquet.Value) string { return number(half(v.ByteArray()), 32) }
		}
	case *format.NullType:
		return Text, func(parquet.Value) string { return "" }
	case nil:
		switch physical {
		case parquet.Boolean:
			return Truth, func(v parquet.Value) string { return strconv.FormatBool(v.Boolean()) }
		case parquet.Int32, parquet.Int64:
			return Number, func(v parquet.Value) string { return strconv.FormatInt(whole(v), 10) }
		case parquet.Float:
			return Number, func(v parquet.Value) string { return number(float64(v.Float()), 32) }
		case parquet.Double:
			return Number, func(v parquet.Value) string { return number(v.Double(), 64) }
		case parquet.Int96:
			return Moment, func(v parquet.Value) string { return moment(julian(v), false) }
		}
	}
	return Unread, nil
}

const (
	secondsADay = 24 * 60 * 60
	mostPlaces  = 76 // of the widest decimals that programs have
)

func whole(v parquet.Value) int64 {
	if v.Kind() == parquet.Int32 {
		return int64(v.Int32())
	}
	return v.Int64()
}

// number writes a number of so many bits without an exponent as far as people write numbers so; blank for what is none.
func number(x float64, bits int) string {
	const large, small = 1e15, 1e-6
	switch size := math.Abs(x); {
	case math.IsNaN(x):
		return ""
	case size < large && (size >= small || size == 0):
		return strconv.FormatFloat(x, 'f', -1, bits)
	}
	return strconv.FormatFloat(x, 'g', -1, bits)
}

// half is a number of 16 bits: sign, five bits of exponent, ten of fraction.
//
// Source: IEEE 754-2008, clause 3.4 (binary16); Apache Parquet has it little endian.
func half(b []byte) float64 {
	bits := int(b[0]) | int(b[1])<<8
	exponent, fraction := bits>>10&0x1f, float64(bits&0x3ff)/1024
	x := math.Ldexp(1+fraction, exponent-15)
	switch {
	case exponent == 0:
		x = math.Ldexp(fraction, -14)
	case exponent == 0x1f && fraction == 0:
		x = math.Inf(1)
	case exponent == 0x1f:
		x = math.NaN()
	}
	if bits>>15 == 1 {
		x = -x
	}
	return x
}

// decimal writes a whole number of units of the last of so many places, without the zeros that end its decimals; one in bytes is in two's complement, the highest byte first.
func decimal(v parquet.Value, places int) string {
	units := new(big.Int)
	if kind := v.Kind(); kind == parquet.Int32 || kind == parquet.Int64 {
		units.SetInt64(whole(v))
	} else if b := v.ByteArray(); len(b) > 0 {
		units.SetBytes(b)
		if b[0]&0x80 != 0 {
			units.Sub(units, new(big.Int).Lsh(big.NewInt(1), uint(8*len(b))))
		}
	}
	digits := new(big.Int).Abs(units).String()
	if short := places + 1 - len(digits); short > 0 {
		digits = strings.Repeat("0", short) + digits
	}
	if at := len(digits) - places; places > 0 {
		digits = strings.TrimSuffix(strings.TrimRight(digits[:at]+"."+digits[at:], "0"), ".")
	}
	if units.Sign() < 0 {
		return "-" + digits
	}
	return digits
}

// since1970 is the time by a count of units; nil for a unit that is not known.
func since1970(unit format.TimeUnit) func(int64) time.Time {
	switch unit.Value.(type) {
	case *format.MilliSeconds:
		return time.UnixMilli
	case *format.MicroSeconds:
		return time.UnixMicro
	case *format.NanoSeconds:
		return func(count int64) time.Time { return time.Unix(0, count) }
	}
	return nil
}

// julian is a time as programs wrote it before there were timestamps: nanoseconds of the day, then the Julian day.
func julian(v parquet.Value) time.Time {
	const day1970 = 2_440_588
	parts := v.Int96()
	return time.Unix((int64(parts[2])-day1970)*secondsADay, int64(uint64(parts[1])<<32|uint64(parts[0])))
}

// moment writes a time, with a Z where it is by the clock of UTC and not by one that nobody states; one at midnight is a date.
func moment(at time.Time, inUTC bool) string {
	at = at.UTC()
	if at.Hour() == 0 && at.Minute() == 0 && at.Second() == 0 && at.Nanosecond() == 0 {
		return at.Format(time.DateOnly)
	}
	text := at.Format("2006-01-02T15:04:05.999999999")
	if inUTC {
		text += "Z"
	}
	return text
}
