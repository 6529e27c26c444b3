"""A hash for each row of the record, kept beside it: a bit that flips inside of a text is noticed, and where.

SQLite's own check sees a broken page, but has no sum that would tell of another letter or number in a sound one.
"""

from __future__ import annotations

import hashlib
import sqlite3

TABLE = "CREATE TABLE row_hash(key BLOB PRIMARY KEY, hash BLOB NOT NULL) WITHOUT ROWID"
FUNCTION = "hash_of_row"


def hash_of(*cells) -> bytes:
    """Hash of the cells of a row, texts as their bytes.

    >>> hash_of(b"q1", 2.0).hex()[:8], hash_of(b"q1", 3.0).hex()[:8]
    ('a6d79cad', '5e4b8673')
    """
    return hashlib.blake2b(repr(cells).encode(), digest_size=16).digest()


def follow(base: sqlite3.Connection) -> None:
    """Keep the hashes up with all that this connection writes, in the same transaction; first `require_whole`."""
    require_whole(base)
    for table, columns in _tables(base).items():
        gone, come = (f"DELETE FROM row_hash WHERE key={_key(table, columns, row)};" for row in ("OLD.", "NEW."))
        come += f"INSERT INTO row_hash VALUES({_key(table, columns, 'NEW.')}, {_hash(columns, 'NEW.')});"
        for event, acts in (("INSERT", come), ("UPDATE", gone + come), ("DELETE", gone)):
            base.execute(f"CREATE TEMP TRIGGER {table}_{event} AFTER {event} ON main.{table} BEGIN {acts} END")


def begin(base: sqlite3.Connection) -> None:
    """Hash the rows of a record that had no hashes yet."""
    _know(base)
    for table, columns in _tables(base).items():
        base.execute(f"INSERT INTO row_hash SELECT {_key(table, columns)}, {_hash(columns)} FROM {table}")


def require_whole(base: sqlite3.Connection) -> None:
    """Refuse a record in which a row is not what was written; one of a version without hashes passes.

    Raises: sqlite3.DatabaseError naming the row.
    """
    if not base.execute("SELECT 1 FROM sqlite_master WHERE name='row_hash'").fetchone():
        return
    _know(base)
    base.execute("BEGIN")  # one view of it, whatever other runs are writing
    try:
        if where := _fault(base):
            raise sqlite3.DatabaseError(f"malformed: {where} what was written")
    finally:
        base.execute("COMMIT")


def _fault(base: sqlite3.Connection) -> str:
    kept = dict(base.execute("SELECT key, hash FROM row_hash"))
    for table, columns in _tables(base).items():
        names = ", ".join(_cell(name) for name, is_key in columns.items() if is_key)
        rows = base.execute(f"SELECT {_key(table, columns)}, {_hash(columns)}, {names} FROM {table}")
        for key, found, *of in rows:
            if kept.pop(key, None) != found:
                return f"row {' '.join(map(_shown, of))} of table {table} is not"
    return "rows are missing of" if kept else ""


def _shown(cell) -> str:
    return cell.decode("utf-8", "replace")[:40] if isinstance(cell, bytes) else str(cell)


def _know(base: sqlite3.Connection) -> None:
    base.create_function(FUNCTION, -1, hash_of, deterministic=True)


def _tables(base: sqlite3.Connection) -> dict[str, dict[str, bool]]:
    """Columns by table, each with whether it belongs to the key."""
    names = base.execute("SELECT name FROM sqlite_master WHERE type='table' AND name NOT IN ('row_hash') AND name NOT "
                         "LIKE 'sqlite%' ORDER BY name").fetchall()
    return {table: {name: key > 0 for _, name, _, _, _, key in base.execute(f"PRAGMA table_info({table})")}
            for table, in names}


def _key(table: str, columns: dict[str, bool], row: str = "") -> str:
    return f"{FUNCTION}('{table}', {', '.join(_cell(row + name) for name, is_key in columns.items() if is_key)})"


def _hash(columns: dict[str, bool], row: str = "") -> str:
    return f"{FUNCTION}({', '.join(_cell(row + name) for name in columns)})"


def _cell(name: str) -> str:
    """A cell as SQL, a text as its bytes: flipped ones may be no text any more."""
    return f"CASE typeof({name}) WHEN 'text' THEN CAST({name} AS BLOB) ELSE {name} END"
