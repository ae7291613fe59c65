//go:build !windows

package report

import "os"

func link(old, new string) error { return os.Link(old, new) }

func rename(old, new string) error { return os.Rename(old, new) }
