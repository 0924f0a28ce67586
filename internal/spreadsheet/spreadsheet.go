// Package spreadsheet has LibreOffice reckon workbooks anew in tests, as an estimator's program does when an input is changed.
//
//	spreadsheet.Reckon(t, spreadsheet.Needed(t, "THE FORMULAS ARE NOT RECKONED"), out, "quote.xlsx")
package spreadsheet

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// always is a user's setting that has every file reckoned on opening, whatever values it holds.
const always = `<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"
  xmlns:xsi="http://www.w3.org/2001/XMLSchema-instance">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
`

// Needed finds the program. It may only be missing where nobody relies on the test, which then is skipped and says what is not checked.
func Needed(t testing.TB, unchecked string) string {
	t.Helper()
	program, err := exec.LookPath("soffice")
	if err != nil {
		if os.Getenv("CI") == "true" {
			t.Fatal("soffice is missing: apt-get install libreoffice-calc")
		}
		t.Skip("SKIPPED: " + unchecked + ": soffice is missing, apt-get install libreoffice-calc")
	}
	return program
}

// Reckon writes the files anew, under their own names, to the folder out, with a user's settings of their own.
func Reckon(t testing.TB, program, out string, files ...string) {
	t.Helper()
	profile := t.TempDir()
	user := filepath.Join(profile, "user")
	if err := os.MkdirAll(user, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(user, "registrymodifications.xcu"), []byte(always), 0o600); err != nil {
		t.Fatal(err)
	}
	args := append([]string{"-env:UserInstallation=file://" + profile, "--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML",
		"--outdir", out}, files...)
	if text, err := exec.Command(program, args...).CombinedOutput(); err != nil {
		t.Fatalf("LibreOffice: %v\n%s", err, text)
	}
}
