//go:build mutants

package checks

import (
	"encoding/json"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strings"
	"testing"
	"time"
)

var (
	some = flag.Int("some", 0, "run about that many mutants, others each day; 0 runs all")
	only = flag.String("only", "", "run the mutants whose block in mutants/*.txt matches this expression")
)

// root is the folder of go.mod as seen from here.
const root = "../../.."

// mutant is one rule put wrong on one line, and the test that must notice it.
type mutant struct {
	at           string // file and number of the block
	block        string // its text
	in           string // folder whose files hold the line, with its subfolders
	right, wrong string
	test, tests  string // name of the test, folder it is looked for in
}

// A line that is not found or found twice fails, and so does a wrong line that does not compile.
func TestMutants(t *testing.T) {
	all := readMutants(t)
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for _, m := range chosen(t, all, time.Now()) {
		t.Run(m.at, func(t *testing.T) {
			t.Parallel()
			slots <- struct{}{}
			defer func() { <-slots }()
			if err := m.seen(t.TempDir()); err != nil {
				t.Errorf("%v\n%s", err, m.block)
			}
		})
	}
}

// A row that shows nothing must not pass for a rule that is guarded.
func TestMutantsThatShowNothing(t *testing.T) {
	for _, c := range []struct{ block, says string }{
		{"# w\nin qc/length\n- Thou              = 25_400 *\n+ Thou              = 25_401 *\nred TestFeetInches", "stays green"},
		{"# w\nin qc/length\n- Thou              = 25_400 *\n+ Thou              = none *\nred TestFeetInches", "did not run"},
		{"# w\nin qc/length\n- Limit = 101 * Metre\n+ Limit = 1 * Metre\nred TestFeetInches", `found in []`},
		{"# w\nin qc/length\n- Nanometre\n+ Metre\nred TestFeetInches", "must be found once"},
		{"# w\nin qc/length\n- Limit = 100 * Metre\n+ Limit = 1 * Metre\nred TestNoSuch", "TestNoSuch must be found once"},
		{"# w\nin qc/length\n- Limit = 100 * Metre\n+ Limit = 1 * Metre\nred TestFeetInches/no-such-case", "stays green"},
		{"# w\nin qc/length\n- Limit = 100 * Metre\nred TestFeetInches\nred TestReadAccepts", "no place"},
		{"in qc/length\n- Limit = 100 * Metre\n+ Limit = 1 * Metre\nred TestFeetInches", `"#" is missing`},
	} {
		m, err := parseMutant(c.block)
		if err == nil {
			err = m.seen(t.TempDir())
		}
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, want an error with %q, of\n%s", err, c.says, c.block)
		}
	}
}

func readMutants(t *testing.T) (all []mutant) {
	t.Helper()
	files, err := filepath.Glob("mutants/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatalf("no mutants in checks/mutants: %v", err)
	}
	for _, file := range files {
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for i, block := range strings.Split(strings.TrimSpace(string(b)), "\n\n") {
			m, err := parseMutant(block)
			m.at = fmt.Sprintf("%s-%d", strings.TrimSuffix(filepath.Base(file), ".txt"), i+1)
			if err != nil {
				t.Fatalf("%s: %v:\n%s", m.at, err, block)
			}
			all = append(all, m)
		}
	}
	if len(all) < 140 {
		t.Errorf("%d mutants are kept, at least 140 are wanted", len(all))
	}
	return all
}

// parseMutant reads a block of the lines "# why", "in FOLDER", "- RIGHT", "+ WRONG" and "red TEST", the last with
// "in FOLDER" after it where the test's name stands in several packages. RIGHT is a part of one line.
func parseMutant(block string) (m mutant, err error) {
	m.block = strings.TrimSpace(block)
	fields := map[string]*string{"#": new(string), "in": &m.in, "-": &m.right, "+": &m.wrong, "red": &m.test}
	for line := range strings.Lines(m.block) {
		key, rest, _ := strings.Cut(strings.TrimSpace(line), " ")
		to, ok := fields[key]
		if !ok || key != "#" && *to != "" {
			return m, fmt.Errorf("line %q has no place in a mutant", line)
		}
		*to = strings.TrimSpace(rest)
	}
	m.test, m.tests, _ = strings.Cut(m.test, " in ")
	for key, v := range fields {
		if *v == "" && key != "+" { // a deleted statement leaves nothing
			return m, fmt.Errorf("line %q is missing", key)
		}
	}
	return m, nil
}

