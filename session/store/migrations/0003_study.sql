-- Gauge studies. A step is counted from 1 in the order drawn; rib and person are those that it named.
CREATE TABLE study (
    bench TEXT NOT NULL, id TEXT NOT NULL, seq INTEGER NOT NULL, batch TEXT NOT NULL,
    char TEXT NOT NULL, gauge TEXT NOT NULL, repeats INTEGER NOT NULL, seed TEXT NOT NULL, started_us INTEGER NOT NULL,
    state TEXT NOT NULL, ended_us INTEGER, reason TEXT NOT NULL, repeat_nm INTEGER, repeat_dof INTEGER,
    PRIMARY KEY (bench, id),
    FOREIGN KEY (bench, batch) REFERENCES batch (bench, id) DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;

CREATE TABLE study_step (
    bench TEXT NOT NULL, study TEXT NOT NULL, step INTEGER NOT NULL,
    rib TEXT NOT NULL, person TEXT NOT NULL, round INTEGER NOT NULL,
    PRIMARY KEY (bench, study, step),
    FOREIGN KEY (bench, study) REFERENCES study (bench, id) DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;

CREATE TABLE study_reading (
    bench TEXT NOT NULL, seq INTEGER NOT NULL, study TEXT NOT NULL, step INTEGER NOT NULL, at_us INTEGER NOT NULL,
    value_nm INTEGER NOT NULL, entry TEXT NOT NULL, text TEXT NOT NULL, unit TEXT NOT NULL, by TEXT NOT NULL,
    from_held INTEGER NOT NULL, voided_seq INTEGER, void_reason TEXT,
    PRIMARY KEY (bench, seq),
    FOREIGN KEY (bench, study, step) REFERENCES study_step (bench, study, step) DEFERRABLE INITIALLY DEFERRED
) STRICT, WITHOUT ROWID;

CREATE VIEW v1_study AS SELECT bench, id, batch, char, gauge, repeats, seed, started_us, state, ended_us, reason, repeat_nm, repeat_dof FROM study;
CREATE VIEW v1_study_reading AS
    SELECT r.bench, r.seq, r.study, r.step, s.rib, s.person, s.round, r.at_us, r.value_nm, r.entry, r.text, r.unit, r.by,
           r.voided_seq IS NULL AS counts, r.voided_seq, r.void_reason
    FROM study_reading r
    JOIN study_step s ON s.bench = r.bench AND s.study = r.study AND s.step = r.step;
