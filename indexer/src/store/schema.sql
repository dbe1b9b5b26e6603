-- The truth, as version 1 had it; the files beside it lead on from version to version. Integers are tenths, minor units, counts, 0 and 1, or trade item numbers; everything else is text.
-- Columns of style and sku are named after the registry of columns, so that one piece of code moves them all.

CREATE TABLE change (
    id INTEGER PRIMARY KEY,
    kind TEXT NOT NULL,
    actor TEXT NOT NULL,
    at INTEGER NOT NULL,
    key TEXT NOT NULL UNIQUE,           -- the same key again is the same change
    supplier TEXT,
    sheet TEXT,
    original TEXT REFERENCES original (hash),
    rows INTEGER, new INTEGER, changed INTEGER, unchanged INTEGER, held INTEGER, missing INTEGER,
    undoes INTEGER REFERENCES change (id)
) STRICT;

-- The ledger: who wrote what where, read from which cell. Only ever appended to.
CREATE TABLE cell_change (
    id INTEGER PRIMARY KEY,
    change INTEGER NOT NULL REFERENCES change (id),
    entity TEXT NOT NULL,               -- style or sku
    key TEXT NOT NULL,
    "column" TEXT NOT NULL,             -- 'key' where the row itself came or went
    before ANY,
    after ANY,
    by_hand INTEGER NOT NULL DEFAULT 0,
    sheet_row INTEGER,
    sheet_line INTEGER,
    sheet_column INTEGER,
    text TEXT                           -- as read; for 'key': the supplier of a style, the style of a sku
) STRICT;
CREATE INDEX cell_change_by_key ON cell_change (key);
CREATE INDEX cell_change_by_change ON cell_change (change);
CREATE TRIGGER cell_change_stays BEFORE UPDATE ON cell_change BEGIN
    SELECT RAISE(ABORT, 'the ledger is only appended to');
END;
CREATE TRIGGER cell_change_is_kept BEFORE DELETE ON cell_change BEGIN
    SELECT RAISE(ABORT, 'the ledger is only appended to');
END;

CREATE TABLE style (
    key TEXT PRIMARY KEY,
    supplier TEXT NOT NULL,             -- who brought it first, and owns its values
    maker TEXT, style_number TEXT, name TEXT, audience TEXT, surface TEXT, purpose TEXT,
    heel_stack INTEGER, forefoot_stack INTEGER, "drop" INTEGER, mass INTEGER, mass_size TEXT,
    bending TEXT, stiffness TEXT, compression INTEGER, compression_method TEXT, torsion TEXT,
    devices INTEGER, rocker INTEGER, plate INTEGER, liner_removable INTEGER, liner_included INTEGER,
    season TEXT, replaces TEXT, status TEXT, notes TEXT, shop_note TEXT,
    price INTEGER                       -- holds for each size without its own
) STRICT, WITHOUT ROWID;

CREATE TABLE sku (
    key TEXT PRIMARY KEY,
    style TEXT NOT NULL REFERENCES style (key),
    shop TEXT NOT NULL DEFAULT 'main',  -- one shop now
    colourway TEXT, size_system TEXT, size TEXT, width TEXT, gtin INTEGER, quantity TEXT, price INTEGER, place TEXT
) STRICT, WITHOUT ROWID;
CREATE INDEX sku_by_style ON sku (style);

-- Cells that a person has set; a sheet does not overwrite them.
CREATE TABLE by_hand (entity TEXT NOT NULL, key TEXT NOT NULL, "column" TEXT NOT NULL,
    PRIMARY KEY (entity, key, "column")) STRICT, WITHOUT ROWID;

CREATE TABLE original (hash TEXT PRIMARY KEY, name TEXT NOT NULL, bytes BLOB NOT NULL) STRICT;

CREATE TABLE mapping (supplier TEXT NOT NULL, fingerprint TEXT NOT NULL, toml TEXT NOT NULL, at INTEGER NOT NULL,
    PRIMARY KEY (supplier, fingerprint)) STRICT, WITHOUT ROWID;

PRAGMA user_version = 1;
