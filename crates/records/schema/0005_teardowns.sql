-- What a teardown tells of each tip and face, beside what was predicted for it; and how far a rotor
-- tilted when it was pushed in a clamped housing.

CREATE TABLE prediction (
    id          INTEGER PRIMARY KEY,
    build       INTEGER NOT NULL REFERENCES build (id),
    revision    INTEGER NOT NULL CHECK (revision >= 1),
    program     TEXT NOT NULL,
    inputs_hash BLOB NOT NULL CHECK (length(inputs_hash) = 32),
    document    TEXT NOT NULL CONSTRAINT "a prediction is JSON" CHECK (json_valid(document)),
    person      INTEGER NOT NULL REFERENCES person (id),
    at          TEXT NOT NULL,
    seal        BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;
CREATE INDEX prediction_build ON prediction (build, id);

CREATE TABLE teardown (
    id               INTEGER PRIMARY KEY,
    build            INTEGER NOT NULL REFERENCES build (id),
    revision         INTEGER NOT NULL CHECK (revision >= 1),
    running          TEXT,
    running_quantity TEXT,
    running_si       REAL,
    speed            TEXT,
    speed_quantity   TEXT,
    speed_si         REAL,
    boost            TEXT,
    boost_quantity   TEXT,
    boost_si         REAL,
    note             TEXT NOT NULL,
    -- How many there are of it in the table below.
    marks            INTEGER NOT NULL CHECK (marks >= 0),
    prediction       INTEGER REFERENCES prediction (id),
    unpredicted      TEXT,
    person           INTEGER NOT NULL REFERENCES person (id),
    at               TEXT NOT NULL,
    supersedes       INTEGER UNIQUE REFERENCES teardown (id),
    seal             BLOB NOT NULL CHECK (length(seal) = 32),
    CONSTRAINT "a teardown has its prediction, or why there is none"
    CHECK ((prediction IS NULL) = (unpredicted IS NOT NULL) AND unpredicted IS NOT ''),
    CHECK ((running IS NULL) = (running_quantity IS NULL)
           AND (running IS NULL) = (running_si IS NULL)
           AND (speed IS NULL) = (speed_quantity IS NULL) AND (speed IS NULL) = (speed_si IS NULL)
           AND (boost IS NULL) = (boost_quantity IS NULL) AND (boost IS NULL) = (boost_si IS NULL))
) STRICT;
-- A revision of a build comes apart once; what is wrong in it is corrected in one chain.
CREATE UNIQUE INDEX teardown_build ON teardown (build, revision) WHERE supersedes IS NULL;

CREATE TABLE teardown_mark (
    id                INTEGER PRIMARY KEY,
    teardown          INTEGER NOT NULL REFERENCES teardown (id),
    part              INTEGER NOT NULL REFERENCES part (id),
    face              TEXT NOT NULL CHECK (face IN ('gear', 'plain')),
    tip               INTEGER NOT NULL
                      CONSTRAINT "a rotor has tips 1, 2 and 3" CHECK (tip BETWEEN 1 AND 3),
    contact           TEXT NOT NULL CHECK (contact IN ('none', 'light', 'heavy', 'not looked at')),
    place             TEXT CHECK (place <> ''),
    rotor             TEXT,
    rotor_quantity    TEXT,
    rotor_si          REAL,
    rotor_gauge       INTEGER REFERENCES gauge (id),
    wall              TEXT,
    wall_quantity     TEXT,
    wall_si           REAL,
    wall_gauge        INTEGER REFERENCES gauge (id),
    note              TEXT NOT NULL,
    UNIQUE (teardown, part, face, tip),
    CONSTRAINT "where nobody looked there is no place and no depth"
    CHECK (contact <> 'not looked at' OR coalesce(place, rotor, wall) IS NULL),
    CHECK ((rotor IS NULL) = (rotor_quantity IS NULL) AND (rotor IS NULL) = (rotor_si IS NULL)
           AND (rotor IS NOT NULL OR rotor_gauge IS NULL)
           AND (wall IS NULL) = (wall_quantity IS NULL) AND (wall IS NULL) = (wall_si IS NULL)
           AND (wall IS NOT NULL OR wall_gauge IS NULL))
) STRICT;
CREATE INDEX teardown_mark_part ON teardown_mark (part, teardown);

CREATE TABLE tilt_test (
    id              INTEGER PRIMARY KEY,
    build           INTEGER NOT NULL REFERENCES build (id),
    part            INTEGER NOT NULL REFERENCES part (id),
    face            TEXT NOT NULL CHECK (face IN ('gear', 'plain')),
    tip             INTEGER NOT NULL
                    CONSTRAINT "a rotor is pushed at tip 1, 2 or 3" CHECK (tip BETWEEN 1 AND 3),
    radius          TEXT NOT NULL,
    radius_quantity TEXT NOT NULL,
    radius_si       REAL NOT NULL,
    least           TEXT NOT NULL,
    least_quantity  TEXT NOT NULL,
    least_si        REAL NOT NULL,
    most            TEXT NOT NULL,
    most_quantity   TEXT NOT NULL,
    most_si         REAL NOT NULL,
    load_u          TEXT NOT NULL,
    load_u_quantity TEXT NOT NULL,
    load_u_si       REAL NOT NULL,
    gauge           INTEGER NOT NULL REFERENCES gauge (id),
    note            TEXT NOT NULL,
    -- How many there are of it in the table below.
    readings        INTEGER NOT NULL
                    CONSTRAINT "a tilt test has readings" CHECK (readings >= 1),
    person          INTEGER NOT NULL REFERENCES person (id),
    at              TEXT NOT NULL,
    supersedes      INTEGER UNIQUE REFERENCES tilt_test (id),
    seal            BLOB NOT NULL CHECK (length(seal) = 32),
    CONSTRAINT "the second load of a tilt test is the larger one" CHECK (most_si > least_si)
) STRICT;
CREATE INDEX tilt_test_build ON tilt_test (build, id);
CREATE INDEX tilt_test_part ON tilt_test (part, id);

CREATE TABLE tilt_reading (
    id             INTEGER PRIMARY KEY,
    tilt_test      INTEGER NOT NULL REFERENCES tilt_test (id),
    least          TEXT NOT NULL,
    least_quantity TEXT NOT NULL,
    least_si       REAL NOT NULL,
    most           TEXT NOT NULL,
    most_quantity  TEXT NOT NULL,
    most_si        REAL NOT NULL
) STRICT;
CREATE INDEX tilt_reading_test ON tilt_reading (tilt_test, id);

CREATE TRIGGER prediction_insert BEFORE INSERT ON prediction BEGIN
    -- Else INSERT OR REPLACE would delete without asking.
    SELECT RAISE(ABORT, 'a prediction is never replaced')
    WHERE EXISTS (SELECT 1 FROM prediction WHERE id = NEW.id);
    SELECT RAISE(ABORT, 'what is predicted is a revision of a build that was signed')
    WHERE NOT EXISTS (SELECT 1 FROM sign_off s
                      WHERE s.build = NEW.build AND s.revision = NEW.revision);
END;
CREATE TRIGGER prediction_update BEFORE UPDATE ON prediction BEGIN
    SELECT RAISE(ABORT, 'a prediction is never changed: it is what was said then');
END;
CREATE TRIGGER prediction_delete BEFORE DELETE ON prediction BEGIN
    SELECT RAISE(ABORT, 'a prediction is never deleted');
END;

CREATE TRIGGER teardown_insert BEFORE INSERT ON teardown BEGIN
    SELECT RAISE(ABORT, 'a teardown is never replaced: supersede it')
    WHERE EXISTS (SELECT 1 FROM teardown WHERE id = NEW.id);
    SELECT RAISE(ABORT, 'what comes apart is a revision of a build that was signed')
    WHERE NOT EXISTS (SELECT 1 FROM sign_off s
                      WHERE s.build = NEW.build AND s.revision = NEW.revision);
    SELECT RAISE(ABORT, 'a teardown supersedes only one of the same build and revision')
    WHERE NEW.supersedes IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM teardown t
                      WHERE t.id = NEW.supersedes AND t.build = NEW.build
                        AND t.revision = NEW.revision);
    SELECT RAISE(ABORT, 'a teardown has a prediction of its own build and revision')
    WHERE NEW.prediction IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM prediction p
                      WHERE p.id = NEW.prediction AND p.build = NEW.build
                        AND p.revision = NEW.revision);
