package quote_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"seamwright/internal/record"
	"strings"
	"testing"

	"seamwright/layout/labour"
	"seamwright/layout/labour/sample"
	"seamwright/layout/quote"
	"seamwright/seams/shell"
)

// measured are the elapsed minutes of so many shells at each station in a works whose times differ from the file.
func measured(t testing.TB, truth *shell.Shell, shells int, scatter float64, seed uint64) []quote.Actual {
	t.Helper()
	random := rand.New(rand.NewPCG(seed, 1))
	accounts, err := labour.Accounts(t.Context(), sample.Cab(truth), truth)
	if err != nil {
		t.Fatal(err)
	}
	var rows []quote.Actual
	for n := 1; n <= shells; n++ {
		pace, err := labour.PaceAt(truth, n)
		if err != nil {
			t.Fatal(err)
		}
		minutes := map[string]float64{}
		for _, a := range accounts {
			minutes[a.Station] += pace.Minutes(a, truth) / float64(a.Crew)
		}
		for _, s := range []string{"floor", "side", "main"} {
			rows = append(rows, quote.Actual{Station: s, Shell: n, Minutes: minutes[s] * math.Exp(scatter*random.NormFloat64()),
				Line: len(rows) + 2})
		}
	}
	return rows
}

func recalibrated(t testing.TB, sh *shell.Shell, rows []quote.Actual) quote.Fit {
	t.Helper()
	f, err := quote.Recalibrate(t.Context(), sample.Cab(sh), sh, rows)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Times measured at the stated pace leave the elements where they are.
func TestTimesAsPlannedChangeNothing(t *testing.T) {
	f := recalibrated(t, sample.Works(), measured(t, sample.Works(), 6, 0, 1))
	if !(math.Abs(f.Off) <= 1e-9) || f.Before > 1e-9 {
		t.Errorf("off by %v %%, before %v %%", f.Off, f.Before)
	}
	for _, e := range f.Elements {
		if !(math.Abs(e.Fitted/e.Stated-1) <= 1e-9) {
			t.Errorf("%+v", e)
		}
	}
}

// A works that takes half as long again for every hand movement: the fit finds its minutes, and an estimate with the
// fitted elements comes to what was measured.
func TestFitExplainsTheTimes(t *testing.T) {
	truth := sample.Works()
	for _, v := range []*float64{&truth.Elements.Position, &truth.Elements.StartRun, &truth.Elements.Fit, &truth.Elements.LoadPanel,
		&truth.Elements.Gauge, &truth.Elements.Marking, &truth.Elements.Coupon, &truth.Elements.LiftOut, &truth.Elements.Inspect} {
		*v *= 1.5
	}
	rows := measured(t, truth, 12, 0.03, 7)
	sh := sample.Works()
	f := recalibrated(t, sh, rows)
	if f.Off < 30 || f.Off > 50 || f.After > 5 || f.Before < 30 || f.Scatter < 2 || f.Scatter > 6 || f.Rows != 36 {
		t.Errorf("off %v %%, before %v %%, after %v %%, scatter %v %%", f.Off, f.Before, f.After, f.Scatter)
	}
	for _, s := range f.Stations {
		if !(math.Abs(s.Fitted/s.Measured-1) <= 0.02) || s.Shells != 12 || !(math.Abs(100*(s.Measured/s.Planned-1)-s.Off) <= 1e-9) {
			t.Errorf("%+v", s)
		}
	}
	fitted := *sh
	f.Apply(&fitted)
	want, _, err := labour.Estimate(t.Context(), sample.Cab(truth), truth)
	if err != nil {
		t.Fatal(err)
	}
	got, _, err := labour.Estimate(t.Context(), sample.Cab(&fitted), &fitted)
	if err != nil {
		t.Fatal(err)
	}
	if !(math.Abs(got.ManMinutesPerShell/want.ManMinutesPerShell-1) <= 0.02) {
		t.Errorf("%v man-minutes with the fitted times, %v in truth", got.ManMinutesPerShell, want.ManMinutesPerShell)
	}
	if sh.Elements.Position != sample.Works().Elements.Position {
		t.Error("the shell was changed")
	}
}

// A learning rate of 0.90 in truth, stated as 0.95, comes back within 0.01, also where every hand movement takes half as long
// again and shells were made before.
func TestFitFindsTheLearningRate(t *testing.T) {
	for _, test := range []struct {
		name    string
		before  int
		slower  float64
		scatter float64
	}{{"times as stated", 0, 1, 0}, {"scatter", 0, 1, 0.03}, {"slower", 0, 1.5, 0.03}, {"shells before", 5, 1, 0.01}} {
		truth, sh := sample.Works(), sample.Works()
		truth.Allowances.Learning, sh.Allowances.Learning = 0.90, 0.95
		truth.Allowances.ShellsBefore, sh.Allowances.ShellsBefore = test.before, test.before
		for _, v := range []*float64{&truth.Elements.Position, &truth.Elements.StartRun, &truth.Elements.Fit, &truth.Elements.LoadPanel} {
			*v *= test.slower
		}
		f := recalibrated(t, sh, measured(t, truth, 24, test.scatter, 11))
		last := f.Elements[len(f.Elements)-1]
		if last.ID != "learning" || !(math.Abs(last.Fitted-0.90) <= 0.01) || last.Sure < 0.5 {
			t.Errorf("%s: %+v", test.name, last)
		}
		f.Apply(sh)
		if sh.Allowances.Learning != last.Fitted {
			t.Errorf("%s: %v was applied", test.name, sh.Allowances.Learning)
		}
	}
	// One shell says nothing of practice, and none is looked for where it is stated that there is none.
	sh := sample.Works()
	sh.Allowances.Learning = 0.95
	for _, e := range recalibrated(t, sh, measured(t, sample.Works(), 1, 0.03, 1)).Elements {
		if e.ID == "learning" {
			t.Errorf("from one shell: %+v", e)
		}
	}
}

// With one element in doubt and one time the answer is the weighted mean of both, by hand: the factor x of a part p of
// the planned time m, measured y with scatter s, prior spread q: x = 1 + q² p (y - m) / (q² p² + s² m²).
func TestFitByHand(t *testing.T) {
	sh := sample.Works()
	only(sh, map[string]float64{"fit_s_per_m": 40})
	without := *sh
	without.Elements.Fit = 0
	pace, err := labour.PaceAt(sh, 3)
	if err != nil {
		t.Fatal(err)
	}
	planned, rest := 0.0, 0.0
	for _, a := range mustAccounts(t, sh) {
		if a.Station == "side" {
			planned += pace.Minutes(a, sh)
		}
	}
	for _, a := range mustAccounts(t, &without) {
		if a.Station == "side" {
			rest += pace.Minutes(a, &without)
		}
	}
	y, part := planned*1.2, planned-rest // one time alone: the usual scatter of 10 % counts
	f := recalibrated(t, sh, []quote.Actual{{Station: "side", Shell: 3, Minutes: y}})
	x, s := f.Elements[0].Fitted/f.Elements[0].Stated, 0.1
	want := 1 + 0.16*part*(y-planned)/(0.16*part*part+s*s*planned*planned)
	if len(f.Elements) != 1 || !(math.Abs(x-want) <= 1e-9) || x <= 1 || !(math.Abs(f.Off-20) <= 1e-9) {
		t.Errorf("factor %v, want %v; %+v", x, want, f)
	}
	sure := 1 - s*s*planned*planned/(0.16*part*part+s*s*planned*planned)
	if !(math.Abs(f.Elements[0].Sure-sure) <= 1e-9) {
		t.Errorf("sure %v, want %v", f.Elements[0].Sure, sure)
	}
}

func mustAccounts(t *testing.T, sh *shell.Shell) []labour.Account {
	t.Helper()
	list, err := labour.Accounts(t.Context(), sample.Cab(sh), sh)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// Times far below anything possible hold the elements at a least share, never below nothing.
func TestFitKeepsTimesAboveNothing(t *testing.T) {
	var rows []quote.Actual
	for n := 1; n <= 10; n++ {
		rows = append(rows, quote.Actual{Station: "floor", Shell: n, Minutes: 0.5}, quote.Actual{Station: "side", Shell: n, Minutes: 0.5})
	}
	for _, e := range recalibrated(t, sample.Works(), rows).Elements {
		if e.Fitted < 0.049*e.Stated {
			t.Errorf("%+v", e)
		}
	}
}

func TestSameRowsSameFit(t *testing.T) {
	rows := measured(t, sample.Works(), 8, 0.1, 3)
	if a, b := recalibrated(t, sample.Works(), rows), recalibrated(t, sample.Works(), rows); !reflect.DeepEqual(a, b) {
		t.Error("two fits differ")
	}
}

func TestRecalibrateErrors(t *testing.T) {
	said := record.Errors(t)
	sh := sample.Works()
	empty := sample.Cab(sh)
	empty.Stations = append(empty.Stations, empty.Stations[0])
	for name, test := range map[string]struct {
		rows []quote.Actual
		want string
	}{
		"no rows":         {nil, "no measured times"},
		"unknown station": {[]quote.Actual{{Station: "attic", Shell: 1, Minutes: 3, Line: 4}}, `line 4: there is no station "attic"`},
	} {
		if _, err := quote.Recalibrate(t.Context(), sample.Cab(sh), sh, test.rows); err == nil || !said.Has(err, test.want) {
			t.Errorf("%s: %v, want %q", name, err, test.want)
		}
	}
}

func write(t testing.TB, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "times.csv")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

func TestReadActuals(t *testing.T) {
	rows, err := quote.ReadActuals(write(t, "\xef\xbb\xbfShell, station ,who,minutes\r\n# Monday\r\n1, floor,AK,98.5\r\n2,floor,MR, 91\r\n"))
	want := []quote.Actual{{"floor", 1, 98.5, 3}, {"floor", 2, 91, 4}}
	if err != nil || !reflect.DeepEqual(rows, want) {
		t.Errorf("%v, %v", rows, err)
	}
}

func TestReadActualsOfOtherCountries(t *testing.T) {
	want := []quote.Actual{{"floor", 1, 98.5, 2}, {"floor", 2, 91.25, 3}}
	for _, text := range []string{
		"\xef\xbb\xbfminutes;station;shell\r\n98,5;floor;1\r\n91.25;floor;2\r\n", "shell\tminutes\tstation\n1\t98,5\tfloor\n2\t91,25\tfloor\n",
	} {
		if rows, err := quote.ReadActuals(write(t, text)); err != nil || !reflect.DeepEqual(rows, want) {
			t.Errorf("%q: %v, %v", text, rows, err)
		}
	}
	if rows, err := quote.ReadActuals(write(t, "station;shell;minutes\na;1;1.234,5\n")); err == nil {
		t.Errorf("a point and a comma: %v", rows)
	}
}

func TestReadActualsErrors(t *testing.T) {
	said := record.Errors(t)
	const head = "station,shell,minutes\n"
	for name, test := range map[string]struct{ text, want string }{
		"empty":        {"", "times.csv: the file is empty: the first line names the columns"},
		"head only":    {head, "no times in the file"},
		"column":       {"station,shell,hours\na,1,2\n", "line 1: no column minutes"},
		"short row":    {head + "a,1\n", "line 2: 2 columns, 3 are needed"},
		"no station":   {head + " ,1,3\n", "line 2: no station"},
		"shell 0":      {head + "a,0,3\n", `line 2: "0" is no shell number`},
		"shell text":   {head + "a,one,3\n", "is no shell number"},
		"comma number": {head + "a,1,\"3,5\"\n", `"3,5" is no time: write the minutes at the jig, with a point`},
		"negative":     {head + "a,1,-3\n", "is no time"},
		"not a number": {head + "a,1,NaN\n", "is no time"},
		"endless":      {head + "a,1,Inf\n", "is no time"},
		"twice":        {head + "a,1,3\nb,1,3\na,1,4\n", "line 4: shell 1 at a stands in line 2 already"},
		"quote":        {head + "a,1,\"3\n", "write one row for each station and shell"},
	} {
		_, err := quote.ReadActuals(write(t, test.text))
		if err == nil || !said.Has(err, test.want) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%s: %v, want one line with %q", name, err, test.want)
		}
	}
	if _, err := quote.ReadActuals(filepath.Join(t.TempDir(), "none.csv")); err == nil || !strings.Contains(err.Error(),
		"none.csv: no such file") {
		t.Errorf("%v", err)
	}
}

func FuzzReadActuals(f *testing.F) {
	f.Add("station,shell,minutes\na,1,2\n")
	f.Add("minutes;shell\n#\n\"\n")
	f.Fuzz(func(t *testing.T, text string) {
		rows, err := quote.ReadActuals(write(t, text))
		if err == nil && len(rows) == 0 {
			t.Error("no rows and no error")
		}
		for _, r := range rows {
			if r.Station == "" || r.Shell < 1 || !(r.Minutes > 0) || math.IsInf(r.Minutes, 0) {
				t.Errorf("%+v", r)
			}
		}
	})
}

func ExampleRecalibrate() {
	sh := sample.Works()
	rows := []quote.Actual{{Station: "floor", Shell: 1, Minutes: 120}, {Station: "floor", Shell: 2, Minutes: 104},
		{Station: "side", Shell: 1, Minutes: 149}}
	f, err := quote.Recalibrate(context.Background(), sample.Cab(sh), sh, rows)
	if err != nil {
		fmt.Println(err)
	}
	fmt.Printf("%d times, off by %.0f %%\n", f.Rows, f.Off)
	for _, s := range f.Stations {
		fmt.Printf("%s: measured %.1f, planned %.1f, now %.1f min\n", s.Station, s.Measured, s.Planned, s.Fitted)
	}
	// Output:
	// 3 times, off by 110 %
	// floor: measured 112.0, planned 50.8, now 96.8 min
	// side: measured 149.0, planned 76.0, now 141.5 min
}

func BenchmarkRecalibrate(b *testing.B) {
	for _, shells := range []int{5, 25, 100} {
		rows := measured(b, sample.Works(), shells, 0.1, 3)
		b.Run(fmt.Sprintf("%d times", len(rows)), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				recalibrated(b, sample.Works(), rows)
			}
		})
	}
}

// The speed of moving is no time: measured times above the planned ones fit a slower gun, times below a faster one.
func TestFittedSpeedGoesTheOtherWay(t *testing.T) {
	sh := sample.Works()
	only(sh, map[string]float64{"move_mm_per_s": 40})
	pace, err := labour.PaceAt(sh, 3)
	if err != nil {
		t.Fatal(err)
	}
	planned := 0.0
	for _, a := range mustAccounts(t, sh) {
		if a.Station == "side" {
			planned += pace.Minutes(a, sh)
		}
	}
	for _, factor := range []float64{0.8, 1.2} {
		f := recalibrated(t, sh, []quote.Actual{{Station: "side", Shell: 3, Minutes: planned * factor}})
		e := f.Elements[0]
		if e.ID != "move_mm_per_s" || (e.Fitted < e.Stated) != (factor > 1) || e.Fitted == e.Stated {
			t.Errorf("times of %g of the plan: %+v", factor, e)
		}
	}
}
