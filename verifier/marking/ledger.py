"""The ledger: an SQLite file beside the results that holds everything a run has found.

One process writes it and holds it locked while it does; a second one is turned away. Every change
is one transaction of a write-ahead journal that is flushed to the disk, so a run that is killed at
any point (power included) leaves whole rows only, each script once.
"""

import hashlib
import json
import secrets
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any

from verifier.errors import FileError, UsageError
from verifier.findings import Result
from verifier.marking import stored
from verifier.marking.options import Override
from verifier.marking.pages import Correction, Lines, typed_lines
from verifier.marking.scored import ScriptMarks

FORM = "1"
"""The form of the tables; another one is refused."""

_TABLES = """
CREATE TABLE IF NOT EXISTS meta (key TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE IF NOT EXISTS scripts (
    name TEXT PRIMARY KEY, digest TEXT NOT NULL, stamp TEXT NOT NULL, key TEXT NOT NULL,
    tool TEXT NOT NULL, reason TEXT NOT NULL, again INTEGER NOT NULL, gone INTEGER NOT NULL,
    verdict TEXT NOT NULL, reading TEXT, result TEXT, marks_key TEXT NOT NULL, marks TEXT);
CREATE TABLE IF NOT EXISTS corrections (
    script TEXT NOT NULL, digest TEXT NOT NULL, line INTEGER NOT NULL, read TEXT NOT NULL,
    text TEXT NOT NULL, who TEXT NOT NULL, at TEXT NOT NULL, PRIMARY KEY (script, digest, line));
CREATE TABLE IF NOT EXISTS overrides (
    id INTEGER PRIMARY KEY, script TEXT NOT NULL, digest TEXT NOT NULL, item TEXT NOT NULL,
    part TEXT NOT NULL, marks REAL, who TEXT NOT NULL, why TEXT NOT NULL, at TEXT NOT NULL);
CREATE INDEX IF NOT EXISTS overrides_of ON overrides (script);
CREATE TABLE IF NOT EXISTS candidates (name TEXT PRIMARY KEY, number TEXT NOT NULL UNIQUE);
CREATE TABLE IF NOT EXISTS forgotten (mark TEXT PRIMARY KEY);
"""


@dataclass(frozen=True)
class Row:
    """One script in the ledger. `result` is None where there is only a `reason`.

    `key` hashes all that the result depends on, `marks_key` all that the marks depend on; `gone`
    says that the script is no longer in the folder.
    """

    name: str
    digest: str
    stamp: str
    key: str
    reason: str = ""
    again: bool = False
    gone: bool = False
    read: Lines = ()
    result: Result | None = None
    marks_key: str = ""
    marks: ScriptMarks | None = None
    tool: str = ""
    verdict: str = ""


