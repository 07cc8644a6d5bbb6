-- Machine tools that programs are made for, kept like engines and materials.

CREATE TABLE machine_tool (
    id   INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE CONSTRAINT "a machine tool has a name" CHECK (name <> '')
) STRICT;
CREATE TABLE machine_tool_value (
    machine_tool INTEGER NOT NULL REFERENCES machine_tool (id),
    line         INTEGER NOT NULL,
    place        TEXT NOT NULL CONSTRAINT "a value has a place" CHECK (place <> ''),
    value        TEXT NOT NULL,
    PRIMARY KEY (machine_tool, line),
    UNIQUE (machine_tool, place)
) STRICT, WITHOUT ROWID;
