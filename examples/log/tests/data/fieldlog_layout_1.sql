-- A field log as the first layout wrote it, kept word for word: the way up from it must never break. Invented visits.
PRAGMA application_id = 1465009740;
PRAGMA user_version = 1;
CREATE TABLE visit (
    id TEXT PRIMARY KEY NOT NULL,
    day TEXT NOT NULL,
    place TEXT NOT NULL,
    seat TEXT,
    subject TEXT NOT NULL,
    outcome INTEGER NOT NULL CHECK (outcome BETWEEN 0 AND 5),
    count INTEGER,
    level_cm INTEGER,
    notes TEXT
) STRICT;
INSERT INTO visit VALUES ('old-1', '2019-11-14', 'tallow-ness', 'A', 'slate-knotling', 5, 900, 752, 'first winter');
INSERT INTO visit VALUES ('old-2', '2019-11-15', 'tallow-ness', 'A', 'slate-knotling', 0, NULL, NULL, NULL);
INSERT INTO visit VALUES ('old-3', '2019-12-01', 'brindle', NULL, 'slate-knotling', 1, 0, 731, 'it''s "quiet"; åäö');
INSERT INTO visit VALUES ('old-4', '2020-01-05', 'tallow-ness', 'B', 'slate-knotling', 2, 40, 655, NULL);
INSERT INTO visit VALUES ('old-5', '2020-01-06', 'tallow-ness', 'B', 'slate-knotling', 3, 300, 702, NULL);
INSERT INTO visit VALUES ('old-6', '2020-01-07', 'tallow-ness', 'B', 'slate-knotling', 4, 350, 720, NULL);
-- Taken before contradictions were looked for: an absence with a count.
INSERT INTO visit VALUES ('old-7', '2020-02-01', 'gorsey', 'D', 'slate-knotling', 1, 3, NULL, 'three flew over');
