"""The commands and their options, and what is said to a misspelt one."""

import difflib
import re
from argparse import (
    SUPPRESS,
    ArgumentParser,
    ArgumentTypeError,
    Namespace,
    RawDescriptionHelpFormatter,
)
from pathlib import Path
from typing import Any, NoReturn

from verifier import __version__
from verifier.errors import UsageError
from verifier.reporting.words import languages, spoken

FIRST_WORDS = """\
Counterpoise checks statics worked by hand and shows where it first goes wrong.

  counterpoise sample slip-hoist try      lay out a sample in the folder try
  counterpoise check WORKING              check a working (text, LaTeX, photo)
                                          against the .given sheet beside it
  counterpoise new my.given               start a sheet of givens of your own
  counterpoise solve my.given             the independent solution of a sheet
  counterpoise faults                     what kinds of fault there are
  counterpoise --help                     every command; each has its own --help"""


_SLIPS = (
    (r"the following arguments are required: (.+)", "{} is missing"),
    (r"argument (\S+): expected (?:one|at least one) argument", "{} needs a word after it"),
    (r"argument (\S+): expected (\d+) arguments", "{} needs {} words after it"),
    (r"argument (\S+): invalid choice: (.+?) \(choose from (.+)\)", "{}: {} is none of {}"),
    (r"argument (\S+): invalid (?:int|float) value: (.+)", "{}: {} is no number"),
    (r"argument (\S+): not allowed with argument (\S+)", "{} and {} exclude each other"),
    (r"argument (\S+): ignored explicit argument (.+)", "{} takes no value such as {}"),
    (r"argument (\S+): (.+)", "{}: {}"),
)
"""What the parser of arguments says, and what we say instead."""


class _Formatter(RawDescriptionHelpFormatter):
    def add_usage(self, usage: Any, actions: Any, groups: Any, prefix: str | None = None) -> None:
        begun = spoken().text("usage: ") if prefix is None else prefix
        super().add_usage(usage, actions, groups, begun)


class _Parser(ArgumentParser):
    def __init__(self, *args: Any, **settings: Any) -> None:
        plain = {"allow_abbrev": False, "add_help": False, "formatter_class": _Formatter}
        super().__init__(*args, **{**plain, **settings})
        tell = spoken().text
        self._positionals.title, self._optionals.title = tell("what it takes"), tell("options")
        self.add_argument("-h", "--help", action="help", help=tell("show this and leave"))

    def add_argument(self, *names: Any, **settings: Any) -> Any:
        """Add an argument; its help is told in the language spoken."""
        if settings.get("help") not in (None, SUPPRESS):
            settings["help"] = spoken().message(settings["help"])
        return super().add_argument(*names, **settings)

    def error(self, message: str) -> NoReturn:
        raise UsageError(_slip(message), f"see {self.prog} --help")


def _slip(message: str) -> str:
    for pattern, said in _SLIPS:
        match = re.fullmatch(pattern, message, re.DOTALL)
        if match:
            return said.format(
                *(re.sub(r"'([\w-]+)'(?=,|$)", r"\1", one) for one in match.groups())
            )
    return message


def parse(argv: list[str]) -> Namespace:
    """Return the command and its options; raises `UsageError` with a near word for a wrong one."""
    if not argv:
        return _first_words()
    parser, commands = build()
    _must_be_known(argv, commands)
    args, left = parser.parse_known_args(argv)
    if left:
        raise UsageError(*_unknown(left[0], args.command, commands))
    if args.command is None:
        return _first_words()
    return args


def _first_words() -> Namespace:
    said = [spoken().text(line) for line in FIRST_WORDS.split("\n")]
    return Namespace(command="help", text="\n".join(said))


def _must_be_known(argv: list[str], commands: dict[str, ArgumentParser]) -> None:
    at = 2 if argv[0] == "--language" else 1 if argv[0].startswith("--language=") else 0
    word = argv[at] if at < len(argv) else ""
    if word.startswith("-") and word not in ("-h", *_TOP):
        raise UsageError(*_unknown(word, None, commands))
    if not word or word.startswith("-") or word in commands:
        return
    near = difflib.get_close_matches(word.lower(), list(commands), 1, 0.5)
    if word == "help":
        about = next((other for other in argv[at + 1 :] if other in commands), "")
        remedy = f"did you mean counterpoise {about} --help".replace("  ", " ")
    elif Path(word).suffix and not near:
        remedy = f"did you mean: counterpoise check {word}"
    elif near:
        remedy = f"did you mean {near[0]}"
    else:
        remedy = f"there are {', '.join(commands)}"
    raise UsageError(f"there is no command {word!r}", remedy)


