-- A field log as the second layout wrote it, kept word for word. Invented visits.
PRAGMA application_id = 1465009740;
PRAGMA user_version = 2;
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
    notes TEXT,
    PRIMARY KEY (id, revision)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER entry_stays BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never deleted'); END;
CREATE TRIGGER entry_holds BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'entries are never changed in place'); END;
INSERT INTO entry VALUES ('mid-1', 1, '2021-11-06T15:00:00Z', NULL, '2021-11-06T09:10:00Z', 'tallow-ness', 'A', 'slate-knotling', 'in_range', 1200, 95, 85.0, 7.41, 1017.0, 'SW3', 6.5, NULL, 0, NULL, NULL, NULL);
INSERT INTO entry VALUES ('mid-1', 2, '2021-11-07T08:00:00Z', 'found one on the card', '2021-11-06T09:10:00Z', 'tallow-ness', 'A', 'slate-knotling', 'picture', 1200, 95, 85.0, 7.41, 1017.0, 'SW3', 6.5, NULL, 0, 14, NULL, NULL);
INSERT INTO entry VALUES ('mid-2', 1, '2021-12-20T15:00:00Z', NULL, '2021-12-20', 'overmere', 'E', 'reed-owl', 'absent', 0, 60, NULL, NULL, NULL, 'calm', NULL, 2, 0, NULL, NULL, 'frost');