class Ledger:
    """An open ledger, locked for this process until it is closed.

    Raises `UsageError` where another run holds it and `FileError` where the file cannot be used.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            self._base = sqlite3.connect(path, timeout=0.2, isolation_level=None)
        except (OSError, sqlite3.Error) as error:
            raise FileError(str(path), f"cannot be opened ({error})") from None
        try:
            self._open()
        except sqlite3.OperationalError as error:
            self._base.close()
            if "lock" in str(error) or "busy" in str(error):
                raise UsageError(
                    f"another run is at work on {path}", "wait for it to end, or stop it"
                ) from None
            raise FileError(str(path), f"cannot be used ({error})") from None
        except sqlite3.DatabaseError as error:
            self._base.close()
            raise FileError(
                str(path), f"is not a ledger, or is damaged ({error})", "move it away to start anew"
            ) from None

    def __enter__(self) -> "Ledger":
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Give the file back to others."""
        self._base.close()

    @contextmanager
    def together(self) -> Iterator[None]:
        """Make everything inside one transaction: all of it is kept, or nothing."""
        self._base.execute("BEGIN IMMEDIATE")
        try:
            yield
            self._base.execute("COMMIT")
        except BaseException as error:
            if self._base.in_transaction:
                self._base.execute("ROLLBACK")
            if isinstance(error, sqlite3.OperationalError) and "lock" not in str(error):
                raise FileError(str(self.path), f"cannot be written ({error})") from None
            raise

    def note(self, key: str, value: str) -> None:
        """Keep a fact about the whole run."""
        self._base.execute("INSERT OR REPLACE INTO meta VALUES (?, ?)", (key, value))

    def noted(self, key: str) -> str:
        """Return a fact about the whole run, '' where there is none."""
        found = self._base.execute("SELECT value FROM meta WHERE key = ?", (key,)).fetchone()
        return str(found[0]) if found else ""

    def put(self, row: Row) -> None:
        """Write a script's row; an earlier one of that script gives way to it."""
        same = row.result is not None and row.read == typed_lines(row.result.lines)
        reading = stored.dump_reading(row.read) if row.read and not same else None
        result = stored.dump(row.result) if row.result else None
        self._base.execute(
            "INSERT OR REPLACE INTO scripts VALUES (?,?,?,?,?,?,?,?,?,?,?,?,?)",
            (row.name, row.digest, row.stamp, row.key, row.tool, row.reason, row.again, row.gone,
             row.verdict, reading, result, row.marks_key, _dumped(row.marks)),
        )  # fmt: skip

    def put_marks(self, name: str, key: str, marks: ScriptMarks | None) -> None:
        """Write a script's marks without touching what they were made of."""
        self._base.execute(
            "UPDATE scripts SET marks_key = ?, marks = ? WHERE name = ?",
            (key, _dumped(marks), name),
        )

    def put_stamp(self, name: str, stamp: str) -> None:
        """Write the sizes and times under which a script's pages were last seen unchanged."""
        self._base.execute("UPDATE scripts SET stamp = ? WHERE name = ?", (stamp, name))

    def set_gone(self, names: Iterable[str], gone: bool) -> None:
        """Say which scripts are no longer in the folder, or are again."""
        self._base.executemany(
            "UPDATE scripts SET gone = ? WHERE name = ?", ((gone, name) for name in names)
        )

    def heads(self) -> dict[str, Row]:
        """Return every script's row without its reading, result and marks."""
        found = self._base.execute(
            "SELECT name, digest, stamp, key, reason, again, gone, marks_key, verdict FROM scripts"
        )
        return {
            name: Row(
                name,
                digest,
                stamp,
                key,
                reason,
                bool(again),
                bool(gone),
                marks_key=marked,
                verdict=verdict,
            )
            for name, digest, stamp, key, reason, again, gone, marked, verdict in found
        }

    def row(self, name: str) -> Row | None:
        """Return a script's whole row, None where there is none."""
        found = self._base.execute(
            "SELECT name, digest, stamp, key, reason, again, gone, reading, result, marks_key,"
            " marks, tool FROM scripts WHERE name = ?",
            (name,),
        ).fetchone()
        if found is None:
            return None
        name, digest, stamp, key, reason, again, gone, reading, result, marks_key, marks, tool = (
            found
        )
        made = stored.load(result) if result else None
        read = stored.load_reading(reading) if reading else typed_lines(made.lines if made else ())
        score = ScriptMarks.from_json(json.loads(marks)) if marks else None
        flags = bool(again), bool(gone)
        verdict = made.verdict if made else ""
        return Row(
            name, digest, stamp, key, reason, *flags, read, made, marks_key, score, tool, verdict
        )

    def correct(self, script: str, digest: str, correction: Correction) -> None:
        """Keep a marker's word for a line of this very script."""
        self._base.execute(
            "INSERT OR REPLACE INTO corrections VALUES (?,?,?,?,?,?,?)",
            (script, digest, correction.line, correction.read, correction.text, correction.who,
             correction.when),
        )  # fmt: skip

    def uncorrect(self, script: str, digest: str, line: int) -> None:
        """Take a marker's word for a line back."""
        self._base.execute(
            "DELETE FROM corrections WHERE script = ? AND digest = ? AND line = ?",
            (script, digest, line),
        )

    def corrections(self, script: str, digest: str) -> tuple[Correction, ...]:
        """Return the corrections of a script as it is now, by line."""
        found = self._base.execute(
            "SELECT line, read, text, who, at FROM corrections WHERE script = ? AND digest = ?"
            " ORDER BY line",
            (script, digest),
        )
        return tuple(Correction(*fields) for fields in found)

    def all_corrections(self) -> dict[tuple[str, str], list[Correction]]:
        """Return all corrections by script and digest."""
        found: dict[tuple[str, str], list[Correction]] = {}
        for script, digest, *fields in self._base.execute(
            "SELECT script, digest, line, read, text, who, at FROM corrections ORDER BY line"
        ):
            found.setdefault((script, digest), []).append(Correction(*fields))
        return found

    def override(self, one: Override, digest: str) -> None:
        """Keep a marker's decision; earlier ones stay as its history."""
        self._base.execute(
            "INSERT INTO overrides (script, digest, item, part, marks, who, why, at)"
            " VALUES (?,?,?,?,?,?,?,?)",
            (one.script, digest, one.item, one.part, one.marks, one.who, one.why, one.when),
        )

    def overrides(self, script: str) -> tuple[tuple[Override, str], ...]:
        """Return a script's decisions, oldest first, each with the script's hash at the time."""
        found = self._base.execute(
            "SELECT script, item, part, marks, who, why, at, digest FROM overrides"
            " WHERE script = ? ORDER BY id",
            (script,),
        )
        return tuple((Override(*fields), digest) for *fields, digest in found)

    def numbers(self) -> dict[str, str]:
        """Return candidates' numbers by script name."""
        return dict(self._base.execute("SELECT name, number FROM candidates"))

    def number(self, numbers: dict[str, str]) -> None:
        """Give scripts candidate numbers. Raises `UsageError` where one is given twice."""
        try:
            with self.together():
                for name in numbers:
                    self._base.execute("DELETE FROM candidates WHERE name = ?", (name,))
                self._base.executemany(
                    "INSERT INTO candidates VALUES (?, ?)", sorted(numbers.items())
                )
        except sqlite3.IntegrityError:
            raise UsageError("a candidate number is given to two scripts") from None

    def forget(self, name: str) -> None:
        """Remove everything about a script, and leave a mark that keeps it out from now on."""
        with self.together():
            self._base.execute("DELETE FROM scripts WHERE name = ?", (name,))
            self._base.execute("DELETE FROM candidates WHERE name = ?", (name,))
            for table in ("corrections", "overrides"):
                self._base.execute(f"DELETE FROM {table} WHERE script = ?", (name,))
            self._base.execute("INSERT OR IGNORE INTO forgotten VALUES (?)", (self._mark(name),))
        self._base.execute("VACUUM")
        self._base.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def is_forgotten(self, name: str) -> bool:
        """Tell whether a script of this name was to be forgotten."""
        found = self._base.execute(
            "SELECT 1 FROM forgotten WHERE mark = ?", (self._mark(name),)
        ).fetchone()
        return found is not None

    def _mark(self, name: str) -> str:
        if not self.noted("salt"):
            self.note("salt", secrets.token_hex(16))
        salted = f"{self.noted('salt')}:{name}".encode()
        return hashlib.sha256(salted).hexdigest()

    def _open(self) -> None:
        run = self._base.execute
        run("PRAGMA locking_mode = EXCLUSIVE")
        run("PRAGMA journal_mode = WAL")
        run("PRAGMA synchronous = FULL")
        run("PRAGMA secure_delete = ON")
        with self.together():
            for statement in _TABLES.split(";"):
                run(statement)
            form = self.noted("form") or FORM
            self.note("form", form)
        if form != FORM:
            raise sqlite3.DatabaseError(f"form {form}, not {FORM}")


def _dumped(marks: ScriptMarks | None) -> str | None:
    if marks is None:
        return None
    data: dict[str, Any] = marks.to_json()
    return json.dumps(data, sort_keys=True, separators=(",", ":"))
