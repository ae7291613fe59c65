package read

import (
	"context"
	"strings"

	"dryarc/audit"
)

// Of 03/04/1994 nobody can tell which is the day. A date of three numbers is read where its numbers leave one way (14/06/2003), or
// where those of its column do: one of them at least leaves only that way, and none does not allow it. Dates with dots are day first
// (common practice) unless the column shows that it means otherwise.

// dateOrder is one of the orders that day, month and year stand in, dateOrders a set of them.
type (
	dateOrder  uint8
	dateOrders uint8
)

const (
	dayFirst   dateOrder = 1 << iota // 31/05/2019
	monthFirst                       // 05/31/2019
	yearFirst                        // 2019/05/31
)

const anyOrder = dateOrders(dayFirst | monthFirst | yearFirst)

func (o dateOrder) String() string {
	switch o {
	case dayFirst:
		return "day first"
	case monthFirst:
		return "month first"
	}
	return "year first"
}

// single is the only order of a set; 0 where there is none or several.
func (o dateOrders) single() dateOrder {
	if o&(o-1) != 0 {
		return 0
	}
	return dateOrder(o)
}

// dateForm is how a column writes its dates.
type dateForm struct {
	slashes, dashes, dots dateOrders // that all its dates with the sign allow
	tells                 [3]string  // a date that leaves only that order, by order
	monthAndYear          bool       // it has a Mar-94, so that Mar-12 is no 12th of March

	dotsTold, slashesTold, dashesTold, monthsTold bool // what was taken for them is listed
}

// of is the orders of the dates with a sign.
func (f *dateForm) of(sign byte) *dateOrders {
	switch sign {
	case '/':
		return &f.slashes
	case '.':
		return &f.dots
	}
	return &f.dashes
}

func (f *dateForm) toldOf(sign byte) *bool {
	if sign == '/' {
		return &f.slashesTold
	}
	return &f.dashesTold
}

// inOrder are the parts of a date of three numbers by what they are in an order.
func (d *dateParts) inOrder(order dateOrder) (year, month, day datePart) {
	switch p := d.parts; order {
	case dayFirst:
		return p[2], p[1], p[0]
	case monthFirst:
		return p[2], p[0], p[1]
	default:
		return p[0], p[1], p[2]
	}
}

// orders are those in which three numbers are a day of the calendar; same tells that it is the same day in all of them.
func (d *dateParts) orders() (possible dateOrders, same bool) {
	same = true
	var first audit.Day
	for _, order := range [...]dateOrder{dayFirst, monthFirst, yearFirst} {
		y, m, n := d.inOrder(order)
		if y.fullYear() == 0 || m.digits > 2 || n.digits > 2 || m.short || n.short {
			continue
		}
		day, t := dayOf(y.fullYear(), m.number, n.number)
		if t != nil {
			continue
		}
		if possible != 0 && day != first {
			same = false
		}
		possible, first = possible|dateOrders(order), day
	}
	return possible, same
}

// order is the one in which a date of three numbers is to be read.
func (d *dateParts) order(form *dateForm) (dateOrder, dateTaken, *trouble) {
	possible, same := d.orders()
	switch {
	case possible == 0:
		for _, p := range d.parts {
			if p.digits == 4 && (p.number < firstYear || p.number > lastYear) {
				return 0, dateTaken{}, dateBeyond
			}
		}
		return 0, dateTaken{}, notADate
	case same:
		return dateOrder(possible & -possible), dateTaken{}, nil
	case form == nil:
		return 0, dateTaken{}, dateUnclear
	case d.sign == '.':
		if possible&dateOrders(dayFirst) != 0 && form.dots&dateOrders(dayFirst) != 0 {
			return dayFirst, dateTaken{dots: true}, nil
		}
		return 0, dateTaken{}, dateUnclear
	}
	order := form.of(d.sign).single()
	if order == 0 || possible&dateOrders(order) == 0 || form.slashes&form.dashes&form.dots == 0 {
		return 0, dateTaken{}, dateUnclear
	}
	return order, dateTaken{column: true}, nil
}

// note takes a date of the column into its form.
func (f *dateForm) note(text string) {
	if len(text) < len("1/1/94") && len(text) < len("Mar94") {
		return
	}
	d, ok := takeDateApart(text)
	switch {
	case !ok:
	case d.kinds == "mn":
		f.monthAndYear = f.monthAndYear || d.parts[1].isYear() || d.parts[1].short
	case d.kinds == "nnn" && d.sign != ' ' && d.parts[0].digits <= 2:
		possible, _ := d.orders()
		if possible == 0 {
			return
		}
		*f.of(d.sign) &= possible
		for i := range f.tells {
			if f.tells[i] == "" && possible == 1<<i {
				f.tells[i] = strings.Clone(text)
			}
		}
	}
}

// dateForms tells of each column of a sheet how it writes dates. after is the heading row.
func dateForms[R any](ctx context.Context, content book, sheet string, columns []placed[R], after uint32) ([]dateForm, error) {
	forms := make([]dateForm, len(columns))
	for i := range forms {
		forms[i] = dateForm{slashes: anyOrder, dashes: anyOrder, dots: anyOrder}
	}
	grid, err := openSheet(ctx, content, sheet)
	if err != nil {
		return nil, err
	}
	defer grid.close()
	for grid.next() {
		for i := range columns {
			p := &columns[i]
			if grid.number <= after || p.column.shape != dateShape || p.index < 0 || p.index >= len(grid.cells) {
				continue
			}
			if cell := strings.TrimSpace(grid.cells[p.index]); cell != "" && len(cell) <= longestName {
				forms[i].note(cell)
			}
		}
	}
	return forms, grid.err
}
