"""Walking a marker through doubtful lines: what to show, and what their word changes.

Every word is kept in the ledger at once and the script judged again with it, so the walk can be
left anywhere and taken up later; lines that were confirmed do not come back.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from verifier.errors import FileError
from verifier.files import is_picture
from verifier.findings import Box, LineVerdict
from verifier.marking.awarding import award
from verifier.marking.book import Entry, entry_of, open_book
from verifier.marking.desk import Desk
from verifier.marking.eyes import doubtful_lines, looks
from verifier.marking.judging import Task, named_as, rejudge
from verifier.marking.ledger import Ledger, Row
from verifier.marking.options import Override
from verifier.marking.pages import Correction
from verifier.marking.run import Job, key_of, marks_key
from verifier.marking.scripts import Script

_ALIKE = str.maketrans({"−": "-", "–": "-", "∙": "·", "⋅": "·", "’": "'", "′": "'"})
_AROUND = 2
"""Lines shown before and after a doubtful one."""


@dataclass(frozen=True)
class Place:
    """One line to confirm, with its neighbours and its place on the page.

    `picture` is the page's file where there is one to look at, `page` its page number in that file.
    `left` counts the lines that are still to come in this script, this one included.
    """

    script: str
    shown: str
    line: LineVerdict
    around: tuple[LineVerdict, ...]
    alternatives: tuple[str, ...]
    picture: Path | None
    page: int
    box: Box | None
    left: int
    entry: Entry


class Confirming:
    """A walk through one ledger. `who` is the marker; `scripts` tell where the pages lie."""

    def __init__(
        self, ledger: Ledger, job: Job, scripts: tuple[Script, ...], who: str, every: bool = False
    ) -> None:
        self.ledger, self.job, self.who, self.every = ledger, job, who, every
        self.numbers = ledger.numbers()
        self.scripts = {script.name: script for script in scripts}
        self._desk: Desk | None = None

    def order(self) -> list[str]:
        """Return the scripts with lines to confirm, the most worthwhile first."""
        book = open_book(self.ledger, self.job.scheme, self.ledger.path.parent)
        entries = list(book.entries()) if self.every else book.entries()
        ranked = [look.name for look in looks(entries) if self.every or look.pictured]
        if self.every:
            ranked += [entry.name for entry in entries if entry.name not in set(ranked)]
        return [name for name in ranked if self.first(name) is not None]

    def first(self, script: str, skip: frozenset[int] = frozenset()) -> Place | None:
        """Return the next line of a script that nobody has confirmed, None where all are."""
        row = self.ledger.row(script)
        if row is None or row.result is None:
            return None
        lines = [line for line in self._open(row) if line.line not in skip]
        return self._place(row, lines[0], len(lines)) if lines else None

    def say(self, place: Place, text: str) -> Entry:
        """Keep that a line says `text`, judge the script again, and return it as it is now.

        Raises `CounterpoiseError` where the script can then not be judged; nothing is kept.
        """
        row = self._row(place.script)
        read = row.read[place.line.line - 1].text
        word = Correction(place.line.line, read, " ".join(text.splitlines()), self.who, now())
        before = self.ledger.corrections(row.name, row.digest)
        others = tuple(one for one in before if one.line != word.line)
        new = self._judged(row, (*others, word))
        with self.ledger.together():
            self.ledger.correct(row.name, row.digest, word)
            self.ledger.put(new)
        return self.entry(row.name)

    def take_back(self, script: str, line: int) -> Entry:
        """Take a marker's word for a line back and judge the script again without it."""
        row = self._row(script)
        before = self.ledger.corrections(row.name, row.digest)
        new = self._judged(row, tuple(one for one in before if one.line != line))
        with self.ledger.together():
            self.ledger.uncorrect(row.name, row.digest, line)
            self.ledger.put(new)
        return self.entry(row.name)

    def decide(self, script: str, override: Override) -> Entry:
        """Keep a marker's decision on marks (already checked), and return the script as it is."""
        row = self._row(script)
        with self.ledger.together():
            self.ledger.override(
                replace(override, script=script, who=override.who or self.who, when=now()),
                row.digest,
            )
        return self.entry(script)

    def entry(self, script: str) -> Entry:
        """Return one script as outputs see it."""
        shown = self.numbers.get(script, script)
        return entry_of(self._row(script), self.ledger, self.job.scheme, shown)

    def _row(self, script: str) -> Row:
        row = self.ledger.row(script)
        if row is None:
            raise FileError(script, "is not in the ledger")
        return row

    def _open(self, row: Row) -> Iterator[LineVerdict]:
        assert row.result is not None
        said = {one.line for one in self.ledger.corrections(row.name, row.digest)}
        for line in doubtful_lines(row.result, self.every):
            if line.line not in said and line.box is not None:
                yield line

    def _judged(self, row: Row, corrections: tuple[Correction, ...]) -> Row:
        if self._desk is None:
            self._desk = self.job.plan.open()
        ending = Path(row.name).suffix.lower()
        ordered = tuple(sorted(corrections, key=lambda one: one.line))
        result, _ = rejudge(row.read, ordered, self._desk, ending)
        result = named_as(result, Task(row.name, ()), self.job.plan.label)
        key = key_of(row.digest, self.job, ordered)
        return replace(
            row,
            key=key,
            result=result,
            verdict=result.verdict,
            marks=award(result, self.job.scheme),
            marks_key=marks_key(key, self.job.scheme),
        )

    def _place(self, row: Row, line: LineVerdict, left: int) -> Place:
        assert row.result is not None
        around = [
            other
            for other in row.result.lines
            if 0 < abs(other.line - line.line) <= _AROUND and other.text.strip()
        ]
        others = unlike(line.text, line.alternatives)
        picture, page = self._picture(row.name, line)
        entry = self.entry(row.name)
        return Place(
            row.name, entry.shown, line, tuple(around), tuple(others), picture, page, line.box,
            left, entry,
        )  # fmt: skip

    def _picture(self, name: str, line: LineVerdict) -> tuple[Path | None, int]:
        script, page = self.scripts.get(name), line.page or 1
        if script is None or line.box is None or not script.pages:
            return None, page
        if len(script.pages) == 1:
            return script.pages[0], page
        if page > len(script.pages) or not is_picture(script.pages[page - 1]):
            return None, page
        several = script.pages[page - 1].suffix.lower() in (".pdf", ".tif", ".tiff")
        return (None if several else script.pages[page - 1]), 1


def unlike(text: str, others: Iterable[str]) -> list[str]:
    """Return the readings that differ in more than how a stroke is typed.

    >>> unlike("a − 7", ["a - 7", "a − 1", "a-1"])
    ['a − 1']
    """
    seen = {_typed(text)}
    found = []
    for other in others:
        if _typed(other) not in seen:
            seen.add(_typed(other))
            found.append(other)
    return found


def _typed(text: str) -> str:
    return "".join(text.translate(_ALIKE).split())


def now() -> str:
    """Return the time as it is kept beside a marker's word."""
    return datetime.now(UTC).isoformat(timespec="seconds")
