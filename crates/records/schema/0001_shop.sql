-- The shop's file, first version. What each table holds: docs/RECORDS.md.
-- Times are RFC 3339 in UTC to the second, days are YYYY-MM-DD: their order as text is their
-- order in time. A length, mass or temperature is kept as it was written, and in SI beside it.

CREATE TABLE setting (
    key   TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE person (
    id       INTEGER PRIMARY KEY,
    name     TEXT NOT NULL UNIQUE CONSTRAINT "a person has a name" CHECK (name <> ''),
    role     TEXT NOT NULL,
    active   INTEGER NOT NULL DEFAULT 1 CHECK (active IN (0, 1)),
    password TEXT
) STRICT;

CREATE TABLE session (
    token_hash BLOB PRIMARY KEY CHECK (length(token_hash) = 32),
    person     INTEGER NOT NULL REFERENCES person (id),
    opened     TEXT NOT NULL,
    until      TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE INDEX session_person ON session (person);

CREATE TABLE customer (
    id      INTEGER PRIMARY KEY,
    name    TEXT NOT NULL CONSTRAINT "a customer has a name" CHECK (name <> ''),
    contact TEXT NOT NULL,
    note    TEXT NOT NULL
) STRICT;
CREATE INDEX customer_name ON customer (name);

CREATE TABLE intake (
    id       INTEGER PRIMARY KEY,
    customer INTEGER NOT NULL REFERENCES customer (id),
    came_in  TEXT NOT NULL,
    wanted   TEXT NOT NULL,
    due      TEXT,
    person   INTEGER NOT NULL REFERENCES person (id),
    at       TEXT NOT NULL
) STRICT;
CREATE INDEX intake_customer ON intake (customer);

CREATE TABLE gauge (
    id              INTEGER PRIMARY KEY,
    name            TEXT NOT NULL UNIQUE CONSTRAINT "a gauge has a name" CHECK (name <> ''),
    kind            TEXT NOT NULL,
    active          INTEGER NOT NULL DEFAULT 1 CHECK (active IN (0, 1)),
    repeat          TEXT NOT NULL,
    repeat_quantity TEXT NOT NULL,
    repeat_si       REAL NOT NULL,
    zero            TEXT,
    zero_quantity   TEXT,
    zero_si         REAL,
    calibration_due TEXT
) STRICT;

-- What the shop's library holds is copied into a build, which is whole in itself.
CREATE TABLE engine (
    id   INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CONSTRAINT "an engine has a name" CHECK (name <> '')
) STRICT;
CREATE TABLE engine_value (
    engine INTEGER NOT NULL REFERENCES engine (id),
    line   INTEGER NOT NULL,
    place  TEXT NOT NULL CONSTRAINT "a value has a place" CHECK (place <> ''),
    value  TEXT NOT NULL,
    PRIMARY KEY (engine, line),
    UNIQUE (engine, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE material (
    id   INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CONSTRAINT "a material has a name" CHECK (name <> '')
) STRICT;
CREATE TABLE material_value (
    material INTEGER NOT NULL REFERENCES material (id),
    line     INTEGER NOT NULL,
    place    TEXT NOT NULL CONSTRAINT "a value has a place" CHECK (place <> ''),
    value    TEXT NOT NULL,
    PRIMARY KEY (material, line),
    UNIQUE (material, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE spec (
    id      INTEGER PRIMARY KEY,
    name    TEXT NOT NULL CONSTRAINT "a spec has a name" CHECK (name <> ''),
    version INTEGER NOT NULL CHECK (version >= 1),
    owner   INTEGER NOT NULL REFERENCES person (id),
    at      TEXT NOT NULL,
    UNIQUE (name, version)
) STRICT;
CREATE TABLE spec_value (
    spec  INTEGER NOT NULL REFERENCES spec (id),
    line  INTEGER NOT NULL,
    place TEXT NOT NULL CONSTRAINT "a value has a place" CHECK (place <> ''),
    value TEXT NOT NULL,
    PRIMARY KEY (spec, line),
    UNIQUE (spec, place)
) STRICT, WITHOUT ROWID;

CREATE TABLE part (
    id      INTEGER PRIMARY KEY,
    kind    TEXT NOT NULL
            CHECK (kind IN ('rotor', 'rotor housing', 'side housing', 'shaft', 'seals set')),
    serial  TEXT NOT NULL CONSTRAINT "a part has a serial" CHECK (serial <> ''),
    retired INTEGER NOT NULL DEFAULT 0 CHECK (retired IN (0, 1)),
    person  INTEGER NOT NULL REFERENCES person (id),
    at      TEXT NOT NULL,
    UNIQUE (kind, serial)
) STRICT;
CREATE INDEX part_serial ON part (serial COLLATE NOCASE);

CREATE TABLE part_event (
    id     INTEGER PRIMARY KEY,
    part   INTEGER NOT NULL REFERENCES part (id),
    what   TEXT NOT NULL CONSTRAINT "it is said what happened to a part" CHECK (what <> ''),
    person INTEGER NOT NULL REFERENCES person (id),
    at     TEXT NOT NULL
) STRICT;
CREATE INDEX part_event_part ON part_event (part, id);

CREATE TABLE build (
    id       INTEGER PRIMARY KEY,
    name     TEXT NOT NULL CONSTRAINT "a build has a name" CHECK (name <> ''),
    customer INTEGER REFERENCES customer (id),
    intake   INTEGER REFERENCES intake (id),
    engine   INTEGER REFERENCES engine (id),
    spec     INTEGER REFERENCES spec (id),
    stage    TEXT NOT NULL
             CHECK (stage IN ('teardown', 'inspection', 'clearances', 'cutting', 're-inspection',
                              'balance', 'assembly', 'sign-off')),
    due_next TEXT NOT NULL,
    due      TEXT,
    holder   INTEGER REFERENCES person (id),
    revision INTEGER NOT NULL DEFAULT 1 CHECK (revision >= 1),
    open     INTEGER NOT NULL DEFAULT 1 CHECK (open IN (0, 1)),
    person   INTEGER NOT NULL REFERENCES person (id),
    at       TEXT NOT NULL
) STRICT;
CREATE INDEX build_open ON build (open, due);
CREATE INDEX build_customer ON build (customer);
CREATE INDEX build_intake ON build (intake);
CREATE INDEX build_engine ON build (engine);
CREATE INDEX build_spec ON build (spec);

CREATE TABLE amendment (
    build    INTEGER NOT NULL REFERENCES build (id),
    revision INTEGER NOT NULL CHECK (revision >= 2),
    reason   TEXT NOT NULL CONSTRAINT "an amendment has a reason" CHECK (reason <> ''),
    person   INTEGER NOT NULL REFERENCES person (id),
    at       TEXT NOT NULL,
    PRIMARY KEY (build, revision)
) STRICT, WITHOUT ROWID;

CREATE TABLE build_part (
    id           INTEGER PRIMARY KEY,
    build        INTEGER NOT NULL REFERENCES build (id),
    part         INTEGER NOT NULL REFERENCES part (id),
    position     INTEGER NOT NULL CONSTRAINT "positions are counted from 1" CHECK (position >= 1),
    gear_face    TEXT CHECK (gear_face IN ('front', 'rear')),
    revision     INTEGER NOT NULL,
    person       INTEGER NOT NULL REFERENCES person (id),
    at           TEXT NOT NULL,
    out_why      TEXT CHECK (out_why IN ('exchanged', 'torn down')),
    out_revision INTEGER,
    out_person   INTEGER REFERENCES person (id),
    out_at       TEXT,
    CHECK ((out_why IS NULL) = (out_revision IS NULL)
       AND (out_why IS NULL) = (out_person IS NULL)
       AND (out_why IS NULL) = (out_at IS NULL))
) STRICT;
CREATE INDEX build_part_build ON build_part (build, position);
CREATE INDEX build_part_part ON build_part (part);
-- A part is in one engine at a time.
CREATE UNIQUE INDEX build_part_claim ON build_part (part) WHERE out_why IS NULL;

CREATE TABLE reading (
    id                INTEGER PRIMARY KEY,
    part              INTEGER NOT NULL REFERENCES part (id),
    build             INTEGER REFERENCES build (id),
    revision          INTEGER,
    stage             TEXT NOT NULL CHECK (stage IN ('before', 'after')),
    station           TEXT NOT NULL CONSTRAINT "a reading has a station" CHECK (station <> ''),
    value             TEXT NOT NULL CONSTRAINT "a reading has a value" CHECK (value <> ''),
    quantity          TEXT NOT NULL,
    si                REAL NOT NULL,
    gauge             INTEGER REFERENCES gauge (id),
    person            INTEGER NOT NULL REFERENCES person (id),
    at                TEXT NOT NULL,
    temperature       TEXT,
    temperature_deg_c REAL,
    sent_as           TEXT,
    supersedes        INTEGER REFERENCES reading (id),
    superseded_by     INTEGER REFERENCES reading (id),
    seal              BLOB NOT NULL CHECK (length(seal) = 32),
    CHECK ((build IS NULL) = (revision IS NULL)),
    CHECK ((temperature IS NULL) = (temperature_deg_c IS NULL))
) STRICT;
CREATE INDEX reading_build ON reading (build, id);
CREATE INDEX reading_part ON reading (part, id);
CREATE INDEX reading_gauge ON reading (gauge);
-- Nulls are left out: else what stands would be looked up among all that is not superseded.
CREATE UNIQUE INDEX reading_sent_as ON reading (sent_as) WHERE sent_as IS NOT NULL;
CREATE UNIQUE INDEX reading_supersedes ON reading (supersedes) WHERE supersedes IS NOT NULL;
CREATE UNIQUE INDEX reading_superseded_by ON reading (superseded_by)
    WHERE superseded_by IS NOT NULL;
-- Two people who fill the same place at the same time must not both believe they were first.
CREATE UNIQUE INDEX reading_station ON reading (part, coalesce(build, 0), stage, station)
    WHERE supersedes IS NULL;
CREATE INDEX reading_now ON reading (part, build, stage, station) WHERE superseded_by IS NULL;

CREATE TABLE build_value (
    id            INTEGER PRIMARY KEY,
    build         INTEGER NOT NULL REFERENCES build (id),
    revision      INTEGER NOT NULL,
    place         TEXT NOT NULL CONSTRAINT "a value has a place" CHECK (place <> ''),
    rank          INTEGER NOT NULL,
    -- Exactly one of these, or neither: then the place is no longer in the file.
    value         TEXT,
    part          INTEGER REFERENCES part (id),
    stage         TEXT CHECK (stage IN ('before', 'after')),
    station       TEXT,
    person        INTEGER NOT NULL REFERENCES person (id),
    at            TEXT NOT NULL,
    supersedes    INTEGER REFERENCES build_value (id),
    superseded_by INTEGER REFERENCES build_value (id),
    seal          BLOB NOT NULL CHECK (length(seal) = 32),
    CHECK ((part IS NULL) = (stage IS NULL) AND (part IS NULL) = (station IS NULL)),
    CHECK (value IS NULL OR part IS NULL)
) STRICT;
CREATE INDEX build_value_now ON build_value (build, rank) WHERE superseded_by IS NULL;
CREATE INDEX build_value_build ON build_value (build, id);
CREATE UNIQUE INDEX build_value_supersedes ON build_value (supersedes)
    WHERE supersedes IS NOT NULL;
CREATE UNIQUE INDEX build_value_superseded_by ON build_value (superseded_by)
    WHERE superseded_by IS NOT NULL;
CREATE UNIQUE INDEX build_value_place ON build_value (build, place) WHERE supersedes IS NULL;

CREATE TABLE plan (
    id          INTEGER PRIMARY KEY,
    build       INTEGER NOT NULL REFERENCES build (id),
    revision    INTEGER NOT NULL,
    title       TEXT NOT NULL,
    program     TEXT NOT NULL,
    inputs_hash BLOB NOT NULL CHECK (length(inputs_hash) = 32),
    document    TEXT NOT NULL CONSTRAINT "a document is JSON" CHECK (json_valid(document)),
    person      INTEGER NOT NULL REFERENCES person (id),
    at          TEXT NOT NULL,
    seal        BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;
CREATE INDEX plan_build ON plan (build, id);
CREATE TABLE sheet (
    id          INTEGER PRIMARY KEY,
    build       INTEGER NOT NULL REFERENCES build (id),
    revision    INTEGER NOT NULL,
    title       TEXT NOT NULL,
    program     TEXT NOT NULL,
    inputs_hash BLOB NOT NULL CHECK (length(inputs_hash) = 32),
    document    TEXT NOT NULL CONSTRAINT "a document is JSON" CHECK (json_valid(document)),
    person      INTEGER NOT NULL REFERENCES person (id),
    at          TEXT NOT NULL,
    seal        BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;
CREATE INDEX sheet_build ON sheet (build, id);
CREATE TABLE balance_run (
    id          INTEGER PRIMARY KEY,
    build       INTEGER NOT NULL REFERENCES build (id),
    revision    INTEGER NOT NULL,
    title       TEXT NOT NULL,
    program     TEXT NOT NULL,
    inputs_hash BLOB NOT NULL CHECK (length(inputs_hash) = 32),
    document    TEXT NOT NULL CONSTRAINT "a document is JSON" CHECK (json_valid(document)),
    person      INTEGER NOT NULL REFERENCES person (id),
    at          TEXT NOT NULL,
    seal        BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;
CREATE INDEX balance_run_build ON balance_run (build, id);

CREATE TABLE sign_off (
    id            INTEGER PRIMARY KEY,
    previous      BLOB NOT NULL CHECK (length(previous) = 32),
    build         INTEGER NOT NULL REFERENCES build (id),
    revision      INTEGER NOT NULL,
    person        INTEGER NOT NULL REFERENCES person (id),
    person_name   TEXT NOT NULL,
    at            TEXT NOT NULL,
    meaning       TEXT NOT NULL CONSTRAINT "a sign-off says what it means" CHECK (meaning <> ''),
    name          TEXT NOT NULL,
    customer      INTEGER REFERENCES customer (id),
    engine        INTEGER REFERENCES engine (id),
    spec          INTEGER REFERENCES spec (id),
    last_reading  INTEGER NOT NULL,
    reading_seal  BLOB NOT NULL CHECK (length(reading_seal) = 32),
    last_value    INTEGER NOT NULL,
    value_seal    BLOB NOT NULL CHECK (length(value_seal) = 32),
    head_hash     BLOB NOT NULL CHECK (length(head_hash) = 32),
    parts_hash    BLOB NOT NULL CHECK (length(parts_hash) = 32),
    readings_hash BLOB NOT NULL CHECK (length(readings_hash) = 32),
    values_hash   BLOB NOT NULL CHECK (length(values_hash) = 32),
    content_hash  BLOB NOT NULL CHECK (length(content_hash) = 32),
    hash          BLOB NOT NULL UNIQUE CHECK (length(hash) = 32)
) STRICT;
CREATE INDEX sign_off_build ON sign_off (build, revision);

CREATE TABLE finding (
    id      INTEGER PRIMARY KEY,
    build   INTEGER NOT NULL REFERENCES build (id),
    part    INTEGER REFERENCES part (id),
    place   TEXT NOT NULL,
    contact TEXT NOT NULL CHECK (contact IN ('seen', 'not seen', 'not looked at')),
    running TEXT,
    note    TEXT NOT NULL,
    person  INTEGER NOT NULL REFERENCES person (id),
    at      TEXT NOT NULL,
    seal    BLOB NOT NULL CHECK (length(seal) = 32)
) STRICT;
CREATE INDEX finding_build ON finding (build, id);
CREATE INDEX finding_part ON finding (part, id);

CREATE TABLE attachment (
    id         INTEGER PRIMARY KEY,
    build      INTEGER REFERENCES build (id),
    part       INTEGER REFERENCES part (id),
    intake     INTEGER REFERENCES intake (id),
    finding    INTEGER REFERENCES finding (id),
    name       TEXT NOT NULL,
    media_type TEXT NOT NULL
               CHECK (media_type IN ('image/png', 'image/jpeg', 'image/webp', 'application/pdf')),
    sha256     BLOB NOT NULL CHECK (length(sha256) = 32),
    person     INTEGER NOT NULL REFERENCES person (id),
    at         TEXT NOT NULL,
    seal       BLOB NOT NULL CHECK (length(seal) = 32),
    bytes      BLOB NOT NULL,
    CONSTRAINT "an attachment is attached to something"
    CHECK (coalesce(build, part, intake, finding) IS NOT NULL)
) STRICT;
CREATE INDEX attachment_build ON attachment (build);
CREATE INDEX attachment_part ON attachment (part);
CREATE INDEX attachment_intake ON attachment (intake);
CREATE INDEX attachment_finding ON attachment (finding);

-- Readings are added, never changed: a new one supersedes an old one of the same station.
CREATE TRIGGER reading_insert BEFORE INSERT ON reading BEGIN
    -- Else INSERT OR REPLACE would delete without asking.
    SELECT RAISE(ABORT, 'a reading is never replaced: supersede it')
    WHERE EXISTS (SELECT 1 FROM reading WHERE id = NEW.id);
    SELECT RAISE(ABORT, 'a reading is superseded by a later one, not when it is written')
    WHERE NEW.superseded_by IS NOT NULL;
    SELECT RAISE(ABORT, 'the build is signed: open a new revision to add readings')
    WHERE NEW.build IS NOT NULL AND (SELECT open FROM build WHERE id = NEW.build) = 0;
    SELECT RAISE(ABORT, 'a reading belongs to the revision of its build that is open')
    WHERE NEW.build IS NOT NULL
      AND NEW.revision <> (SELECT revision FROM build WHERE id = NEW.build);
    SELECT RAISE(ABORT, 'the reading is superseded already')
    WHERE NEW.supersedes IS NOT NULL
      AND (SELECT superseded_by FROM reading WHERE id = NEW.supersedes) IS NOT NULL;
    SELECT RAISE(ABORT, 'a reading supersedes only one of the same part, build, station and stage')
    WHERE NEW.supersedes IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM reading r
                      WHERE r.id = NEW.supersedes AND r.part = NEW.part
                        AND r.build IS NEW.build AND r.station = NEW.station
                        AND r.stage = NEW.stage);
END;
CREATE TRIGGER reading_supersede AFTER INSERT ON reading WHEN NEW.supersedes IS NOT NULL BEGIN
    UPDATE reading SET superseded_by = NEW.id WHERE id = NEW.supersedes;
END;
CREATE TRIGGER reading_update BEFORE UPDATE ON reading BEGIN
    SELECT RAISE(ABORT, 'a reading is never changed: supersede it')
    WHERE OLD.superseded_by IS NOT NULL
       OR NEW.superseded_by IS NULL
       OR NOT EXISTS (SELECT 1 FROM reading r
                      WHERE r.id = NEW.superseded_by AND r.supersedes = OLD.id)
       OR (NEW.id, NEW.part, NEW.stage, NEW.station, NEW.value, NEW.quantity, NEW.si, NEW.person,
           NEW.at, NEW.seal)
          IS NOT (OLD.id, OLD.part, OLD.stage, OLD.station, OLD.value, OLD.quantity, OLD.si,
                  OLD.person, OLD.at, OLD.seal)
       OR NEW.build IS NOT OLD.build OR NEW.revision IS NOT OLD.revision
       OR NEW.gauge IS NOT OLD.gauge OR NEW.temperature IS NOT OLD.temperature
       OR NEW.temperature_deg_c IS NOT OLD.temperature_deg_c
       OR NEW.sent_as IS NOT OLD.sent_as OR NEW.supersedes IS NOT OLD.supersedes;
END;
CREATE TRIGGER reading_delete BEFORE DELETE ON reading BEGIN
    SELECT RAISE(ABORT, 'a reading is never deleted: supersede it');
END;

CREATE TRIGGER build_value_insert BEFORE INSERT ON build_value BEGIN
    -- Else INSERT OR REPLACE would delete without asking.
    SELECT RAISE(ABORT, 'a value is never replaced: supersede it')
    WHERE EXISTS (SELECT 1 FROM build_value WHERE id = NEW.id);
    SELECT RAISE(ABORT, 'a value is superseded by a later one, not when it is written')
    WHERE NEW.superseded_by IS NOT NULL;
    SELECT RAISE(ABORT, 'the build is signed: open a new revision to change values')
    WHERE (SELECT open FROM build WHERE id = NEW.build) = 0;
    SELECT RAISE(ABORT, 'a value belongs to the revision of its build that is open')
    WHERE NEW.revision <> (SELECT revision FROM build WHERE id = NEW.build);
    SELECT RAISE(ABORT, 'the value is superseded already')
    WHERE NEW.supersedes IS NOT NULL
      AND (SELECT superseded_by FROM build_value WHERE id = NEW.supersedes) IS NOT NULL;
    SELECT RAISE(ABORT, 'a value supersedes only one of the same build and place')
    WHERE NEW.supersedes IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM build_value v
                      WHERE v.id = NEW.supersedes AND v.build = NEW.build
                        AND v.place = NEW.place);
END;
CREATE TRIGGER build_value_supersede AFTER INSERT ON build_value WHEN NEW.supersedes IS NOT NULL
BEGIN
    UPDATE build_value SET superseded_by = NEW.id WHERE id = NEW.supersedes;
END;
CREATE TRIGGER build_value_update BEFORE UPDATE ON build_value BEGIN
    SELECT RAISE(ABORT, 'a value is never changed: supersede it')
    WHERE OLD.superseded_by IS NOT NULL
       OR NEW.superseded_by IS NULL
       OR NOT EXISTS (SELECT 1 FROM build_value v
                      WHERE v.id = NEW.superseded_by AND v.supersedes = OLD.id)
       OR (NEW.id, NEW.build, NEW.revision, NEW.place, NEW.rank, NEW.person, NEW.at, NEW.seal)
          IS NOT (OLD.id, OLD.build, OLD.revision, OLD.place, OLD.rank, OLD.person, OLD.at,
                  OLD.seal)
       OR NEW.value IS NOT OLD.value OR NEW.part IS NOT OLD.part OR NEW.stage IS NOT OLD.stage
       OR NEW.station IS NOT OLD.station OR NEW.supersedes IS NOT OLD.supersedes;
END;
CREATE TRIGGER build_value_delete BEFORE DELETE ON build_value BEGIN
    SELECT RAISE(ABORT, 'a value is never deleted: supersede it');
END;

CREATE TRIGGER build_insert BEFORE INSERT ON build WHEN NEW.revision <> 1 OR NEW.open <> 1 BEGIN
    SELECT RAISE(ABORT, 'a build begins with its first revision, open');
END;
CREATE TRIGGER build_update BEFORE UPDATE ON build BEGIN
    SELECT RAISE(ABORT, 'the build is signed: open a new revision to change it')
    WHERE OLD.open = 0 AND NEW.open = 0
      AND (NEW.name <> OLD.name OR NEW.customer IS NOT OLD.customer
           OR NEW.engine IS NOT OLD.engine OR NEW.spec IS NOT OLD.spec);
    SELECT RAISE(ABORT, 'a build is closed by its sign-off alone')
    WHERE OLD.open = 1 AND NEW.open = 0
      AND NOT EXISTS (SELECT 1 FROM sign_off s
                      WHERE s.build = OLD.id AND s.revision = OLD.revision);
    SELECT RAISE(ABORT, 'a signed build is opened by the next revision alone')
    WHERE OLD.open = 0 AND NEW.open = 1
      AND NOT (NEW.revision = OLD.revision + 1
               AND EXISTS (SELECT 1 FROM amendment a
                           WHERE a.build = OLD.id AND a.revision = NEW.revision));
    SELECT RAISE(ABORT, 'the revision of a build changes when it is opened again, never else')
    WHERE NEW.revision <> OLD.revision AND NOT (OLD.open = 0 AND NEW.open = 1);
    SELECT RAISE(ABORT, 'who began a build, and when, is never changed')
    WHERE NEW.id <> OLD.id OR NEW.person <> OLD.person OR NEW.at <> OLD.at;
END;
CREATE TRIGGER build_delete BEFORE DELETE ON build BEGIN
    SELECT RAISE(ABORT, 'a build is never deleted');
END;
CREATE TRIGGER amendment_insert BEFORE INSERT ON amendment BEGIN
    SELECT RAISE(ABORT, 'only a signed build is amended, by its next revision')
    WHERE NOT EXISTS (SELECT 1 FROM build b
                      WHERE b.id = NEW.build AND b.open = 0 AND b.revision + 1 = NEW.revision);
END;
CREATE TRIGGER amendment_update BEFORE UPDATE ON amendment BEGIN
    SELECT RAISE(ABORT, 'an amendment is never changed');
END;
CREATE TRIGGER amendment_delete BEFORE DELETE ON amendment BEGIN
    SELECT RAISE(ABORT, 'an amendment is never deleted');
END;

CREATE TRIGGER build_part_insert BEFORE INSERT ON build_part BEGIN
    SELECT RAISE(ABORT, 'the build is signed: open a new revision to change its parts')
    WHERE (SELECT open FROM build WHERE id = NEW.build) = 0;
    SELECT RAISE(ABORT, 'a part is fitted in the revision of its build that is open')
    WHERE NEW.revision <> (SELECT revision FROM build WHERE id = NEW.build);
    SELECT RAISE(ABORT, 'a part is taken out after it was fitted')
    WHERE NEW.out_why IS NOT NULL;
    SELECT RAISE(ABORT, 'the part is retired')
    WHERE (SELECT retired FROM part WHERE id = NEW.part) = 1;
    SELECT RAISE(ABORT, 'of rotors alone it is said which way the gear face looks, and of each')
    WHERE (SELECT kind = 'rotor' FROM part WHERE id = NEW.part) <> (NEW.gear_face IS NOT NULL);
    SELECT RAISE(ABORT, 'another part of this kind is in this position')
    WHERE EXISTS (SELECT 1 FROM build_part f JOIN part p ON p.id = f.part
                  WHERE f.build = NEW.build AND f.position = NEW.position
                    AND f.out_why IS NULL
                    AND p.kind = (SELECT kind FROM part WHERE id = NEW.part));
END;
CREATE TRIGGER build_part_update BEFORE UPDATE ON build_part BEGIN
    SELECT RAISE(ABORT, 'where a part was fitted is never changed: take it out and fit it again')
    WHERE OLD.out_why IS NOT NULL OR NEW.out_why IS NULL
       OR (NEW.id, NEW.build, NEW.part, NEW.position, NEW.revision, NEW.person, NEW.at)
          IS NOT (OLD.id, OLD.build, OLD.part, OLD.position, OLD.revision, OLD.person, OLD.at)
       OR NEW.gear_face IS NOT OLD.gear_face;
    SELECT RAISE(ABORT, 'the build is signed: open a new revision to exchange its parts')
    WHERE NEW.out_why = 'exchanged' AND (SELECT open FROM build WHERE id = OLD.build) = 0;
    SELECT RAISE(ABORT, 'a build is torn down after it was signed')
    WHERE NEW.out_why = 'torn down' AND (SELECT open FROM build WHERE id = OLD.build) = 1;
    SELECT RAISE(ABORT, 'a part is taken out in the revision of its build that stands')
    WHERE NEW.out_revision <> (SELECT revision FROM build WHERE id = OLD.build);
END;
CREATE TRIGGER build_part_delete BEFORE DELETE ON build_part BEGIN
    SELECT RAISE(ABORT, 'where a part was fitted is never deleted');
END;

CREATE TRIGGER part_update BEFORE UPDATE ON part
WHEN (NEW.id, NEW.kind, NEW.serial, NEW.person, NEW.at)
     IS NOT (OLD.id, OLD.kind, OLD.serial, OLD.person, OLD.at)
BEGIN
    SELECT RAISE(ABORT, 'kind and serial of a part are never changed');
END;
CREATE TRIGGER part_delete BEFORE DELETE ON part BEGIN
    SELECT RAISE(ABORT, 'a part is never deleted: retire it');
END;
CREATE TRIGGER part_event_update BEFORE UPDATE ON part_event BEGIN
    SELECT RAISE(ABORT, 'what happened to a part is never changed');
END;
CREATE TRIGGER part_event_delete BEFORE DELETE ON part_event BEGIN
    SELECT RAISE(ABORT, 'what happened to a part is never deleted');
END;

-- A spec is changed by its next version, once a build refers to it.
CREATE TRIGGER spec_update BEFORE UPDATE ON spec BEGIN
    SELECT RAISE(ABORT, 'a version of a spec is never changed: add a new one');
END;
CREATE TRIGGER spec_delete BEFORE DELETE ON spec
WHEN EXISTS (SELECT 1 FROM build WHERE spec = OLD.id)
  OR EXISTS (SELECT 1 FROM sign_off WHERE spec = OLD.id)
BEGIN
    SELECT RAISE(ABORT, 'a build refers to this version of the spec: add a new one');
END;
CREATE TRIGGER spec_value_insert BEFORE INSERT ON spec_value
WHEN EXISTS (SELECT 1 FROM build WHERE spec = NEW.spec)
  OR EXISTS (SELECT 1 FROM sign_off WHERE spec = NEW.spec)
BEGIN
    SELECT RAISE(ABORT, 'a build refers to this version of the spec: add a new one');
END;
CREATE TRIGGER spec_value_update BEFORE UPDATE ON spec_value
WHEN EXISTS (SELECT 1 FROM build WHERE spec = OLD.spec)
  OR EXISTS (SELECT 1 FROM sign_off WHERE spec = OLD.spec)
BEGIN
    SELECT RAISE(ABORT, 'a build refers to this version of the spec: add a new one');
END;
CREATE TRIGGER spec_value_delete BEFORE DELETE ON spec_value
WHEN EXISTS (SELECT 1 FROM build WHERE spec = OLD.spec)
  OR EXISTS (SELECT 1 FROM sign_off WHERE spec = OLD.spec)
BEGIN
    SELECT RAISE(ABORT, 'a build refers to this version of the spec: add a new one');
END;

CREATE TRIGGER sign_off_insert BEFORE INSERT ON sign_off BEGIN
    SELECT RAISE(ABORT, 'a sign-off is never replaced')
    WHERE EXISTS (SELECT 1 FROM sign_off WHERE id = NEW.id);
    SELECT RAISE(ABORT, 'what is signed is the revision of a build that stands')
    WHERE NEW.revision <> (SELECT revision FROM build WHERE id = NEW.build);
END;
CREATE TRIGGER sign_off_update BEFORE UPDATE ON sign_off BEGIN
    SELECT RAISE(ABORT, 'a sign-off is never changed');
END;
CREATE TRIGGER sign_off_delete BEFORE DELETE ON sign_off BEGIN
    SELECT RAISE(ABORT, 'a sign-off is never deleted');
END;
CREATE TRIGGER plan_update BEFORE UPDATE ON plan BEGIN
    SELECT RAISE(ABORT, 'a plan is never changed: make a new one');
END;
CREATE TRIGGER plan_delete BEFORE DELETE ON plan BEGIN
    SELECT RAISE(ABORT, 'a plan is never deleted');
END;
CREATE TRIGGER sheet_update BEFORE UPDATE ON sheet BEGIN
    SELECT RAISE(ABORT, 'a sheet is never changed: make a new one');
END;
CREATE TRIGGER sheet_delete BEFORE DELETE ON sheet BEGIN
    SELECT RAISE(ABORT, 'a sheet is never deleted');
END;
CREATE TRIGGER balance_run_update BEFORE UPDATE ON balance_run BEGIN
    SELECT RAISE(ABORT, 'a balance run is never changed: make a new one');
END;
CREATE TRIGGER balance_run_delete BEFORE DELETE ON balance_run BEGIN
    SELECT RAISE(ABORT, 'a balance run is never deleted');
END;
CREATE TRIGGER finding_update BEFORE UPDATE ON finding BEGIN
    SELECT RAISE(ABORT, 'a finding is never changed: add another');
END;
CREATE TRIGGER finding_delete BEFORE DELETE ON finding BEGIN
    SELECT RAISE(ABORT, 'a finding is never deleted: add another');
END;
CREATE TRIGGER attachment_update BEFORE UPDATE ON attachment BEGIN
    SELECT RAISE(ABORT, 'an attachment is never changed: add another');
END;
CREATE TRIGGER attachment_delete BEFORE DELETE ON attachment BEGIN
    SELECT RAISE(ABORT, 'an attachment is never deleted');
END;
CREATE TRIGGER person_delete BEFORE DELETE ON person BEGIN
    SELECT RAISE(ABORT, 'a person is never deleted: make them inactive');
END;
CREATE TRIGGER gauge_delete BEFORE DELETE ON gauge BEGIN
    SELECT RAISE(ABORT, 'a gauge is never deleted: make it inactive');
END;