END;
CREATE TRIGGER teardown_update BEFORE UPDATE ON teardown BEGIN
    SELECT RAISE(ABORT, 'a teardown is never changed: supersede it');
END;
CREATE TRIGGER teardown_delete BEFORE DELETE ON teardown BEGIN
    SELECT RAISE(ABORT, 'a teardown is never deleted: supersede it');
END;

CREATE TRIGGER teardown_mark_insert BEFORE INSERT ON teardown_mark BEGIN
    SELECT RAISE(ABORT, 'a mark is never replaced: supersede its teardown')
    WHERE EXISTS (SELECT 1 FROM teardown_mark WHERE id = NEW.id);
    SELECT RAISE(ABORT, 'the marks of a teardown are complete: supersede it')
    WHERE (SELECT count(*) FROM teardown_mark WHERE teardown = NEW.teardown)
          >= (SELECT marks FROM teardown WHERE id = NEW.teardown);
    SELECT RAISE(ABORT, 'marks are of a rotor that was in the build')
    WHERE NOT EXISTS (SELECT 1 FROM teardown t JOIN build_part f ON f.build = t.build
                      JOIN part p ON p.id = f.part
                      WHERE t.id = NEW.teardown AND f.part = NEW.part AND p.kind = 'rotor');
END;
CREATE TRIGGER teardown_mark_update BEFORE UPDATE ON teardown_mark BEGIN
    SELECT RAISE(ABORT, 'a mark is never changed: supersede its teardown');
