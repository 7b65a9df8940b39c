"""The class as outputs see it: every script's row with its candidate's name and final marks."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from verifier.findings import Result
from verifier.marking.deciding import Final, blank, decide, in_force
from verifier.marking.ledger import Ledger, Row
from verifier.marking.options import Override
from verifier.marking.scheme import Scheme
from verifier.marking.scripts import natural


@dataclass(frozen=True)
class Entry:
    """One script as outputs show it: `shown` is its name or its candidate number.

    `final` is None where the script could not be judged and nobody decided; `reason` says why.
    `confirmed` counts lines that a marker confirmed; `stale` decisions that were made on an earlier
    version of the script.
    """

    name: str
    shown: str
    result: Result | None
    final: Final | None
    reason: str = ""
    confirmed: int = 0
    stale: int = 0
    out_of: float = 0.0

    @property
    def total(self) -> float | None:
        """The marks that count, None where there are none."""
        return self.final.total if self.final else None

    @property
    def verdict(self) -> str:
        """The result's verdict, or 'failed'."""
        return self.result.verdict if self.result else "failed"


@dataclass(frozen=True)
class Book:
    """A whole class; `entries()` reads it from the ledger, one script in memory at a time."""

    title: str
    scheme: Scheme
    entries: Callable[[], Iterator[Entry]]
    folder: Path


def open_book(ledger: Ledger, scheme: Scheme, folder: Path) -> Book:
    """Return the class that a ledger holds, in the natural order of what is shown."""
    numbers = ledger.numbers()

    def shown(name: str) -> str:
        return numbers.get(name) or name

    present = [name for name, head in ledger.heads().items() if not head.gone]
    order = sorted(present, key=lambda name: natural(shown(name)))

    def entries() -> Iterator[Entry]:
        for name in order:
            row = ledger.row(name)
            if row is not None:
                yield entry_of(row, ledger, scheme, shown(name))

    return Book(scheme.title, scheme, entries, folder)


def entry_of(row: Row, ledger: Ledger, scheme: Scheme, shown: str) -> Entry:
    """Return one script's row as outputs see it, under the name that is shown."""
    made = ledger.overrides(row.name)
    final = _final(row, tuple(one for one, _ in made), scheme)
    standing = set(final.decided) if final else set()
    return Entry(
        name=row.name,
        shown=shown,
        result=row.result,
        final=final,
        reason=_nameless(row, shown) if shown != row.name else row.reason,
        confirmed=len(ledger.corrections(row.name, row.digest)),
        stale=sum(1 for one, digest in made if one in standing and digest != row.digest),
        out_of=scheme.out_of,
    )


def _nameless(row: Row, shown: str) -> str:
    """Say why a script failed without the names of its files, which may be a person's."""
    reason = row.reason.replace(row.name, shown)
    pages = [page for page in row.stamp.partition("|")[0].split("/") if page]
    for number, page in enumerate(pages, 1):
        reason = reason.replace(page, f"page {number}")
    return reason


def _final(row: Row, overrides: tuple[Override, ...], scheme: Scheme) -> Final | None:
    if row.marks is not None:
        return decide(row.marks, overrides, scheme)
    return decide(blank(scheme), overrides, scheme) if in_force(overrides) else None
