// Package xlsx reads workbooks. What enters is a file; what leaves are the rows of its sheets as texts, each with its
// number, with the formulas that have no stored value and with the merged areas of the sheet. Of what the cells mean it
// knows nothing.
//
// A scanner of its own reads most workbooks, in a fraction of the time and room that a library takes which can also write.
// What it does not know is left to that library, from the very row on where it was met.
//
// What keeps it from reading are a *BookError and a *NoWorkbookError of the whole file, a *CellError and a *DamagedError
// of a sheet, ErrTooLarge and ErrDeclared of a part, the error of the context, or what the system said.
package xlsx
