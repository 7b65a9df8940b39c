"""What a first use starts from: a commented sheet, and the samples that are shipped."""

import difflib
import shutil
from pathlib import Path

from verifier.errors import FileError, UsageError

_PACKAGE = Path(__file__).resolve().parent.parent
_NOT_FOR_USERS = frozenset({".py", ".pyc"})


def commented_sheet() -> str:
    """Return a sheet that is whole and solvable, and tells its language."""
    return _SHEET


def write_new(path: Path) -> None:
    """Write the commented sheet; raises `FileError` rather than write over a file."""
    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(_SHEET)
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
    return (
        f"{folder} now holds {', '.join(copied)}.",
        "Try:",
        *(f"  counterpoise check {folder / working}" for working in workings),
    )


_SHEET = """\
# A sheet of givens: one statement a line; everything after # is a comment.
# Try it as it stands:  counterpoise solve THIS-FILE
# Then put your own figure in its place.

title   Boat rack bracket
units   kN, m                 # force: N kN MN kgf lbf kip; length: mm cm m ft in

# The points of the figure: name, x to the right, y up.
joint   A  0    0
joint   B  1.5  0
joint   C  0    1.5

# Straight bars pinned at both ends. cable A-B is one that cannot push.
member  A-B, B-C

# A rigid body through several points instead of bars:
# body    beam: A, B

# What holds it. pin: two forces; fixed: two forces and a moment;
# roller A: one force, upward unless 'at DEGREES' says otherwise.
pin     A
pin     C

# What loads it: up down left right, 'at DEGREES', 'toward K', 'away from K'.
load    B  4.2  down
# couple  B  1.1  clockwise
# distributed A-B 2.5 down           # force per length
# mass    B  35                      # kg, with g = 9.81 m/s^2

# Quantities and names of the figure, if they help:
# let     P = 4.2                    # 'let P' alone stays a letter
# angle   θ = A-B to A-C
# call    T = force B-C

# What is asked for: reactions, all members, A-B, moment at K, ...
find    reactions, A-B, B-C
"""
