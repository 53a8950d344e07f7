"""The tables of a log, as one migration a version: a log of version n has had the first n.

A migration, once part of a version that people use, is never changed: what comes later is another.
"""

APPLICATION = 0x45626C54
"""SQLite's `application_id` of a log: "EblT"."""

_TRIPS = """
CREATE TABLE trips (
    number INTEGER PRIMARY KEY,
    uid TEXT NOT NULL UNIQUE,
    spot TEXT NOT NULL,
    spot_name TEXT NOT NULL,
    shore TEXT NOT NULL,
    zone TEXT NOT NULL,
    start REAL NOT NULL,
    "end" REAL NOT NULL CHECK ("end" > start),
    logged_at REAL NOT NULL,
    anglers INTEGER NOT NULL CHECK (anglers > 0),
    fished_for REAL CHECK (fished_for > 0),
    bait TEXT NOT NULL,
    quarry TEXT NOT NULL,
    lead_held REAL,
    temperature REAL,
    wind_speed REAL,
    wind_from REAL,
    clarity TEXT,
    words TEXT NOT NULL
);
CREATE INDEX trips_by_start ON trips (start);
CREATE TABLE catches (
    trip INTEGER NOT NULL REFERENCES trips ON DELETE CASCADE,
    place INTEGER NOT NULL,
    species TEXT NOT NULL,
    PRIMARY KEY (trip, place)
) WITHOUT ROWID;
CREATE TABLE fish (
    trip INTEGER NOT NULL,
    catch INTEGER NOT NULL,
    place INTEGER NOT NULL,
    kept INTEGER NOT NULL CHECK (kept IN (0, 1)),
    length REAL CHECK (length > 0),
    measured TEXT CHECK (measured IN ('fork', 'total')),
    t REAL,
    PRIMARY KEY (trip, catch, place),
    FOREIGN KEY (trip, catch) REFERENCES catches ON DELETE CASCADE
) WITHOUT ROWID;
"""

_FORECASTS = """
CREATE TABLE forecasts (
    trip INTEGER PRIMARY KEY REFERENCES trips ON DELETE CASCADE,
    points REAL NOT NULL,
    version TEXT NOT NULL,
    made_at REAL NOT NULL,
    made TEXT NOT NULL CHECK (made IN ('planned', 'logged', 'later')),
    chance REAL CHECK (chance BETWEEN 0 AND 1)
);
CREATE TABLE factors (
    trip INTEGER NOT NULL REFERENCES forecasts ON DELETE CASCADE,
    place INTEGER NOT NULL,
    factor TEXT NOT NULL,
    points REAL NOT NULL,
    most REAL NOT NULL,
    PRIMARY KEY (trip, place)
) WITHOUT ROWID;
ALTER TABLE trips ADD COLUMN planned_start REAL;
ALTER TABLE trips ADD COLUMN planned_end REAL;
ALTER TABLE trips ADD COLUMN fished INTEGER NOT NULL DEFAULT 1 CHECK (fished IN (0, 1));
"""

_SEEN = """
CREATE TABLE seen (
    trip INTEGER NOT NULL REFERENCES trips ON DELETE CASCADE,
    place INTEGER NOT NULL,
    kind TEXT NOT NULL,
    t REAL NOT NULL,
    speed REAL,
    PRIMARY KEY (trip, place)
) WITHOUT ROWID;
ALTER TABLE trips ADD COLUMN removed_at REAL;
"""

MIGRATIONS = (_TRIPS, _FORECASTS, _SEEN)
"""Version 1: trips and their fish. 2: the frozen forecast, plans. 3: what was seen, trips taken out."""

VERSION = len(MIGRATIONS)