def _unknown(
    word: str, command: str | None, commands: dict[str, ArgumentParser]
) -> tuple[str, str]:
    known = options_of(commands[command]) if command in commands else _TOP
    long = [name for name in known if name.startswith("--")]
    near = difflib.get_close_matches(word.split("=")[0], long, 1, 0.5)
    where = f"counterpoise {command}" if command else "counterpoise"
    if not word.startswith("-"):
        return f"{where} takes no further word {word!r}", f"see {where} --help"
    return (
        f"{where} has no option {word!r}",
        f"did you mean {near[0]}" if near else f"see {where} --help",
    )


_TOP = ["--help", "--version", "--language"]


def build() -> tuple[ArgumentParser, dict[str, ArgumentParser]]:
    """Return the parser and that of each command, by name."""
    tell = spoken().text
    parser = _Parser(
        prog="counterpoise",
        description=tell(
            "A second pen for statics by hand: where does the working first go wrong?"
        ),
        epilog=tell(
            "Exit status: 0 right, 1 a fault, 2 bad usage or file, 3 undecided or unfinished."
        ),
    )
    parser.add_argument(
        "--version",
        action="version",
        version=f"counterpoise {__version__}",
        help="show the version and leave",
    )
    _add_language(parser)
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", title=tell("commands"))
    made: dict[str, ArgumentParser] = {}

    def command(name: str, does: str) -> ArgumentParser:
        made[name] = commands.add_parser(name, help=tell(does), description=tell(does))
        return made[name]

    _add_check(command("check", "check workings and show where each first goes wrong"))
    solve = command("solve", "the independent solution of a sheet, with its equations")
    solve.add_argument("sheet", metavar="SHEET", type=Path, help="a .given file")
    _add_json(solve)
    read = command("read", "a picture's reading alone, as text that check takes")
    read.add_argument("picture", metavar="PICTURE", type=Path, nargs="+", help="a photo or PDF")
    read.add_argument("--given", metavar="SHEET", type=Path, help="whose names to expect")
    faults = command("faults", "what each kind of fault is, with worked examples")
    faults.add_argument("kind", metavar="KIND", nargs="?", help="one kind, such as lever-arm")
    new = command("new", "a commented sheet to start from")
    new.add_argument("file", metavar="FILE", type=Path, nargs="?", help="printed if left out")
    sample = command("sample", "a sample to play with")
    sample.add_argument("name", metavar="NAME", nargs="?", help="the list if left out")
    sample.add_argument("folder", metavar="FOLDER", type=Path, nargs="?", help="a new folder")
    shells = command("completion", "a script with which a shell completes these commands")
    shells.add_argument(
        "shell", metavar="SHELL", choices=("bash", "zsh", "fish"), help="bash, zsh or fish"
    )
    _add_mark(command("mark", "mark many scripts: one a file or a subfolder"))
    _add_confirm(command("confirm", "after a bulk run: settle the doubtful lines"))
    _add_draw(command("draw", "the figure as given, to hold beside the paper"))
    for each in made.values():
        _add_language(each)
    return parser, made


def _add_language(parser: ArgumentParser) -> None:
    codes = ", ".join(languages())
    parser.add_argument(
        "--language", metavar="CODE", default=spoken().code, help=f"the language to speak: {codes}"
    )


def _add_check(check: ArgumentParser) -> None:
    check.add_argument(
        "working", metavar="WORKING", type=Path, nargs="+", help="text, LaTeX, picture or PDF"
    )
    tell = spoken().text
    beside = tell("the sheet, if not the one beside the working")
    sheet = check.add_mutually_exclusive_group()
    sheet.add_argument("--given", metavar="SHEET", type=Path, help=beside)
    itself = tell("check it against itself, no sheet")
    sheet.add_argument("--alone", action="store_true", help=itself)
    check.add_argument("--full", action="store_true", help="show every line")
    check.add_argument(
        "--strict-rounding", action="store_true", help="early rounding counts as a fault"
    )
    check.add_argument(
        "--confirmed",
        metavar="LINES",
        type=_numbers,
        default=frozenset(),
        help="lines of a photo whose shown reading you confirm, as 4,7",
    )
    _add_json(check)
    ending = tell("FILE ends in .html or .pdf")
    page = check.add_argument_group(tell("for handing back"), ending).add_argument
    page("--page", metavar="FILE", type=_page, help=tell("the student's page"))
    page("--hints", action="store_true", help=tell("with hints on how to go on"))
    page("--solution", action="store_true", help=tell("with the whole solution"))
    page("--ink", metavar="FILE.png", type=_png, help=tell("the photo with ink on it"))
    record = check.add_argument_group(tell("for a project's file"), ending).add_argument
    record("--record", metavar="FILE", type=_page, help=tell("the record of the check"))
    record("--reference", metavar="TEXT", default="", help=tell("the calculation's number"))
    record("--revision", metavar="TEXT", default="", help=tell("its revision"))
    record("--calculated-by", metavar="NAME", default="", help=tell("who calculated"))
    record("--checked-by", metavar="NAME", default="", help=tell("who checked"))
    record("--date", metavar="TEXT", default="", help=tell("the date of the check"))


