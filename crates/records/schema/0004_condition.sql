-- What used parts are like: more kinds of parts, photos of what was looked at, and sessions that
-- end when nobody works any more.

ALTER TABLE session ADD COLUMN seen TEXT;

-- Of a part in a build: what of it a photo shows.
ALTER TABLE attachment ADD COLUMN station TEXT
    CONSTRAINT "what a photo shows is of a part in a build"
    CHECK (station IS NULL OR (station <> '' AND part IS NOT NULL AND build IS NOT NULL));

-- The kinds are a rule of the table, so it is made anew; what refers to it goes on to do so.
PRAGMA defer_foreign_keys = ON;
CREATE TEMP TABLE part_until_now AS SELECT * FROM part;
DROP TABLE part;
CREATE TABLE part (
    id      INTEGER PRIMARY KEY,
    kind    TEXT NOT NULL
            CHECK (kind IN ('rotor', 'rotor housing', 'side housing', 'shaft', 'stationary gear',
                            'bearing', 'seals set')),
    serial  TEXT NOT NULL CONSTRAINT "a part has a serial" CHECK (serial <> ''),
    retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1)),
    person  INTEGER NOT NULL REFERENCES person (id),
    at      TEXT NOT NULL,
    UNIQUE (kind, serial)
) STRICT;
INSERT INTO part (id, kind, serial, retired, person, at)
SELECT id, kind, serial, retired, person, at FROM part_until_now;
DROP TABLE part_until_now;
CREATE INDEX part_serial ON part (serial COLLATE NOCASE);
CREATE TRIGGER part_update BEFORE UPDATE ON part
WHEN (NEW.id, NEW.kind, NEW.serial, NEW.person, NEW.at)
     IS NOT (OLD.id, OLD.kind, OLD.serial, OLD.person, OLD.at)
BEGIN
    SELECT RAISE(ABORT, 'kind and serial of a part are never changed');
END;
CREATE TRIGGER part_delete BEFORE DELETE ON part BEGIN
    SELECT RAISE(ABORT, 'a part is never deleted: retire it');
END;