END;
CREATE TRIGGER teardown_mark_delete BEFORE DELETE ON teardown_mark BEGIN
    SELECT RAISE(ABORT, 'a mark is never deleted: supersede its teardown');
END;

CREATE TRIGGER tilt_test_insert BEFORE INSERT ON tilt_test BEGIN
    SELECT RAISE(ABORT, 'a tilt test is never replaced: supersede it')
    WHERE EXISTS (SELECT 1 FROM tilt_test WHERE id = NEW.id);
    SELECT RAISE(ABORT, 'a tilt test is of a rotor that was in the build')
    WHERE NOT EXISTS (SELECT 1 FROM build_part f JOIN part p ON p.id = f.part
                      WHERE f.build = NEW.build AND f.part = NEW.part AND p.kind = 'rotor');
    SELECT RAISE(ABORT, 'a tilt test supersedes only one of the same build and rotor')
    WHERE NEW.supersedes IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM tilt_test t
                      WHERE t.id = NEW.supersedes AND t.build = NEW.build
                        AND t.part = NEW.part);
END;
CREATE TRIGGER tilt_test_update BEFORE UPDATE ON tilt_test BEGIN
    SELECT RAISE(ABORT, 'a tilt test is never changed: supersede it');
END;
CREATE TRIGGER tilt_test_delete BEFORE DELETE ON tilt_test BEGIN
    SELECT RAISE(ABORT, 'a tilt test is never deleted: supersede it');
END;

CREATE TRIGGER tilt_reading_insert BEFORE INSERT ON tilt_reading BEGIN
    SELECT RAISE(ABORT, 'a reading of a tilt test is never replaced: supersede its test')
    WHERE EXISTS (SELECT 1 FROM tilt_reading WHERE id = NEW.id);
    SELECT RAISE(ABORT, 'the readings of a tilt test are complete: supersede it')
    WHERE (SELECT count(*) FROM tilt_reading WHERE tilt_test = NEW.tilt_test)
          >= (SELECT readings FROM tilt_test WHERE id = NEW.tilt_test);
END;
CREATE TRIGGER tilt_reading_update BEFORE UPDATE ON tilt_reading BEGIN
    SELECT RAISE(ABORT, 'a reading of a tilt test is never changed: supersede its test');
END;
CREATE TRIGGER tilt_reading_delete BEFORE DELETE ON tilt_reading BEGIN
    SELECT RAISE(ABORT, 'a reading of a tilt test is never deleted: supersede its test');
END;