def _ending(text: str, *endings: str) -> Path:
    if Path(text).suffix.lower() not in endings:
        wanted = " or ".join(one for one in endings if one != ".htm")
        raise ArgumentTypeError(f"{text!r} does not end in {wanted}")
    return Path(text)


def _page(text: str) -> Path:
    return _ending(text, ".html", ".htm", ".pdf")


def _png(text: str) -> Path:
    return _ending(text, ".png")


def _svg(text: str) -> Path:
    return _ending(text, ".svg")


def _count(text: str) -> int:
    if not text.isdecimal() or len(text) > 6:
        raise ArgumentTypeError(f"{text!r} is no number from 0 on")
    return int(text)


def _seconds(text: str) -> float:
    try:
        number = float(text)
    except ValueError:
        number = 0.0
    if not 0 < number < 1e6:
        raise ArgumentTypeError(f"{text!r} is no number of seconds")
    return number


def _numbers(text: str) -> frozenset[int]:
    try:
        return frozenset(int(number) for number in text.replace(",", " ").split())
    except ValueError:
        raise ArgumentTypeError(f"{text!r} is no list of line numbers such as 4,7") from None


def _add_mark(mark: ArgumentParser) -> None:
    mark.add_argument("sheet", metavar="SHEET", type=Path, help="a .given file")
    mark.add_argument("folder", metavar="FOLDER", type=Path, help="one script a file or subfolder")
    add = mark.add_argument
    add("--results", metavar="DIR", type=Path, help="where the results go, if not in FOLDER/_marks")
    add("--scheme", metavar="FILE", type=Path, help="how marks are given")
    add("--workers", metavar="N", type=_count, default=0, help="processes; one a core if left out")
    add("--cluster", metavar="ADDRESS", default="", help="share the work among machines")
    add("--seconds", metavar="S", type=_seconds, default=120.0, help="the most for one script")
    add("--megabytes", metavar="M", type=_count, default=600, help="the most memory for one script")
    add("--again", action="store_true", help="check every script afresh")
    add("--candidates", metavar="FILE", type=Path, help="a table of candidates")
    add("--anonymous", action="store_true", help="numbers in place of names")
    add("--by", metavar="NAME", default="", help="whose decisions these are")
    add(
        "--override",
        nargs=4,
        action="append",
        default=[],
        metavar=("SCRIPT", "ITEM", "MARKS", "WHY"),
        help="a marker's decision over the tool's",
    )
    add("--overrides", metavar="FILE", type=Path, help="a table of such decisions")
    add("--moderate", metavar="FILE", type=Path, help="compare with a second marker's table")
    add("--forget", metavar="NAME", action="append", default=[], help="erase a candidate's data")
    add("--strict-rounding", action="store_true", help="early rounding counts as a fault")
    add("--plain", action="store_true", help="no spreadsheet, plain tables alone")
    add("--quiet", action="store_true", help="no progress")


def _add_confirm(confirm: ArgumentParser) -> None:
    confirm.add_argument("folder", metavar="FOLDER", type=Path, help="the folder that was marked")
    confirm.add_argument("--results", metavar="DIR", type=Path, help="where its results lie")
    confirm.add_argument("--by", metavar="NAME", default="", help="who confirms")
    confirm.add_argument(
        "--all", dest="every", action="store_true", help="every line that may be misread"
    )
    confirm.add_argument("--plain", action="store_true", help="no spreadsheet")


def _add_draw(draw: ArgumentParser) -> None:
    draw.add_argument("sheet", metavar="SHEET", type=Path, help="a .given file")
    draw.add_argument("--svg", metavar="FILE", type=_svg, help="write it as SVG")
    draw.add_argument("--png", metavar="FILE", type=_png, help="write it as PNG")
    draw.add_argument(
        "--body", metavar="NAME", help="a free body: a joint, a body, whole, or a cut as P-Q,Q-R"
    )
    sides = ("left", "right", "lower", "upper")
    draw.add_argument(
        "--side", metavar="SIDE", choices=sides, default="", help="which part of a cut: left, "
        "right, lower or upper",
    )  # fmt: skip


def _add_json(parser: ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="one JSON object a line")


def options_of(parser: ArgumentParser) -> list[str]:
    """Return the names of a command's options."""
    return [
        name
        for action in parser._actions
        if action.help is not SUPPRESS
        for name in action.option_strings
    ]
