-- From here on the table schema_steps tells which steps were applied. 5 keeps off programs that count steps by this number alone.
PRAGMA user_version = 5;
