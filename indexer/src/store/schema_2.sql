-- From version 1 to 2: tabs of workbooks, sheets read earlier, what was done with what a sheet left out, what sheets
-- said beside a hand, and what an undo kept.

ALTER TABLE cell_change ADD COLUMN tab TEXT;                             -- of a workbook
ALTER TABLE cell_change ADD COLUMN source INTEGER REFERENCES change (id); -- whose sheet it was read from, when not this change's

ALTER TABLE change ADD COLUMN missing_policy TEXT;                       -- keep, out-of-stock or retire
ALTER TABLE change ADD COLUMN tells_stock INTEGER NOT NULL DEFAULT 0;    -- it counted pairs, the same as before or others
UPDATE change SET tells_stock = 1 WHERE kind IN ('import', 'count') AND EXISTS
    (SELECT 1 FROM cell_change AS cell WHERE cell.change = change.id AND cell."column" = 'quantity');

-- What a sheet said of a cell that a person has set, the same or another. It changes nothing.
CREATE TABLE beside_hand (
    id INTEGER PRIMARY KEY,
    change INTEGER NOT NULL REFERENCES change (id),
    entity TEXT NOT NULL,
    key TEXT NOT NULL,
    "column" TEXT NOT NULL,
    value ANY,
    tab TEXT,
    sheet_row INTEGER,
    sheet_line INTEGER,
    sheet_column INTEGER,
    text TEXT
) STRICT;
CREATE INDEX beside_hand_by_key ON beside_hand (key);
CREATE TRIGGER beside_hand_stays BEFORE UPDATE ON beside_hand BEGIN
    SELECT RAISE(ABORT, 'the ledger is only appended to');
END;
CREATE TRIGGER beside_hand_is_kept BEFORE DELETE ON beside_hand BEGIN
    SELECT RAISE(ABORT, 'the ledger is only appended to');
END;

-- What an undo left alone, and the later change that owns it.
CREATE TABLE kept (
    id INTEGER PRIMARY KEY,
    change INTEGER NOT NULL REFERENCES change (id),
    entity TEXT NOT NULL,
    key TEXT NOT NULL,
    "column" TEXT NOT NULL,
    later INTEGER REFERENCES change (id)
) STRICT;
CREATE INDEX kept_by_change ON kept (change);
CREATE TRIGGER kept_stays BEFORE UPDATE ON kept BEGIN
    SELECT RAISE(ABORT, 'the ledger is only appended to');
END;
CREATE TRIGGER kept_is_kept BEFORE DELETE ON kept BEGIN
    SELECT RAISE(ABORT, 'the ledger is only appended to');
END;

PRAGMA user_version = 2;