// chosen takes some of the mutants, spread over the list and moving on by one each day.
func chosen(t *testing.T, all []mutant, now time.Time) (out []mutant) {
	t.Helper()
	match, err := regexp.Compile(*only)
	if err != nil {
		t.Fatal(err)
	}
	step := 1
	if *some > 0 {
		step = max(1, len(all) / *some)
	}
	for i := int(now.Unix()/86400) % step; i < len(all); i += step {
		if match.MatchString(all[i].block) {
			out = append(out, all[i])
		}
	}
	return out
}

// seen runs the test on the wrong line and gives nil when it goes red.
func (m mutant) seen(scratch string) error {
	file, text, err := m.find()
	if err != nil {
		return err
	}
	top, _, _ := strings.Cut(m.test, "/")
	folder, err := folderOf(m.tests, top)
	if err != nil {
		return err
	}
	wrong, overlay := filepath.Join(scratch, "wrong.go"), filepath.Join(scratch, "overlay.json")
	if err := os.WriteFile(wrong, []byte(strings.Replace(text, m.right, m.wrong, 1)), 0o600); err != nil {
		return err
	}
	whole, err := filepath.Abs(file)
	if err != nil {
		return err
	}
	list, err := json.Marshal(map[string]map[string]string{"Replace": {whole: wrong}})
	if err != nil {
		return err
	}
	if err := os.WriteFile(overlay, list, 0o600); err != nil {
		return err
	}
	parts := strings.Split(m.test, "/")
	for i, p := range parts {
		parts[i] = "^" + regexp.QuoteMeta(p) + "$"
	}
	c := exec.Command("go", "test", "-vet=off", "-count=1", "-timeout=3m", "-tags=full", "-overlay="+overlay,
		"-run="+strings.Join(parts, "/"), ".")
	c.Dir = folder
	out, err := c.CombinedOutput()
	switch said := string(out); {
	case err == nil:
		return fmt.Errorf("%s in %s stays green:\n%s", m.test, folder, said)
	case !strings.Contains(said, "--- FAIL: "+top) && !strings.Contains(said, "panic: "):
		return fmt.Errorf("%s in %s did not run: %w:\n%s", m.test, folder, err, said)
	}
	return nil
}

// find gives the one program file that holds the right line, wherever below the folder it stands by now.
func (m mutant) find() (file, text string, err error) {
	var held []string
	err = filepath.WalkDir(filepath.Join(root, m.in), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		b, err := os.ReadFile(path)
		for range strings.Count(string(b), m.right) {
			held = append(held, path)
			text = string(b)
		}
		return err
	})
	if err == nil && len(held) != 1 {
		err = fmt.Errorf("the right line must be found once below %s and is found in %q", m.in, held)
	}
	if err != nil {
		return "", "", err
	}
	return held[0], text, nil
}

// folderOf gives the one package below a folder that has the test.
func folderOf(below, test string) (string, error) {
	var held []string
	err := filepath.WalkDir(filepath.Join(root, below), func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		b, err := os.ReadFile(path)
		if strings.Contains(string(b), "\nfunc "+test+"(") {
			held = append(held, filepath.Dir(path))
		}
		return err
	})
	if err == nil && len(held) != 1 {
		err = fmt.Errorf("%s must be found once below %q and is found in %q; say \"red %s in FOLDER\"", test, below, held, test)
	}
	if err != nil {
		return "", err
	}
	return held[0], nil
}
