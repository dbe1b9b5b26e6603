-- From version 2 to 3: what the shop has set for itself, and why a change was made.

-- The house policy (key 'policy') and makers' size charts (key 'size-chart/' and the maker), item by item. What is not
-- here stands as the program brings it.
CREATE TABLE setting (key TEXT NOT NULL, "column" TEXT NOT NULL, value TEXT NOT NULL,
    PRIMARY KEY (key, "column")) STRICT, WITHOUT ROWID;

ALTER TABLE change ADD COLUMN why TEXT;                                   -- in the words of whoever made it

PRAGMA user_version = 3;
