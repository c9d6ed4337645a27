package store

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"time"

	"github.com/gofrs/flock"
	"github.com/jmoiron/sqlx"
	"github.com/rs/zerolog"
	"modernc.org/sqlite"
)

const (
	fileName = "record.db"
	// applicationID marks the file as ours: "SPRL" in ASCII.
	applicationID = 0x5350524c
	busyTimeout   = 5000
	// quickCheckTime bounds the check at start; a full one belongs to a maintenance command.
	quickCheckTime = 5 * time.Second
	// minEngine is the first SQLite without the WAL-reset corruption bug (sqlite.org/wal.html).
	minEngine = "3.51.3"
)

// Store is the open record of one data folder.
type Store struct {
	path string
	log  zerolog.Logger
	lock *flock.Flock // nil when read-only

	readOnly bool

	readers *sqlx.DB

	mu     sync.Mutex // guards everything below: there is one writer
	writer *sqlx.DB
	conn   *sqlx.Conn
	stmts  map[string]*sqlx.Stmt
	head   Head
	failed error // first failed commit

	dirty  bool // appended to since the last checkpoint
	fresh  bool // something was appended since the last look
	stop   chan struct{}
	idleWG sync.WaitGroup
}

// Open opens or creates the record in the folder dir for writing, alone. Errors are *OpenError.
func Open(ctx context.Context, dir string, log zerolog.Logger) (*Store, error) {
	path, err := filepath.Abs(filepath.Join(dir, fileName))
	if err != nil {
		return nil, openError(dir, err)
	}
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return nil, openError(path, err)
	}
	lock, err := lockFolder(filepath.Dir(path))
	if err != nil {
		return nil, err
	}
	s := &Store{path: path, log: log, lock: lock}
	if err := s.openWriter(ctx); err != nil {
		return nil, s.giveUp(err)
	}
	s.stop = make(chan struct{})
	s.idleWG.Add(1)
	go s.idle()
	return s, nil
}

// OpenReadOnly opens the record beside a running bench, or after one. Errors are *OpenError.
func OpenReadOnly(ctx context.Context, dir string, log zerolog.Logger) (*Store, error) {
	path, err := filepath.Abs(filepath.Join(dir, fileName))
	if err != nil {
		return nil, openError(dir, err)
	}
	if _, err := os.Stat(path); err != nil {
		e := openError(path, err)
		e.Cause, e.Do = "there is no record here yet", "name the data folder of a bench"
		return nil, e
	}
	s := &Store{path: path, log: log, readOnly: true}
	if err := s.openReaders(ctx); err != nil {
		return nil, s.giveUp(err)
	}
	return s, nil
}

// giveUp closes what was opened before err.
func (s *Store) giveUp(err error) *OpenError {
	s.closeAll()
	var known *OpenError
	if !errors.As(err, &known) {
		return openError(s.path, err)
	}
	known.Path = s.path
	return known
}

// dsn names the file to SQLite; the path is escaped, since SQLite reads it as a URI.
func dsn(path, options string) string {
	return (&url.URL{Scheme: "file", Opaque: (&url.URL{Path: filepath.ToSlash(path)}).EscapedPath(),
		RawQuery: "_dqs=0&_error_rc=1&_defensive=1" + options}).String()
}

func (s *Store) openWriter(ctx context.Context) error {
	if err := checkHeader(s.path); err != nil {
		return err
	}
	if err := s.openConn(ctx); err != nil {
		return err
	}
	if err := s.openReaders(ctx); err != nil {
		return err
	}
	return syncDir(filepath.Dir(s.path))
}

