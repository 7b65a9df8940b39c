"""`counterpoise mark` and `counterpoise confirm`: files in, exit status out.

This module stands beside the command line, not before `reporting`: what it shows goes through
functions of that room, found by name as a desk is, so that the room `marking` imports none of it.
"""

import getpass
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

from verifier.errors import FileError, UsageError
from verifier.marking.book import open_book
from verifier.marking.confirming import Confirming, now
from verifier.marking.deciding import checked
from verifier.marking.desk import DESK, named
from verifier.marking.ledger import Ledger
from verifier.marking.moderation import Moderation, moderate_marks
from verifier.marking.options import ConfirmOptions, MarkOptions, Override, results_of
from verifier.marking.run import Job, Tally, prepare, recall, run
from verifier.marking.scripts import Script, find_scripts, natural
from verifier.marking.sheets import finder, read_hand_marks, read_numbers, read_overrides

RIGHT, FAULT, UNUSABLE, OPEN = 0, 1, 2, 3
LEDGER = "ledger.sqlite"
_WRITE = "verifier.reporting.marks:write_all"
_TERMINAL = "verifier.reporting.marks_terminal"


def mark(
    sheet: Path, folder: Path, options: MarkOptions | None = None, *, opener: str = DESK
) -> int:
    """Mark a folder's scripts against a sheet, or do what else the options ask; see `MarkOptions`.

    Returns 0 where every script is right, 1 where any has a fault, else 3 where any is open or has
    failed or the run was stopped. Raises `CounterpoiseError`.
    """
    options = options or MarkOptions()
    results = results_of(folder, options.results)
    if options.forget:
        return forget(folder, options)
    job = prepare(sheet, options, opener)
    ours = (results, sheet, *(p for p in (options.scheme, options.candidates) if p))
    scripts = find_scripts(folder, ours)
    decisions = _decisions(options)
    hand = read_hand_marks(options.moderate, job.scheme.items) if options.moderate else None
    with Ledger(results / LEDGER) as ledger, _stopping() as stopped:
        _number(ledger, scripts, options)
        with named(f"{_TERMINAL}:watching")(options.quiet) as watch:
            tally = run(job, scripts, ledger, options, watch, stopped)
        _keep(ledger, job, decisions)
        short = stopped() and tally.done < tally.total
        _write(ledger, job, results, tally, options, stopped=short)
        if hand is not None:
            _moderate(ledger, job, hand, results)
        return _status(tally, short)


def confirm(
    folder: Path,
    options: ConfirmOptions | None = None,
    *,
    ask: Callable[[str], str] = input,
) -> int:
    """Walk a marker through a folder's doubtful lines; see `ConfirmOptions`.

    Returns 0 where nothing is left to confirm, else 3. Raises `CounterpoiseError`.
    """
    options = options or ConfirmOptions()
    results = results_of(folder, options.results)
    path = _must_be_there(results)
    with Ledger(path) as ledger:
        job = recall(ledger)
        session = Confirming(ledger, job, _scripts(folder, results), who(options.by), options.every)
        strips = named("verifier.reporting.marks_strips:Strips")(results / "lines")
        done = named("verifier.reporting.marks_confirm:walk")(session, strips, ask)
        if done.changed or not done.left:
            _, _, note = _outputs(ledger, job, results, not options.plain)
            if note:
                named(f"{_TERMINAL}:say")(f"note: {note}")
        return OPEN if session.order() else RIGHT


def moderate(folder: Path, hand: Path, options: MarkOptions | None = None) -> Moderation:
    """Hold marks given by hand against those of a folder's last run, and show the table."""
    results = results_of(folder, options.results if options else None)
    with Ledger(_must_be_there(results)) as ledger:
        job = recall(ledger)
        return _moderate(ledger, job, read_hand_marks(hand, job.scheme.items), results)


def forget(folder: Path, options: MarkOptions) -> int:
    """Remove candidates' data from ledger and outputs, and keep them out from now on.

    Raises `UsageError` for a name that the ledger does not know. The scripts' own files stay.
    """
    results = results_of(folder, options.results)
    with Ledger(_must_be_there(results)) as ledger:
        job = recall(ledger)
        find = finder(ledger.heads(), ledger.numbers())
        names = [_known(name, find, results) for name in options.forget]
        for name in names:
            ledger.forget(name)
        for path in (results / "lines").glob("*"):
            path.unlink()
        _outputs(ledger, job, results, not options.plain)
        moderated = [results / f"moderation.{ending}" for ending in ("txt", "csv")]
        for path in moderated:
            path.unlink(missing_ok=True)  # it names scripts; made again on request
    kept = [name for name in names if (folder / name).exists()]
    said = f"forgotten: {len(names)}"
    if kept:
        said += f"; still in {folder}, and yours to delete: {', '.join(kept)}"
    named(f"{_TERMINAL}:say")(said)
    return RIGHT


def who(given: str) -> str:
    """Return who decides: as given, else the user's name on this machine."""
    if given:
        return given
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return ""


