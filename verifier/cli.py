"""The command line: arguments in, exit status out. Each command imports its room itself."""

import os
import sys
from argparse import Namespace
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from verifier.errors import CounterpoiseError, UsageError

if TYPE_CHECKING:
    from verifier.findings import Result
    from verifier.pipeline import Sheet

Options = TypeVar("Options")
RIGHT, FAULT, UNUSABLE, OPEN = 0, 1, 2, 3
"""Exit statuses: nothing wrong, a fault, bad usage or file, undecided or unfinished."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status; whatever goes wrong is one line on stderr."""
    from verifier.arguments import parse
    from verifier.reporting.words import language_of, use

    _set_streams()
    words = list(sys.argv[1:] if argv is None else argv)
    try:
        use("en")
        use(language_of(words))
        args = parse(words)
        status = COMMANDS[args.command](args)
        sys.stdout.flush()
        return status
    except CounterpoiseError as error:
        return _complain(_told(error))
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return RIGHT
    except KeyboardInterrupt:
        return _complain(_say("stopped"), 130)
    except OSError as error:
        reason = _say((error.strerror or str(error)).lower())
        return _complain(f"{error.filename or _say('a file')}: {reason}")
    except (RecursionError, MemoryError):
        return _complain(_say("the input is nested too deeply or too large to be worked through"))
    except Exception as error:
        if os.environ.get("COUNTERPOISE_TRACEBACK"):
            raise
        what = " ".join(f"{type(error).__name__}: {error}".split())[:200]
        said = _say("a fault of the program itself ({what}); please report it", what=what)
        return _complain(said)


def _say(english: str, **fields: object) -> str:
    from verifier.reporting.words import spoken

    return spoken().text(english, **fields)


def _told(error: CounterpoiseError) -> str:
    from verifier.reporting.complaints import complaint
    from verifier.reporting.words import spoken

    return complaint(error, spoken())


def _complain(sentence: str, status: int = UNUSABLE) -> int:
    shown = "".join(char if char.isprintable() else "�" for char in " ".join(sentence.split()))
    print(f"counterpoise: {shown}", file=sys.stderr)
    return status


def _set_streams() -> None:
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")


def _help(args: Namespace) -> int:
    print(args.text)
    return RIGHT


def _check(args: Namespace) -> int:
    from verifier.pipeline import check_against

    sheets: dict[Path, Sheet] = {}
    results: list[Result] = []
    _must_go_together(args)
    failed = False
    for number, working in enumerate(args.working):
        try:
            sheet = _sheet_for(working, args, sheets)
            result = check_against(
                sheet,
                working,
                strict_rounding=args.strict_rounding,
                confirmed=args.confirmed,
            )
        except CounterpoiseError as error:
            _complain(_told(error))
            failed = True
            continue
        results.append(result)
        _show(result, args, first=number == 0)
        for file in _hand_on(result, sheet, working, args):
            if not args.json:
                print(f"\n{_say('{file} is written.', file=file)}")
    return exit_status(results, failed=failed)


def _must_go_together(args: Namespace) -> None:
    """Raise `UsageError` for options without what they belong to, a sheet given as a working."""
    from verifier.reporting.places import must_be_writable

    if len(args.working) > 1 and (args.page or args.ink or args.record):
        raise UsageError("--page, --ink and --record take one working at a time")
    if (args.hints or args.solution) and not args.page:
        raise UsageError("--hints and --solution are for a page", "name it with --page FILE")
    people = (args.reference, args.revision, args.calculated_by, args.checked_by, args.date)
    if any(people) and not args.record:
        raise UsageError(
            "--reference, --revision, --calculated-by, --checked-by and --date are for a record",
            "name it with --record FILE",
        )
    for sheet in (one for one in args.working if one.suffix.lower() == ".given"):
        others = " ".join(str(one) for one in args.working if one != sheet)
        meant = f"check {others} --given {sheet}" if others else f"solve {sheet}"
        said = f"{sheet} is a sheet of givens, not a working"
        raise UsageError(said, f"did you mean: counterpoise {meant}")
    must_be_writable(args.page, args.ink, args.record, inputs=(*args.working, args.given))


def exit_status(results: "Sequence[Result]", *, failed: bool = False) -> int:
    """Return the status of several workings: a fault outweighs the rest."""
    verdicts = {result.verdict for result in results}
    if "fault" in verdicts:
        return FAULT
    if failed:
        return UNUSABLE
    return OPEN if verdicts & {"unfinished", "undecided"} else RIGHT


def _sheet_for(working: Path, args: Namespace, sheets: "dict[Path, Sheet]") -> "Sheet | None":
    from verifier.files import must_exist, sheet_beside
    from verifier.pipeline import open_sheet

    must_exist(working)
    if args.alone:
        return None
    given = must_exist(args.given) if args.given else sheet_beside(working)
    if given not in sheets:
        sheets[given] = open_sheet(given)
    return sheets[given]


def _show(result: "Result", args: Namespace, *, first: bool) -> None:
    if args.json:
        from verifier.reporting.jsonlines import write_result

        write_result(result, sys.stdout)
        return
    from verifier.reporting.colours import console
    from verifier.reporting.terminal import report

    if not first:
        print()
    report(result, console(), full=args.full, language=args.language)