// openConn opens the one writing connection, brings the schema up to date, looks the file over and finds
// the head.
func (s *Store) openConn(ctx context.Context) error {
	var err error
	if s.writer, err = sqlx.Open("sqlite", dsn(s.path, "")); err != nil {
		return err
	}
	s.writer.SetMaxOpenConns(1)
	if s.conn, err = s.writer.Connx(ctx); err != nil {
		return err
	}
	s.stmts = map[string]*sqlx.Stmt{}
	list, err := migrations()
	if err != nil {
		return err
	}
	if err := checkEngine(ctx, s.conn); err != nil {
		return err
	}
	if err := s.conn.PingContext(ctx); err != nil {
		return err
	}
	if err := identify(ctx, s.conn, len(list), true); err != nil {
		return err
	}
	if err := setPragmas(ctx, s.conn, writerPragmas); err != nil {
		return err
	}
	if err := persistWAL(s.conn); err != nil {
		return err
	}
	if err := migrate(ctx, s.conn, list); err != nil {
		return err
	}
	if err := s.quickCheck(ctx); err != nil {
		return err
	}
	s.head, err = readHead(ctx, s.conn)
	return err
}

// Reopen opens the writing side again after a failed commit. Everything in the write-ahead log is moved
// into the file and synced first, since a log whose sync failed once may be on the disk or not; what was
// not acknowledged may turn out to be stored, once. While that fails the store stays shut.
func (s *Store) Reopen(ctx context.Context) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.readOnly || s.readers == nil {
		return &NotSavedError{Cause: errors.New("the record is not open")}
	}
	if s.failed == nil {
		return nil
	}
	if err := s.closeConn(); err != nil {
		s.log.Warn().Err(err).Msg("close the failed connection")
	}
	err := s.openConn(ctx)
	if err == nil {
		_, err = s.conn.ExecContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)")
	}
	if err != nil {
		return s.fail(err)
	}
	s.failed = nil
	return nil
}

func (s *Store) openReaders(ctx context.Context) error {
	var err error
	if s.readers, err = sqlx.Open("sqlite", dsn(s.path, "&mode=ro"+readerPragmas.query())); err != nil {
		return err
	}
	s.readers.SetMaxOpenConns(4)
	c, err := s.readers.Connx(ctx)
	if err != nil {
		return err
	}
	defer c.Close()
	list, err := migrations()
	if err != nil {
		return err
	}
	if err := checkEngine(ctx, c); err != nil {
		return err
	}
	if err := identify(ctx, c, len(list), false); err != nil {
		return err
	}
	return checkPragmas(ctx, c, readerPragmas)
}

// checkHeader looks at the first bytes before SQLite opens the file, so that a foreign or newer file
// is not touched at all. It is only called while this process has no connection to the file.
func checkHeader(path string) error {
	f, err := os.Open(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil
	}
	if err != nil {
		return err
	}
	defer f.Close()
	var h [100]byte
	n, err := io.ReadFull(f, h[:])
	if n == 0 && errors.Is(err, io.EOF) {
		return nil // just created, nothing in it yet
	}
	if err != nil && !errors.Is(err, io.ErrUnexpectedEOF) {
		return err
	}
	if n < len(h) || string(h[:16]) != "SQLite format 3\x00" {
		return foreign("it is not an SQLite file")
	}
	list, err := migrations()
	if err != nil {
		return err
	}
	if id := binary.BigEndian.Uint32(h[68:]); id != applicationID {
		return foreign(fmt.Sprintf("it belongs to another program (application id %#x)", id))
	}
	if v := binary.BigEndian.Uint32(h[60:]); int64(v) > int64(len(list)) {
		return newer(int(v), len(list))
	}
	return nil
}

// identify reads the marks through SQLite and, when allowed, marks a fresh file as ours.
func identify(ctx context.Context, c *sqlx.Conn, known int, mark bool) error {
	var id, version, tables int
	for _, q := range []struct {
		into *int
		text string
	}{{&id, "PRAGMA application_id"}, {&version, "PRAGMA user_version"}, {&tables, "SELECT count(*) FROM sqlite_schema"}} {
		if err := c.GetContext(ctx, q.into, q.text); err != nil {
			return err
		}
	}
	switch {
	case id == applicationID && version > known:
		return newer(version, known)
	case id == applicationID && !mark && version < known:
		return &OpenError{Fault: FaultFolder, Cause: fmt.Sprintf("the record has schema %d and this program reads %d", version, known),
			Do: "start the bench once with this version, then read again"}
	case id == applicationID:
		return nil
	case id != 0 || version != 0 || tables != 0 || !mark:
		return foreign(fmt.Sprintf("it belongs to another program (application id %#x)", id))
	}
	_, err := c.ExecContext(ctx, "PRAGMA application_id = "+strconv.Itoa(applicationID))
	return err
}

