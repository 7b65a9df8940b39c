"""What a check hands on besides the terminal: the student's page, ink on the photo, the record."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path

from verifier.errors import FileError, UsageError
from verifier.files import is_picture
from verifier.findings import Finding, Result
from verifier.reporting.page import student_page
from verifier.reporting.page_working import Drawing, Extras
from verifier.reporting.pdf import write_page
from verifier.reporting.record import Particulars, check_record
from verifier.reporting.sentences import headline, kind_name, why
from verifier.reporting.words import Words, words
from verifier.statics.solution import Solution
from verifier.structure.model import Structure

_HINTS = 6


@dataclass(frozen=True)
class Wanted:
    """Which files to write, and how; `particulars` are for the record."""

    page: Path | None = None
    ink: Path | None = None
    record: Path | None = None
    hints: bool = False
    solution: bool = False
    particulars: Particulars = field(default_factory=Particulars)
    language: str = "en"


def hand_on(
    result: Result,
    working: Path,
    structure: Structure | None,
    solution: Solution | None,
    wanted: Wanted,
) -> tuple[Path, ...]:
    """Write what is wanted and return the files written.

    Raises `UsageError` for ink without a photo or a PDF without a browser, `FileError` where a
    file cannot be written.
    """
    say = words(wanted.language)
    result = _without_folders(result)
    written: list[Path] = []
    try:
        if wanted.page is not None:
            extras = _extras(result, working, structure, solution, wanted, say)
            write_page(student_page(result, extras, language=say), wanted.page)
            written.append(wanted.page)
        if wanted.ink is not None:
            written += _ink(result, working, wanted.ink, say)
        if wanted.record is not None:
            html = _record(result, working, structure, solution, wanted, say)
            write_page(html, wanted.record)
            written.append(wanted.record)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise FileError(str(error.filename or "output"), f"cannot be written ({reason})") from None
    return tuple(written)


def _without_folders(result: Result) -> Result:
    """Return a result that names files without this machine's folders: it is handed on."""
    given = Path(result.given).name if result.given else result.given
    return replace(result, working=Path(result.working).name, given=given)


def _ink(result: Result, working: Path, to: Path, say: Words) -> tuple[Path, ...]:
    from verifier.reporting.photo import save_inked

    if not is_picture(working):
        raise UsageError(f"{working} is no photo to put ink on", "use --page FILE.html for text")
    notes = [
        f"{number}  {say('check.fault.title', line=fault.line, kind=kind_name(fault.kind, say))}. "
        + " ".join(why(fault, say))
        for number, fault in enumerate(result.faults, 1)
    ]
    return save_inked(working, result, to, notes or [headline(result, say)])


def _extras(
    result: Result,
    working: Path,
    structure: Structure | None,
    solution: Solution | None,
    wanted: Wanted,
    say: Words,
) -> Extras:
    from verifier.reporting.photo import photos

    extras = Extras(photos=photos(working) if is_picture(working) else ())
    if structure is None:
        return extras
    fault = result.first_fault
    extras = replace(
        extras,
        figure=figure_of(structure, say),
        free_body=free_body_of(structure, fault, result, say) if fault else None,
    )
    if solution is not None and wanted.hints:
        extras = replace(extras, hints=_hints(result, solution, say))
    if solution is not None and wanted.solution:
        extras = replace(extras, solution=True, steps=solution.steps())
    return extras


def _hints(result: Result, solution: Solution, say: Words) -> Sequence[str]:
    from verifier.checking.faults import kinds

    hints: list[str] = []
    fault = result.first_fault
    if fault is not None:
        hints += [say.note(kind.about) for kind in kinds() if kind.kind == fault.kind]
    sums = dict.fromkeys((say.phrase(step.free_body), step.sum) for step in solution.steps())
    hints += [
        say("page.sum", body=body, sum=say.phrase(total)) for body, total in list(sums)[:_HINTS]
    ]
    return hints


def _record(
    result: Result,
    working: Path,
    structure: Structure | None,
    solution: Solution | None,
    wanted: Wanted,
    say: Words,
) -> str:
    inputs = [(working.name, working.read_bytes())]
    if structure is not None:
        inputs.append((Path(structure.path).name, _bytes_of(structure)))
    return check_record(
        result,
        structure.title if structure else "",
        solution.steps() if solution else (),
        replace(wanted.particulars, inputs=inputs),
        figure_of(structure, say) if structure else None,
        language=say,
    )


def _bytes_of(structure: Structure) -> bytes:
    """Return the sheet's file as it lies there, or its text where it came as text."""
    path = Path(structure.path)
    return path.read_bytes() if path.is_file() else structure.source.encode()


def figure_of(structure: Structure, say: Words) -> Drawing | None:
    """Return the drawing of the figure as given."""
    from verifier.reporting.figure import draw_svg
    from verifier.reporting.figure_words import describe

    title = say("page.structure", title=structure.title or "–")
    return Drawing(draw_svg(structure), title, ". ".join(describe(structure)))


def free_body_of(
    structure: Structure, fault: Finding, result: Result, say: Words
) -> Drawing | None:
    """Return the free body that a fault's line is about, forces named as in the working."""
    from verifier.reporting.bodies import body_of, items_as_written
    from verifier.reporting.figure import scene
    from verifier.reporting.figure_question import in_question
    from verifier.reporting.figure_svg import to_svg

    body = body_of(structure, fault.where)
    if body is None:
        return None
    names = items_as_written(result.assumed)
    items, about = in_question(structure, body, fault.text, fault.where, names)
    drawn = scene(structure, body, names, items, about)
    return Drawing(to_svg(drawn), say("page.free_body", body=say.phrase(body.name)), drawn.tells)
