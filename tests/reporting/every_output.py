"""Build a sample of every output into a folder: python tests/reporting/every_output.py FOLDER.

Takes the boathouse's samples, a photographed one among them where there is one, and writes what
each command gives: terminal reports, JSON, pages, records, ink, figures.
"""

import io
import sys
from collections.abc import Iterator
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path

from verifier.cli import main
from verifier.reporting.pdf import browser

SAMPLES = Path(__file__).resolve().parent.parent.parent / "samples"
PHOTOS = ("faulty.jpg", "faulty-hand.jpg")


def said(*argv: object) -> str:
    """Return what a command says on its standard output and, after it, on standard error."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        status = main([str(word) for word in argv])
    return f"{out.getvalue()}{err.getvalue()}[exit status {status}]\n"


def reports(folder: Path) -> Iterator[tuple[str, tuple[object, ...]]]:
    """Yield the name of each text output and the command that gives it."""
    hoist = SAMPLES / "slip-hoist"
    sheet = hoist / "slip-hoist.given"
    yield "first-words", ()
    yield "faulty", ("check", hoist / "faulty.txt")
    yield "faulty-full", ("check", hoist / "faulty.txt", "--full")
    yield "faulty-german", ("check", hoist / "faulty.txt", "--language", "de")
    yield "faulty-alone", ("check", hoist / "faulty.txt", "--alone")
    yield "right", ("check", hoist / "right.txt")
    yield "json", ("check", "--json", hoist / "faulty.txt", hoist / "right.txt")
    yield "solution", ("solve", sheet)
    yield "solution-json", ("solve", "--json", sheet)
    yield "figure", ("draw", sheet)
    yield "faults", ("faults",)
    yield "fault-lever-arm", ("faults", "lever-arm")
    yield "new-sheet", ("new",)
    yield "misspelt", ("chekc", "x.txt")
    for number, picture in enumerate(pictures(), 1):
        yield f"photo-{number}-read", ("read", picture)
        ink = folder / f"photo-{number}-ink.png"
        page = folder / f"photo-{number}.html"
        yield f"photo-{number}", ("check", picture, "--ink", ink, "--page", page)


def pictures() -> list[Path]:
    """Return photographed workings of the hoist: a printed page and a handwritten one."""
    hoist = SAMPLES / "slip-hoist"
    return [file for name in PHOTOS if (file := hoist / name).is_file()]


def pages(folder: Path) -> Iterator[tuple[object, ...]]:
    """Yield the commands that write pages, records and drawings."""
    hoist = SAMPLES / "slip-hoist"
    sheet = hoist / "slip-hoist.given"
    people = ("--reference", "BH-7", "--revision", "B", "--calculated-by", "R. Ower",
              "--checked-by", "C. Ox", "--date", "2031-05-02")  # fmt: skip
    for kind in ("html", "pdf") if browser() else ("html",):
        for name in ("faulty", "right"):
            working = hoist / f"{name}.txt"
            page, record = folder / f"page-{name}.{kind}", folder / f"record-{name}.{kind}"
            yield ("check", working, "--page", page, "--record", record, *people)
        german = (folder / f"page-german.{kind}", folder / f"record-german.{kind}")
        yield ("check", hoist / "faulty.txt", "--language", "de",
               "--page", german[0], "--record", german[1])  # fmt: skip
        whole = folder / f"page-solution.{kind}"
        yield ("check", hoist / "faulty.txt", "--page", whole, "--hints", "--solution")
    yield ("draw", sheet, "--svg", folder / "figure.svg", "--png", folder / "figure.png")
    yield ("draw", sheet, "--body", "B", "--svg", folder / "joint-B.svg")


def build(folder: Path) -> list[Path]:
    """Write every output into a folder and return the files."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, argv in reports(folder):
        (folder / f"{name}.txt").write_text(said(*argv), encoding="utf-8")
    for argv in pages(folder):
        said(*argv)
    return sorted(folder.iterdir())


if __name__ == "__main__":
    for written in build(Path(sys.argv[1] if len(sys.argv) > 1 else "outputs")):
        print(written)
