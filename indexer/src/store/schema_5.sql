-- From version 4 to 5: sums by which a bit that has tipped in the file is found. No sheet and no page speaks of them.

-- Over the rows of each table as they stand: the sum of the hashes of its rows, 16 bytes.
CREATE TABLE digest ("table" TEXT PRIMARY KEY, rows_sum BLOB NOT NULL) STRICT, WITHOUT ROWID;

-- Of each change: the sum over the lines it wrote, and a hash over all sums as they stood after it (NULL for changes
-- made before there were any).
CREATE TABLE seal (change INTEGER PRIMARY KEY REFERENCES change (id), lines_sum BLOB NOT NULL, state BLOB) STRICT;

PRAGMA user_version = 5;