func foreign(cause string) *OpenError {
	return &OpenError{Fault: FaultForeign, Cause: "this is not a record of springline: " + cause,
		Do: "name another data folder, or move that file away; it was not changed"}
}

func newer(version, known int) *OpenError {
	return &OpenError{Fault: FaultNewer, Cause: fmt.Sprintf("the record was written by a newer version (schema %d, this program knows %d)",
		version, known),
		Do: "run the newer version; the file was not changed"}
}

func checkEngine(ctx context.Context, c *sqlx.Conn) error {
	var v string
	if err := c.GetContext(ctx, &v, "SELECT sqlite_version()"); err != nil {
		return err
	}
	if !engineAtLeast(v, minEngine) {
		return &OpenError{Fault: FaultEngine, Cause: fmt.Sprintf("the SQLite built in is %s, which can damage a record", v),
			Do: "build with SQLite " + minEngine + " or later"}
	}
	return nil
}

func engineAtLeast(have, want string) bool {
	h, w := strings.Split(have, "."), strings.Split(want, ".")
	for i := range w {
		a, b := 0, 0
		if i < len(h) {
			a, _ = strconv.Atoi(h[i])
		}
		b, _ = strconv.Atoi(w[i])
		if a != b {
			return a > b
		}
	}
	return true
}

// persistWAL keeps the write-ahead log when the last connection closes: growing it anew costs about
// as much again as the commit.
func persistWAL(c *sqlx.Conn) error {
	return c.Raw(func(dc any) error {
		fc, ok := dc.(sqlite.FileControl)
		if !ok {
			return errors.New("the driver has no file control")
		}
		_, err := fc.FileControlPersistWAL("main", 1)
		return err
	})
}

// quickCheck looks the file over, for a bounded time: a file too large for it is opened unchecked.
func (s *Store) quickCheck(ctx context.Context) error {
	within, cancel := context.WithTimeout(ctx, quickCheckTime)
	defer cancel()
	var found []string
	err := s.conn.SelectContext(within, &found, "PRAGMA quick_check(3)")
	switch {
	case err == nil && len(found) == 1 && found[0] == "ok":
		return nil
	case err == nil:
		return &OpenError{Fault: FaultDamaged, Cause: "the file is damaged: " + strings.Join(found, "; "),
			Do: "keep the file as it is and start from the newest backup"}
	case within.Err() != nil && ctx.Err() == nil:
		s.log.Warn().Dur("after", quickCheckTime).Msg("quick check of the record not finished in time; going on")
		return nil
	}
	return err
}

// Close closes the record. Nothing is lost by not calling it.
func (s *Store) Close() error {
	if s.stop != nil {
		close(s.stop)
		s.idleWG.Wait()
		s.stop = nil
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.closeAll()
}

// closeConn closes the writing side.
func (s *Store) closeConn() error {
	var errs []error
	for _, st := range s.stmts {
		errs = append(errs, st.Close())
	}
	s.stmts = nil
	if s.conn != nil {
		errs = append(errs, s.conn.Close())
		s.conn = nil
	}
	if s.writer != nil {
		errs = append(errs, s.writer.Close())
		s.writer = nil
	}
	return errors.Join(errs...)
}

func (s *Store) closeAll() error {
	var errs []error
	keep := func(err error) {
		if err != nil {
			errs = append(errs, err)
		}
	}
	keep(s.closeConn())
	if s.readers != nil {
		keep(s.readers.Close())
		s.readers = nil
	}
	if s.failed == nil {
		s.failed = errors.New("the record is closed")
	}
	if s.lock != nil {
		keep(s.lock.Unlock())
		s.lock = nil
	}
	return errors.Join(errs...)
}

// ReadOnly reports whether the store was opened for reading.
func (s *Store) ReadOnly() bool { return s.readOnly }

// Path is the file of the record.
func (s *Store) Path() string { return s.path }

func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	return d.Sync()
}
