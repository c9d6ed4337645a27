-- Projections: what the record adds up to, for those who read with SQL. Written in the transaction of
-- the record, and recreated from it at will. Lengths are nanometres, times microseconds of Unix time.
-- seq columns name the record that made the row or, where they end in _seq, that changed it.
CREATE TABLE gauge (
    bench TEXT NOT NULL, id TEXT NOT NULL, seq INTEGER NOT NULL,
    name TEXT NOT NULL, kind TEXT NOT NULL, class TEXT NOT NULL, end_face INTEGER NOT NULL,
    limit_nm INTEGER NOT NULL, resolution_nm INTEGER NOT NULL, unit TEXT NOT NULL, measures TEXT NOT NULL,
    checked_us INTEGER NOT NULL, due_us INTEGER NOT NULL, check_note TEXT NOT NULL, address TEXT NOT NULL,
    PRIMARY KEY (bench, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE lot (
    bench TEXT NOT NULL, id TEXT NOT NULL, seq INTEGER NOT NULL,
    heat TEXT NOT NULL, grade TEXT NOT NULL, bar_length_nm INTEGER NOT NULL, note TEXT NOT NULL,
    PRIMARY KEY (bench, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE jig (
    bench TEXT NOT NULL, id TEXT NOT NULL, seq INTEGER NOT NULL,
    face_radius_nm INTEGER NOT NULL, blocks INTEGER NOT NULL, note TEXT NOT NULL, at_us INTEGER NOT NULL,
    PRIMARY KEY (bench, id)
) STRICT, WITHOUT ROWID;

CREATE TABLE target (
    bench TEXT NOT NULL, id TEXT NOT NULL, revision INTEGER NOT NULL, seq INTEGER NOT NULL,
    name TEXT NOT NULL, diameter_nm INTEGER NOT NULL, grade TEXT NOT NULL, yield_mpa INTEGER NOT NULL,
    leg_nm INTEGER NOT NULL, arc_nm INTEGER NOT NULL, radius_nm INTEGER NOT NULL, face TEXT NOT NULL,
    PRIMARY KEY (bench, id, revision)
) STRICT, WITHOUT ROWID;

CREATE TABLE characteristic (
    bench TEXT NOT NULL, target TEXT NOT NULL, revision INTEGER NOT NULL, place INTEGER NOT NULL,
    id TEXT NOT NULL, kind TEXT NOT NULL, face TEXT NOT NULL, nominal_nm INTEGER NOT NULL,
    lower_nm INTEGER NOT NULL, upper_nm INTEGER NOT NULL, repeats INTEGER NOT NULL, band_nm INTEGER NOT NULL,
    PRIMARY KEY (bench, target, revision, place),
    FOREIGN KEY (bench, target, revision) REFERENCES target (bench, id, revision) DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;

CREATE TABLE batch (
    bench TEXT NOT NULL, id TEXT NOT NULL, seq INTEGER NOT NULL,
    title TEXT NOT NULL, place TEXT NOT NULL, maker TEXT NOT NULL, planned INTEGER NOT NULL,
    target TEXT NOT NULL, revision INTEGER NOT NULL, rule TEXT NOT NULL, confidence REAL NOT NULL,
    temp_half_width_k REAL NOT NULL, face_half_width_nm INTEGER NOT NULL,
    jig TEXT NOT NULL, lot TEXT NOT NULL, opened_us INTEGER NOT NULL, closed_us INTEGER,
    PRIMARY KEY (bench, id),
    FOREIGN KEY (bench, target, revision) REFERENCES target (bench, id, revision) DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;

-- round, verdict and reason are as of the rib's last record; an open rib has no reason.
CREATE TABLE rib (
    bench TEXT NOT NULL, batch TEXT NOT NULL, id TEXT NOT NULL, seq INTEGER NOT NULL,
    lot TEXT NOT NULL, jig TEXT NOT NULL, place INTEGER NOT NULL, started_us INTEGER NOT NULL,
    round INTEGER NOT NULL, verdict TEXT NOT NULL, reason TEXT NOT NULL,
    PRIMARY KEY (bench, batch, id),
    FOREIGN KEY (bench, batch) REFERENCES batch (bench, id) DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;

CREATE TABLE measurement (
    bench TEXT NOT NULL, seq INTEGER NOT NULL, batch TEXT NOT NULL, rib TEXT NOT NULL, char TEXT NOT NULL,
    round INTEGER NOT NULL, at_us INTEGER NOT NULL, value_nm INTEGER NOT NULL, gauge TEXT NOT NULL,
    entry TEXT NOT NULL, text TEXT NOT NULL, unit TEXT NOT NULL, by TEXT NOT NULL,
    again INTEGER NOT NULL, from_held INTEGER NOT NULL,
    voided_seq INTEGER, void_reason TEXT, replaced_seq INTEGER,
    PRIMARY KEY (bench, seq),
    FOREIGN KEY (bench, batch, rib) REFERENCES rib (bench, batch, id) DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;

CREATE TABLE held (
    bench TEXT NOT NULL, seq INTEGER NOT NULL, batch TEXT NOT NULL, rib TEXT NOT NULL, char TEXT NOT NULL,
    at_us INTEGER NOT NULL, value_nm INTEGER NOT NULL, suggest_nm INTEGER NOT NULL, gauge TEXT NOT NULL,
    entry TEXT NOT NULL, text TEXT NOT NULL, unit TEXT NOT NULL, reason TEXT NOT NULL,
    taken_seq INTEGER, discarded_seq INTEGER, discard_reason TEXT,
    PRIMARY KEY (bench, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE refused (
    bench TEXT NOT NULL, seq INTEGER NOT NULL, batch TEXT NOT NULL, at_us INTEGER NOT NULL,
    gauge TEXT NOT NULL, code TEXT NOT NULL, detail TEXT NOT NULL,
    PRIMARY KEY (bench, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE skip (
    bench TEXT NOT NULL, seq INTEGER NOT NULL, batch TEXT NOT NULL, rib TEXT NOT NULL, char TEXT NOT NULL,
    round INTEGER NOT NULL, reason TEXT NOT NULL,
    PRIMARY KEY (bench, seq)
) STRICT, WITHOUT ROWID;

CREATE TABLE pull (
    bench TEXT NOT NULL, seq INTEGER NOT NULL, batch TEXT NOT NULL, rib TEXT NOT NULL, at_us INTEGER NOT NULL,
    before_nm INTEGER NOT NULL, loaded_nm INTEGER NOT NULL, by TEXT NOT NULL,
    PRIMARY KEY (bench, seq)
) STRICT, WITHOUT ROWID;

-- A pair has its second rib in b; a spare has none.
CREATE TABLE pair (
    bench TEXT NOT NULL, batch TEXT NOT NULL, place INTEGER NOT NULL, seq INTEGER NOT NULL,
    a TEXT NOT NULL, b TEXT, flip INTEGER NOT NULL, mismatch_nm INTEGER NOT NULL, by TEXT NOT NULL,
    PRIMARY KEY (bench, batch, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE note (
    bench TEXT NOT NULL, seq INTEGER NOT NULL, batch TEXT NOT NULL, rib TEXT NOT NULL,
    at_us INTEGER NOT NULL, text TEXT NOT NULL, by TEXT NOT NULL,
    PRIMARY KEY (bench, seq)
) STRICT, WITHOUT ROWID;

-- Views for SQL readers: these names and columns stay when the tables change.
CREATE VIEW v1_record AS SELECT bench, epoch, seq, kind, at_us, zone_s, body, lower(hex(hash)) AS hash FROM record;
CREATE VIEW v1_gauge AS SELECT bench, id, name, kind, class, limit_nm, resolution_nm, unit, measures, checked_us, due_us FROM gauge;
CREATE VIEW v1_lot AS SELECT bench, id, heat, grade, bar_length_nm, note FROM lot;
CREATE VIEW v1_jig AS SELECT bench, id, face_radius_nm, blocks, note, at_us FROM jig;
CREATE VIEW v1_target AS SELECT bench, id, revision, name, diameter_nm, grade, leg_nm, arc_nm, radius_nm, face FROM target;
CREATE VIEW v1_characteristic AS SELECT bench, target, revision, place, id, kind, face, nominal_nm, lower_nm, upper_nm, repeats FROM characteristic;
CREATE VIEW v1_batch AS SELECT bench, id, title, place, maker, planned, target, revision, rule, confidence, opened_us, closed_us FROM batch;
CREATE VIEW v1_rib AS SELECT bench, batch, id, lot, jig, place, started_us, round, verdict, reason FROM rib;
CREATE VIEW v1_measurement AS
    SELECT m.bench, m.seq, m.batch, m.rib, m.char, m.round, m.at_us, m.value_nm,
           m.value_nm - c.nominal_nm AS deviation_nm, m.gauge, m.entry, m.text, m.unit, m.by, m.again,
           (m.voided_seq IS NULL AND m.replaced_seq IS NULL) AS counts, m.voided_seq, m.void_reason, m.replaced_seq
    FROM measurement m
    JOIN batch b ON b.bench = m.bench AND b.id = m.batch
    JOIN characteristic c ON c.bench = b.bench AND c.target = b.target AND c.revision = b.revision AND c.id = m.char;
CREATE VIEW v1_held AS SELECT bench, seq, batch, rib, char, at_us, value_nm, suggest_nm, gauge, text, unit, reason, taken_seq, discarded_seq, discard_reason FROM held;
CREATE VIEW v1_refused AS SELECT bench, seq, batch, at_us, gauge, code, detail FROM refused;
CREATE VIEW v1_skip AS SELECT bench, seq, batch, rib, char, round, reason FROM skip;
CREATE VIEW v1_pull AS SELECT bench, seq, batch, rib, at_us, before_nm, loaded_nm, by FROM pull;
CREATE VIEW v1_pair AS SELECT bench, batch, a, b, flip, mismatch_nm, by FROM pair;
CREATE VIEW v1_note AS SELECT bench, seq, batch, rib, at_us, text, by FROM note;
