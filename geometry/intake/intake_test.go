package intake

import (
	"bytes"
	"crypto/sha256"
	"errors"
	"fmt"
	"math/rand"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func written(t testing.TB, data []byte) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "f.bin")
	if err := os.WriteFile(path, data, 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func ExampleReadFile() {
	path := filepath.Join(os.TempDir(), "intake-example.txt")
	defer os.Remove(path)
	if err := os.WriteFile(path, []byte("seam"), 0o600); err != nil {
		fmt.Println(err)
		return
	}
	data, sum, err := ReadFile(path, 1<<20)
	fmt.Printf("%s, %d bytes, %x…, %v\n", data, sum.Size, sum.SHA256[:4], err)
	// Output: seam, 4 bytes, 00e98712…, <nil>
}

// TestSumOfWhatWasRead reads pieces in any order, some twice, some never: the sum is always that of the whole file.
func TestSumOfWhatWasRead(t *testing.T) {
	dir := t.TempDir()
	rapid.Check(t, func(t *rapid.T) {
		data := make([]byte, rapid.SampledFrom([]int{0, 1, 999, 100_000, 300_007}).Draw(t, "size"))
		rng := rand.New(rand.NewSource(rapid.Int64().Draw(t, "seed")))
		rng.Read(data)
		path := filepath.Join(dir, "f.bin")
		if err := os.WriteFile(path, data, 0o600); err != nil {
			t.Fatalf("%v", err)
		}
		f, err := Open(path)
		if err != nil {
			t.Fatalf("%v", err)
		}
		var wait sync.WaitGroup
		for range rapid.IntRange(0, 30).Draw(t, "reads") {
			at, n := rng.Intn(len(data)+1), rng.Intn(50_000)
			wait.Go(func() {
				buf := make([]byte, n)
				n, _ := f.ReadAt(buf, int64(at))
				if !bytes.Equal(buf[:n], data[at:min(len(data), at+len(buf))]) {
					t.Errorf("other bytes at %d", at)
				}
			})
		}
		wait.Wait()
		sum, err := f.Close()
		if err != nil || sum.Size != int64(len(data)) || sum.SHA256 != sha256.Sum256(data) {
			t.Fatalf("%d bytes, %v", sum.Size, err)
		}
	})
}

func TestReadFile(t *testing.T) {
	data := bytes.Repeat([]byte("weld "), 1000)
	path := written(t, data)
	got, sum, err := ReadFile(path, 5000)
	if err != nil || !bytes.Equal(got, data) || sum.SHA256 != sha256.Sum256(data) {
		t.Errorf("%d bytes, %v", len(got), err)
	}
	var large *TooLargeError
	if _, _, err := ReadFile(path, 4999); !errors.As(err, &large) || !strings.Contains(err.Error(), path+": is larger than 4999 bytes") {
		t.Errorf("%v", err)
	}
	if _, _, err := ReadFile(filepath.Dir(path), 9); err == nil || !strings.Contains(err.Error(), "is a folder") {
		t.Errorf("%v", err)
	}
	if _, _, err := ReadFile(path+"x", 9); !errors.Is(err, os.ErrNotExist) || strings.Count(err.Error(), path) != 1 {
		t.Errorf("%v", err)
	}
}

// TestChangedFileIsNoticed changes a file between the first byte read and the last, whether its sum is asked for or not.
func TestChangedFileIsNoticed(t *testing.T) {
	for _, sum := range []bool{true, false} {
		changedFileIsNoticed(t, sum)
	}
}

func changedFileIsNoticed(t *testing.T, sum bool) {
	for name, change := range map[string]func(path string) error{
		"longer":    func(path string) error { return os.WriteFile(path, make([]byte, 70_000), 0o600) },
		"shorter":   func(path string) error { return os.Truncate(path, 100) },
		"elsewhere": func(path string) error { return os.WriteFile(path, bytes.Repeat([]byte{1}, 60_000), 0o600) },
		"":          func(path string) error { return nil },
	} {
		path := written(t, make([]byte, 60_000))
		earlier := time.Now().Add(-time.Hour) // the file system's clock may stand still between two writes
		if err := os.Chtimes(path, earlier, earlier); err != nil {
			t.Fatal(err)
		}
		f, err := Open(path)
		if err != nil {
			t.Fatal(err)
		}
		if !sum {
			f.Unsummed()
		}
		if _, err := f.ReadAt(make([]byte, 1000), 0); err != nil {
			t.Fatal(err)
		}
		if err := change(path); err != nil {
			t.Fatal(err)
		}
		got, err := f.Close()
		if name != "" && !errors.Is(err, ErrChanged) || name == "" && (err != nil || (got == Sum{}) == sum) {
			t.Errorf("%q, summed %t: %v, %v", name, sum, got, err)
		}
	}
}

func TestSeparator(t *testing.T) {
	for text, want := range map[string]rune{
		"": ',', "a": ',', "a,b\nc;d": ',', "a;b,c;d": ';', "# a;b\n\na,b": ',', "a\tb": '\t', "a;b": ';', "\n#\n": ',',
	} {
		if got := Separator(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// What is read farther ahead of the hash than is kept, or begins before the hash and ends behind it, is in the sum all the same.
func TestSumOfWhatWasReadFarAhead(t *testing.T) {
	data := make([]byte, parkable+3<<20)
	rand.New(rand.NewSource(1)).Read(data)
	for name, reads := range map[string][][2]int{
		"far ahead":  {{parkable + 1<<20, 1 << 20}, {0, 1 << 20}},
		"over it":    {{0, 1 << 20}, {1 << 19, 1 << 20}},
		"up to it":   {{1 << 20, parkable - 1<<20}, {0, 1 << 20}},
		"too far by": {{1 << 20, parkable - 1<<20 + 1}, {0, 1 << 20}},
	} {
		f, err := Open(written(t, data))
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range reads {
			if _, err := f.ReadAt(make([]byte, r[1]), int64(r[0])); err != nil {
				t.Fatal(err)
			}
		}
		passed := map[string]int64{"far ahead": 1 << 20, "over it": 3 << 19, "up to it": parkable, "too far by": 1 << 20}[name]
		if f.next != passed {
			t.Errorf("%s: the hash stands at %d, want %d", name, f.next, passed)
		}
		sum, err := f.Close()
		if err != nil || sum.SHA256 != sha256.Sum256(data) {
			t.Errorf("%s: another sum, %v", name, err)
		}
	}
}
