package dxf

import "testing"

// Each range of codes ends where the next begins, and none lies in two.
func TestKindsOfValues(t *testing.T) {
	for code, want := range map[int]valueKind{
		-6: unknownValue, -5: textValue, -1: textValue, 9: textValue, 10: 8, 59: 8, 60: 2, 79: 2, 80: unknownValue, 89: unknownValue,
		90: 4, 99: 4, 100: textValue, 109: textValue, 110: 8, 149: 8, 150: unknownValue, 160: 8, 169: 8, 170: 2, 179: 2, 180: unknownValue,
		209: unknownValue, 210: 8, 239: 8, 240: unknownValue, 270: 2, 289: 2, 290: 1, 299: 1, 300: textValue, 309: textValue,
		310: chunkValue, 319: chunkValue, 320: textValue, 369: textValue, 370: 2, 389: 2, 390: textValue, 399: textValue, 400: 2, 409: 2,
		410: textValue, 419: textValue, 420: 4, 429: 4, 430: textValue, 439: textValue, 440: 4, 459: 4, 460: 8, 469: 8, 470: textValue,
		481: textValue, 482: unknownValue, 998: unknownValue, 999: textValue, 1003: textValue, 1004: chunkValue, 1005: textValue,
		1009: textValue, 1010: 8, 1059: 8, 1060: 2, 1070: 2, 1071: 4, 1072: unknownValue,
	} {
		if got := valueKindOf(code); got != want {
			t.Errorf("code %d: %d, want %d", code, got, want)
		}
	}
	for i, r := range valueRanges {
		if r.from > r.to || i > 0 && r.from <= valueRanges[i-1].to {
			t.Errorf("%v follows %v", r, valueRanges[max(0, i-1)])
		}
	}
}
