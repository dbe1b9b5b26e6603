-- From version 3 to 4: what is counted in the fitting room, without saying of whom. It is no fact of a shoe, so that it
-- stands in no change and no export.

CREATE TABLE tally (kind TEXT NOT NULL, "key" TEXT NOT NULL, day INTEGER NOT NULL, times INTEGER NOT NULL CHECK (times > 0),
    PRIMARY KEY (kind, "key", day)) STRICT, WITHOUT ROWID;                -- day: days since 1970, UTC

PRAGMA user_version = 4;
