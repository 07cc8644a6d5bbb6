-- What a gauge reads, and until when, changes with every calibration: a history of its own.
-- What version 1 knew becomes the first line of it, of an unknown day.

CREATE TABLE calibration (
    id              INTEGER PRIMARY KEY,
    gauge           INTEGER NOT NULL REFERENCES gauge (id),
    day             TEXT,
    due             TEXT,
    repeat          TEXT NOT NULL,
    repeat_quantity TEXT NOT NULL,
    repeat_si       REAL NOT NULL,
    zero            TEXT,
    zero_quantity   TEXT,
    zero_si         REAL,
    certificate     TEXT NOT NULL,
    person          INTEGER REFERENCES person (id),
    seal            BLOB NOT NULL CHECK (length(seal) = 32),
    CHECK ((zero IS NULL) = (zero_si IS NULL) AND (zero IS NULL) = (zero_quantity IS NULL))
) STRICT;
CREATE INDEX calibration_gauge ON calibration (gauge, id);

INSERT INTO calibration
    (gauge, day, due, repeat, repeat_quantity, repeat_si, zero, zero_quantity, zero_si,
     certificate, person, seal)
SELECT id, NULL, calibration_due, repeat, repeat_quantity, repeat_si, zero, zero_quantity,
       zero_si, '', NULL, zeroblob(32)
FROM gauge ORDER BY id;

ALTER TABLE gauge DROP COLUMN repeat;
ALTER TABLE gauge DROP COLUMN repeat_quantity;
ALTER TABLE gauge DROP COLUMN repeat_si;
ALTER TABLE gauge DROP COLUMN zero;
ALTER TABLE gauge DROP COLUMN zero_quantity;
ALTER TABLE gauge DROP COLUMN zero_si;
ALTER TABLE gauge DROP COLUMN calibration_due;

-- Those above get their seals in the same transaction: SQL cannot hash.
CREATE TRIGGER calibration_update BEFORE UPDATE ON calibration
WHEN OLD.seal <> zeroblob(32)
BEGIN
    SELECT RAISE(ABORT, 'a calibration is never changed: add another');
END;
CREATE TRIGGER calibration_delete BEFORE DELETE ON calibration BEGIN
    SELECT RAISE(ABORT, 'a calibration is never deleted');
END;