def _decisions(options: MarkOptions) -> list[Override]:
    by = who(options.by)
    made = read_overrides(options.overrides, by) if options.overrides else []
    for script, item, marks, why in options.override:
        try:
            number = None if marks == "-" else float(marks.replace(",", "."))
        except ValueError:
            raise UsageError(f"{marks!r} is not a number of marks", "or - to take back") from None
        if not why.strip():
            raise UsageError(f"a decision on {script} needs a reason")
        made.append(Override(script, item, "", number, by, why))
    return made


def _keep(ledger: Ledger, job: Job, decisions: list[Override]) -> None:
    heads = ledger.heads()
    find = finder(heads, ledger.numbers())
    checked_ones = []
    for one in decisions:
        name = _known(one.script, find, ledger.path.parent)
        made = replace(checked(one, job.scheme), script=name, when=now())
        before = [other for other, _ in ledger.overrides(name)]
        same = [other for other in before if (other.item, other.part) == (made.item, made.part)]
        if same and replace(same[-1], when="") == replace(made, when=""):
            continue  # the same table handed in again
        checked_ones.append(made)
    with ledger.together():
        for one in checked_ones:
            ledger.override(one, heads[one.script].digest)


def _known(name: str, find: Callable[[str], str | None], results: Path) -> str:
    script = find(name)
    if script is None:
        raise UsageError(f"no script {name!r} in {results}", "name it as marks.csv does")
    return script


def _number(ledger: Ledger, scripts: tuple[Script, ...], options: MarkOptions) -> None:
    """Give candidate numbers: from the table handed in, else in an order that tells nothing."""
    numbers = ledger.numbers()
    names = [script.name for script in scripts if not ledger.is_forgotten(script.name)]
    if options.candidates:
        find = finder(names, {})
        table = read_numbers(options.candidates)
        new = {name: number for said, number in table.items() if (name := find(said))}
        ledger.number(new)
        numbers |= new
    if not (options.anonymous or options.candidates or numbers):
        return
    taken = set(numbers.values())
    rest = sorted((n for n in names if n not in numbers), key=lambda n: sha256(n.encode()).digest())
    free = (f"{number:04}" for number in range(1, len(names) + len(taken) + 2))
    unused = (number for number in free if number not in taken)
    ledger.number(dict(zip(rest, unused, strict=False)))


def _write(
    ledger: Ledger, job: Job, results: Path, tally: Tally, options: MarkOptions, *, stopped: bool
) -> None:
    summary, ranked, note = _outputs(ledger, job, results, not options.plain)
    if not options.quiet:
        notes = (note,) if note else ()
        report = named(f"{_TERMINAL}:report_run")
        report(tally, summary, ranked, results, notes, stopped=stopped)


def _outputs(ledger: Ledger, job: Job, results: Path, xlsx: bool) -> Any:
    try:
        return named(_WRITE)(open_book(ledger, job.scheme, results), results, xlsx=xlsx)
    except OSError as error:
        place = error.filename or results
        raise FileError(str(place), f"cannot be written ({error.strerror})") from None


def _moderate(
    ledger: Ledger, job: Job, hand: dict[str, dict[str, float]], results: Path
) -> Moderation:
    numbers = ledger.numbers()
    find = finder(ledger.heads(), numbers)
    tool, mine, unknown = {}, {}, []
    for said in sorted(hand, key=natural):
        name = find(said)
        row = ledger.row(name) if name else None
        if name is None or row is None or row.marks is None:
            unknown.append(said)
            continue
        shown = numbers.get(name, name)
        tool[shown], mine[shown] = row.marks, hand[said]
    table = moderate_marks(mine, tool, job.scheme.items, unknown)
    text = named("verifier.reporting.marks_summary:moderation_text")(table)
    rows = named("verifier.reporting.marks_summary:moderation_rows")(table)
    named("verifier.reporting.marks_files:write_text")(results / "moderation.txt", text)
    named("verifier.reporting.marks_tables:write_csv")(results / "moderation.csv", rows)
    named(f"{_TERMINAL}:say")(text)
    return table


def _scripts(folder: Path, results: Path) -> tuple[Script, ...]:
    """Return the scripts whose pages can be shown; none where only the results are at hand."""
    place = folder.parent if folder == results and folder.name == "_marks" else folder
    try:
        return find_scripts(place, (results,))
    except (FileError, UsageError):
        return ()


def _must_be_there(results: Path) -> Path:
    path = results / LEDGER
    if not path.is_file():
        raise FileError(str(results), "holds no marking run", "run `counterpoise mark` first")
    return path


def _status(tally: Tally, stopped: bool) -> int:
    if tally.verdicts.get("fault"):
        return FAULT
    opened = any(tally.verdicts.get(kind) for kind in ("unfinished", "undecided", "failed"))
    return OPEN if opened or stopped else RIGHT


@contextmanager
def _stopping() -> Iterator[Callable[[], bool]]:
    """Turn the first Ctrl-C into a wish to stop; the second one interrupts as usual."""
    wish = threading.Event()
    if threading.current_thread() is not threading.main_thread():
        yield wish.is_set
        return
    before = signal.getsignal(signal.SIGINT)

    def asked(number: int, frame: Any) -> None:
        if wish.is_set():
            raise KeyboardInterrupt
        wish.set()

    signal.signal(signal.SIGINT, asked)
    try:
        yield wish.is_set
    finally:
        signal.signal(signal.SIGINT, before)
