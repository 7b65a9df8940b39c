"""What a marking run may be told; the command line's options of the same names fill these."""

import os
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

RESULTS = "_marks"
"""The folder inside the scripts' folder that holds the ledger and the outputs."""

MEGABYTE = 1 << 20


@dataclass(frozen=True)
class Override:
    """A marker's decision over the tool's: `item` gets `marks`, or the whole script if it is ''.

    `part` is 'method', 'answer' or '' (the item as a whole). `marks` None takes an earlier
    decision back. `script` is its name in the folder or its candidate number.
    """

    script: str
    item: str
    part: str
    marks: float | None
    who: str
    why: str
    when: str = ""


@dataclass(frozen=True)
class MarkOptions:
    """The options of `counterpoise mark SHEET FOLDER`, each named as on the command line.

    `--results DIR`, `--scheme FILE`, `--workers N` (0: one a core), `--cluster ADDRESS`,
    `--seconds S` and `--megabytes M` (the most that one script may take), `--again` (check
    everything afresh), `--candidates FILE` and `--anonymous` (numbers for names), `--by NAME`
    (whose decisions these are), `--override SCRIPT ITEM MARKS WHY` and `--overrides FILE`,
    `--moderate FILE`, `--forget NAME`, `--strict-rounding`, `--plain` (no XLSX), `--quiet`.
    `override` holds those four words for each decision; MARKS `-` takes an earlier one back.
    """

    results: Path | None = None
    scheme: Path | None = None
    workers: int = 0
    cluster: str = ""
    seconds: float = 120.0
    megabytes: int = 600
    again: bool = False
    candidates: Path | None = None
    anonymous: bool = False
    by: str = ""
    override: Sequence[Sequence[str]] = ()
    overrides: Path | None = None
    moderate: Path | None = None
    forget: Sequence[str] = ()
    strict_rounding: bool = False
    plain: bool = False
    quiet: bool = False

    @property
    def cores(self) -> int:
        """How many worker processes to use."""
        return self.workers if self.workers > 0 else len(_usable_cores())


@dataclass(frozen=True)
class ConfirmOptions:
    """The options of `counterpoise confirm FOLDER`.

    `--results DIR`, `--by NAME`, `--all` (every line that may be misread, not only those that may
    decide marks), `--plain` (no XLSX).
    """

    results: Path | None = None
    by: str = ""
    every: bool = False
    plain: bool = False


def results_of(folder: Path, chosen: Path | None) -> Path:
    """Return where a folder's results lie: as chosen, in the folder itself, or in `_marks`."""
    if chosen is not None:
        return chosen
    return folder if (folder / "ledger.sqlite").is_file() else folder / RESULTS


def _usable_cores() -> range:
    try:
        return range(len(os.sched_getaffinity(0)))
    except AttributeError:  # not on every system
        return range(os.cpu_count() or 1)
