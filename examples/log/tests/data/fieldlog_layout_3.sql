-- A field log as the third layout wrote it, kept word for word. Invented visits.
PRAGMA application_id = 1465009740;
PRAGMA user_version = 3;
CREATE TABLE entry (
    id TEXT NOT NULL,
    revision INTEGER NOT NULL CHECK (revision >= 1),
    recorded TEXT NOT NULL,
    why TEXT,
    "when" TEXT NOT NULL,
    place TEXT NOT NULL,
    seat TEXT,
    subject TEXT NOT NULL,
    outcome TEXT NOT NULL,
    count INTEGER,
    minutes INTEGER,
    distance_m REAL,
    observed_level_m REAL,
    pressure_hpa REAL,
    wind TEXT,
    air_c REAL,
    frozen_days INTEGER,
    people INTEGER,
    pictures INTEGER,
    selects INTEGER,
    notes TEXT, sky TEXT, unease INTEGER, unease_distance_m REAL, flushes INTEGER,
    PRIMARY KEY (id, revision)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER entry_holds BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never changed in place'); END;
CREATE TABLE conditions (
    id TEXT NOT NULL,
    revision INTEGER NOT NULL,
    level_m REAL,
    high_water_at TEXT,
    high_water_m REAL,
    range_m REAL,
    minutes_from_high_water REAL,
    minutes_from_push REAL,
    sun_altitude_deg REAL,
    sun_azimuth_deg REAL,
    shadow_angle_deg REAL,
    moon_altitude_deg REAL,
    moon_lit_fraction REAL,
    PRIMARY KEY (id, revision),
    FOREIGN KEY (id, revision) REFERENCES entry (id, revision)
) STRICT, WITHOUT ROWID;
INSERT INTO entry ("id", "revision", "recorded", "when", "place", "seat", "subject", "outcome", "count", "minutes", "sky", "unease", "unease_distance_m") VALUES ('late-1', 1, '2024-11-17T15:00:00Z', '2024-11-17T09:10:00Z', 'tallow-ness', 'A', 'slate-knotling', 'in_range', 900, 80, 'broken', 1, 70.5);
INSERT INTO entry ("id", "revision", "recorded", "why", "when", "place", "seat", "subject", "outcome", "count", "minutes", "sky", "unease", "unease_distance_m", "pictures") VALUES ('late-1', 2, '2024-11-18T08:00:00Z', 'found one on the card', '2024-11-17T09:10:00Z', 'tallow-ness', 'A', 'slate-knotling', 'picture', 900, 80, 'broken', 1, 70.5, 3);
INSERT INTO entry ("id", "revision", "recorded", "when", "place", "seat", "subject", "outcome", "count", "minutes", "notes") VALUES ('late-2', 1, '2024-12-20T15:00:00Z', '2024-12-20', 'overmere', 'E', 'reed-owl', 'absent', 0, 60, 'frost');
INSERT INTO conditions ("id", "revision", "level_m", "high_water_at", "high_water_m", "range_m", "minutes_from_high_water", "sun_altitude_deg") VALUES ('late-1', 1, 7.125, '2024-11-17T09:40:00Z', 7.5, 6.25, -30.0, 8.5);
INSERT INTO conditions ("id", "revision", "level_m", "high_water_at", "high_water_m", "range_m", "minutes_from_high_water", "sun_altitude_deg") VALUES ('late-1', 2, 7.125, '2024-11-17T09:40:00Z', 7.5, 6.25, -30.0, 8.5);
