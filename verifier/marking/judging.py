"""One script judged: what a worker does, whichever engine runs it."""

import os
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from verifier.errors import CounterpoiseError
from verifier.files import is_picture
from verifier.findings import Result
from verifier.marking.desk import Desk
from verifier.marking.pages import (
    Correction,
    Lines,
    as_text,
    corrected,
    is_typed,
    join_text,
    on_pages,
    read_pages,
    typed_lines,
)
from verifier.reading.lines import Reading


@dataclass(frozen=True)
class Task:
    """A script to judge: its name, its pages, and what a marker said that it says.

    `key` is the hash of all that its outcome depends on.
    """

    name: str
    pages: tuple[str, ...]
    corrections: tuple[Correction, ...] = ()
    key: str = ""
    digest: str = ""
    stamp: str = ""
    strange: str = ""


@dataclass(frozen=True)
class Outcome:
    """What became of a script: a result with the lines as read, or the reason why there is none.

    `again` says that the reason may pass, so the next run tries once more.
    """

    task: Task
    result: Result | None = None
    read: Lines = ()
    reason: str = ""
    again: bool = False
    lost: tuple[Correction, ...] = ()


def judge(task: Task, desk: Desk) -> Outcome:
    """Judge one script. Whatever goes wrong with it becomes its outcome's reason."""
    if task.strange:
        return Outcome(task, reason=task.strange)
    try:
        return _judge(task, desk)
    except CounterpoiseError as error:
        said = _plain(str(error), task)
        return Outcome(task, reason=said.removeprefix(f"{task.name}: "))
    except MemoryError:
        return Outcome(task, reason="it needs more memory than a script may have")
    except RecursionError:
        return Outcome(task, reason="it is nested too deeply to follow")
    except OSError as error:
        return Outcome(task, reason=_plain(f"it cannot be opened ({error})", task), again=True)
    except Exception as error:
        said = f"the checker failed on it ({type(error).__name__}: {error})"
        return Outcome(task, reason=_plain(said, task)[:500], again=True)


def rejudge(
    lines: Lines, corrections: Sequence[Correction], desk: Desk, ending: str = ""
) -> tuple[Result, tuple[Correction, ...]]:
    """Judge lines once more with a marker's corrections in them; `ending` is the file's.

    Returns the result and the corrections that no longer fit a line. Raises `CounterpoiseError`.
    """
    now, lost = corrected(lines, corrections)
    if not is_typed(now):
        return desk.check(Reading("working", now)), lost
    pages = tuple(line.page or 1 for line in now)
    return on_pages(_check_text(as_text(now), desk, ending), pages), lost


def _judge(task: Task, desk: Desk) -> Outcome:
    pages = [Path(page) for page in task.pages]
    result, read = _first(pages, desk)
    lost: tuple[Correction, ...] = ()
    if task.corrections:
        result, lost = rejudge(read, task.corrections, desk, _ending(pages))
    return Outcome(task, named_as(result, task, desk.label), read, lost=lost)


def _first(pages: Sequence[Path], desk: Desk) -> tuple[Result, Lines]:
    """Judge pages as they are."""
    if any(is_picture(page) for page in pages):
        read, notes = read_pages(pages, desk)
        result = desk.check(Reading("working", read))
        return replace(result, notes=(*result.notes, *notes)), read
    if len(pages) == 1:
        result = desk.check(pages[0])
    else:
        text, notes, numbers = join_text(pages)
        result = on_pages(_check_text(text, desk, _ending(pages)), numbers)
        result = replace(result, notes=(*result.notes, *notes))
    return result, typed_lines(result.lines)


def _ending(pages: Sequence[Path]) -> str:
    return ".tex" if all(page.suffix.lower() == ".tex" for page in pages) else ""


def _check_text(text: str, desk: Desk, ending: str) -> Result:
    if ending != ".tex":
        return desk.check(text)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder, "working.tex")
        path.write_text(text, encoding="utf-8")
        return desk.check(path)


def named_as(result: Result, task: Task, sheet: str) -> Result:
    """Return a result that names script and sheet as the folder does, free of paths."""
    notes = tuple(_plain(note, task) for note in result.notes)
    return replace(result, working=task.name, given=sheet, notes=notes)


def _plain(text: str, task: Task) -> str:
    """Say a page by its name alone, so that an outcome is the same wherever its file lay."""
    for page in task.pages:
        text = text.replace(page, os.path.basename(page))
        text = text.replace(os.path.dirname(page) + os.sep, "")
    return "".join(letter if letter.isprintable() else "�" for letter in text)
