package stl

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"
)

// isText reports whether the head of a file can be ASCII STL: "solid" and no zero byte, as every
// binary count below 16 million has one; or at least nothing but text.
func isText(head []byte) bool {
	text := strings.TrimPrefix(string(head), byteOrderMark)
	if strings.Contains(text, "\x00") {
		return false
	}
	if first := strings.Fields(text); len(first) > 0 && strings.EqualFold(first[0], "solid") {
		return true
	}
	return !strings.ContainsFunc(text, func(c rune) bool { return c < ' ' && !unicode.IsSpace(c) })
}

func notSTL(head []byte) error {
	if strings.HasPrefix(string(head), "\xff\xfe") || strings.HasPrefix(string(head), "\xfe\xff") {
		return errors.New("this is UTF-16 text: save it as ASCII or binary STL")
	}
	return fmt.Errorf("neither whole binary STL nor ASCII STL, it begins with %s: export the panel again", quoted(head))
}

func cannotRead(err error) error {
	if err == nil || errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) {
		return errors.New("the file is shorter than its size says: copy it again")
	}
	return fmt.Errorf("cannot be read: %w", err)
}

// Printable keeps a message on one line whatever the file is called.
func Printable(name string) string {
	if name == "" {
		return "panel"
	}
	if strings.ContainsFunc(name, func(c rune) bool { return !unicode.IsPrint(c) }) {
		return strconv.Quote(name)
	}
	return name
}

// quotedBytes is how much of a file a message repeats.
const quotedBytes = 24

func quoted(b []byte) string {
	if len(b) > quotedBytes {
		return strconv.QuoteToASCII(string(b[:quotedBytes])) + "…"
	}
	return strconv.QuoteToASCII(string(b))
}