def _hand_on(
    result: "Result", sheet: "Sheet | None", working: Path, args: Namespace
) -> tuple[Path, ...]:
    if not (args.page or args.ink or args.record):
        return ()
    from verifier.reporting.outputs import Wanted, hand_on
    from verifier.reporting.record import Particulars
    from verifier.statics.solution import Solution

    solution = sheet.solution if sheet and isinstance(sheet.solution, Solution) else None
    particulars = _filled(Particulars, args)
    wanted = _filled(Wanted, Namespace(**vars(args), particulars=particulars))
    return hand_on(result, working, sheet.structure if sheet else None, solution, wanted)


def _solve(args: Namespace) -> int:
    from verifier.errors import FileError
    from verifier.files import must_exist
    from verifier.pipeline import open_sheet, why_not
    from verifier.statics.solution import NoSolution

    sheet = open_sheet(must_exist(args.sheet))
    solution = sheet.solution
    if isinstance(solution, NoSolution):
        raise FileError(sheet.label, why_not(solution))
    from verifier.statics.answers import answers

    asked, steps = answers(sheet.structure, solution), solution.steps()
    if args.json:
        from verifier.reporting.jsonlines import json_line
        from verifier.reporting.solved import solution_json

        made = solution_json(sheet.label, sheet.structure, asked, steps, solution.notes)
        print(json_line(made))
        return RIGHT
    from verifier.reporting.colours import console
    from verifier.reporting.solved import report_solution

    report_solution(
        sheet.label, sheet.structure, asked, steps, console(),
        notes=solution.notes, language=args.language,
    )  # fmt: skip
    return RIGHT


def _read(args: Namespace) -> int:
    from verifier.files import must_exist
    from verifier.notation.tree import Names
    from verifier.pipeline import open_sheet, read
    from verifier.reading import as_text
    from verifier.reporting.words import spoken

    names = open_sheet(must_exist(args.given)).names if args.given else Names()
    for picture in args.picture:
        reading = read(must_exist(picture), names)
        for note in reading.notes:
            _complain(spoken().message(note))
        print(as_text(reading), end="")
    return RIGHT


def _faults(args: Namespace) -> int:
    from verifier.checking.faults import kinds
    from verifier.reporting.colours import console
    from verifier.reporting.kinds import report_kind, report_kinds

    if args.kind:
        report_kind(kinds(), args.kind, console(), language=args.language)
    else:
        report_kinds(kinds(), console(), language=args.language)
    return RIGHT


def _filled(options: type[Options], args: Namespace) -> Options:
    names = {entry.name for entry in fields(options)}  # type: ignore[arg-type]
    return options(**{name: value for name, value in vars(args).items() if name in names})


def _mark(args: Namespace) -> int:
    from verifier.marking.commands import mark
    from verifier.marking.options import MarkOptions

    options = _filled(MarkOptions, args)
    if args.sheet.is_dir() and args.folder.is_file():
        meant = f"did you mean: counterpoise mark {args.folder} {args.sheet}"
        raise UsageError("the sheet comes first, then the folder", meant)
    return mark(args.sheet, args.folder, options)


def _confirm(args: Namespace) -> int:
    from verifier.marking.commands import confirm
    from verifier.marking.options import ConfirmOptions

    return confirm(args.folder, _filled(ConfirmOptions, args))


def _draw(args: Namespace) -> int:
    from verifier.files import must_exist
    from verifier.pipeline import open_sheet
    from verifier.reporting.bodies import body_named
    from verifier.reporting.figure import draw_png, draw_svg, draw_text
    from verifier.reporting.places import must_be_writable

    must_be_writable(args.svg, args.png, inputs=(args.sheet,))
    structure = open_sheet(must_exist(args.sheet)).structure
    body = body_named(structure, args.body, args.side) if args.body else None
    if args.svg:
        args.svg.write_text(draw_svg(structure, body), encoding="utf-8")
    if args.png:
        args.png.write_bytes(draw_png(structure, body))
    if body and not args.svg and not args.png:
        raise UsageError("a free body is drawn into a file", "name one with --svg or --png")
    if not args.svg and not args.png:
        print(draw_text(structure))
    return RIGHT


def _new(args: Namespace) -> int:
    from verifier.reporting.starting import new_sheet, write_new

    if args.file is None:
        print(new_sheet(), end="")
    else:
        write_new(args.file)
        said = "{file} is there to be filled in; then: counterpoise solve {file}"
        print(_say(said, file=args.file))
    return RIGHT


def _sample(args: Namespace) -> int:
    from verifier.reporting.starting import lay_out_sample, sample_titles

    if args.name is None:
        print("\n".join(sample_titles()))
        return RIGHT
    if args.folder is None:
        raise UsageError(
            "name a folder to put the sample in",
            f"as in: counterpoise sample {args.name} {args.name}",
        )
    for line in lay_out_sample(args.name, args.folder):
        print(line)
    return RIGHT


def _completion(args: Namespace) -> int:
    from verifier.completion import completion

    print(completion(args.shell), end="")
    return RIGHT


COMMANDS = {
    "help": _help,
    "check": _check,
    "solve": _solve,
    "read": _read,
    "mark": _mark,
    "confirm": _confirm,
    "draw": _draw,
    "faults": _faults,
    "new": _new,
    "sample": _sample,
    "completion": _completion,
}
"""Each command's function."""

if __name__ == "__main__":
    sys.exit(main())
