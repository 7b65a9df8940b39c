"""What a first use starts from: a commented sheet, and the samples that are shipped."""

import difflib
import shutil
from pathlib import Path

from verifier.errors import FileError, UsageError
from verifier.reporting.places import must_be_writable
from verifier.reporting.words import spoken
from verifier.structure import new_sheet as english_sheet

_PACKAGE = Path(__file__).resolve().parent.parent
_NOT_FOR_USERS = frozenset({".py", ".pyc"})


def new_sheet() -> str:
    """Return the commented sheet, its comments in the language spoken."""
    say = spoken()
    lines = []
    for line in english_sheet().split("\n"):
        code, mark, comment = line.partition("  # ")
        lines.append(code + mark + say.text(comment) if mark else say.text(line))
    return "\n".join(lines)


def write_new(path: Path) -> None:
    """Write the commented sheet; raises `FileError` rather than write over a file."""
    must_be_writable(None if path.exists() else path)
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(new_sheet())
    except FileExistsError:
        raise FileError(str(path), "is there already", "choose another name") from None


def samples_folder() -> Path:
    """Return the folder of the samples: inside the package (a wheel) or beside it."""
    inside = _PACKAGE / "samples"
    return inside if inside.is_dir() else _PACKAGE.parent / "samples"


def sample_names() -> tuple[str, ...]:
    """Return the names of the samples that are there."""
    try:
        entries = sorted(samples_folder().iterdir())
    except OSError:
        return ()
    return tuple(entry.name for entry in entries if entry.is_dir() and any(entry.glob("*.given")))


def sample_titles() -> tuple[str, ...]:
    """Return a row for each sample: its name and its sheet's title."""
    names = sample_names()
    width = max(map(len, names), default=0) + 2
    return tuple(f"{name:<{width}}{_title(samples_folder() / name)}".rstrip() for name in names)


def _title(folder: Path) -> str:
    for sheet in sorted(folder.glob("*.given")):
        for line in sheet.read_text(encoding="utf-8").splitlines():
            if line.lower().startswith("title"):
                return line[len("title") :].strip()
    return ""


def lay_out_sample(name: str, folder: Path) -> tuple[str, ...]:
    """Copy a sample into a folder that is new or empty and return what to try there.

    Raises `UsageError` for a sample that there is not, `FileError` for a folder in use.
    """
    names = sample_names()
    if name not in names:
        near = difflib.get_close_matches(name, names, 1, 0.4)
        remedy = f"did you mean {near[0]}" if near else f"there are {', '.join(names)}"
        raise UsageError(f"there is no sample {name!r}", remedy)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise FileError(str(folder), "is there already and not an empty folder")
    folder.mkdir(parents=True, exist_ok=True)
    copied = []
    for file in sorted((samples_folder() / name).iterdir()):
        if file.is_file() and file.suffix not in _NOT_FOR_USERS:
            shutil.copyfile(file, folder / file.name)
            copied.append(file.name)
    workings = [one for one in copied if not one.endswith((".given", ".md", ".json"))]
    say = spoken()
    return (
        say.text("{folder} now holds {files}.", folder=folder, files=", ".join(copied)),
        say.text("Try:"),
        *(f"  counterpoise check {folder / working}" for working in workings),
    )
