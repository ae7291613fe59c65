package report

import (
	"context"
	"io"
	"testing"
)

// BenchmarkWorkbook writes a workbook of 50 000 exceptions, those of the strict demo over and over.
func BenchmarkWorkbook(b *testing.B) {
	r := strict(b)
	few := r.Exceptions
	for len(r.Exceptions) < 50_000 {
		r.Exceptions = append(r.Exceptions, few[len(r.Exceptions)%len(few)])
	}
	b.ReportAllocs()
	for b.Loop() {
		if err := writeWorkbook(context.Background(), io.Discard, r, nil); err != nil {
			b.Fatal(err)
		}
	}
}
