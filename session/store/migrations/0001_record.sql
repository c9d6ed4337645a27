-- The record: appended to, never changed. See the package comment for the chain.
CREATE TABLE record (
    bench  TEXT    NOT NULL CHECK (bench <> ''),
    epoch  INTEGER NOT NULL CHECK (epoch > 0),
    seq    INTEGER NOT NULL CHECK (seq > 0),
    kind   TEXT    NOT NULL CHECK (kind <> ''),
    "key"  TEXT             CHECK ("key" <> ''),
    at_us  INTEGER NOT NULL,
    zone_s INTEGER NOT NULL CHECK (zone_s BETWEEN -86400 AND 86400),
    body   TEXT    NOT NULL CHECK (json_valid(body)),
    prev   BLOB    NOT NULL CHECK (length(prev) = 32),
    hash   BLOB    NOT NULL CHECK (length(hash) = 32),
    PRIMARY KEY (bench, epoch, seq)
) STRICT, WITHOUT ROWID;

CREATE UNIQUE INDEX record_key ON record (bench, "key") WHERE "key" IS NOT NULL;

CREATE TRIGGER record_no_update BEFORE UPDATE ON record
BEGIN SELECT RAISE(ABORT, 'a record is never changed'); END;

CREATE TRIGGER record_no_delete BEFORE DELETE ON record
BEGIN SELECT RAISE(ABORT, 'a record is never deleted'); END;

-- REPLACE would delete without asking the trigger above.
CREATE TRIGGER record_no_replace BEFORE INSERT ON record
WHEN EXISTS (SELECT 1 FROM record WHERE bench = NEW.bench AND epoch = NEW.epoch AND seq = NEW.seq)
    OR NEW."key" IS NOT NULL AND EXISTS (SELECT 1 FROM record WHERE bench = NEW.bench AND "key" = NEW."key")
BEGIN SELECT RAISE(ABORT, 'a record is never replaced'); END;
