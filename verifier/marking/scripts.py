"""The scripts of a folder: one a file or a subfolder, its pages in natural order."""

import hashlib
import os
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from verifier.errors import FileError, UsageError
from verifier.files import PICTURES, is_picture

TEXTS = frozenset((".txt", ".work", ".md", ".tex", ""))
"""Endings of typed workings; a file without an ending is looked into."""

_CLUTTER = frozenset(("thumbs.db", "desktop.ini", "ehthumbs.db", "__macosx", "icon\r"))
_TOOLS = frozenset((".given", ".toml", ".sqlite", ".csv", ".xlsx", ".json", ".svg"))
MOST_PAGES = 200
"""Pages that one script may have."""


@dataclass(frozen=True)
class Script:
    """One script: its name in the folder and its pages as paths, in natural order.

    `strange` says why it cannot be read at all ('' if it can be tried).
    """

    name: str
    pages: tuple[Path, ...]
    strange: str = ""


def natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """Return a sort key under which 'page 2' comes before 'page 10'.

    >>> sorted(["p10", "p2", "P1"], key=natural)
    ['P1', 'p2', 'p10']
    """
    parts = re.split(r"([0-9]{1,300})", name.casefold())
    key = [(0, int(part), "") if part[:1].isdecimal() else (1, 0, part) for part in parts if part]
    return (*key, (2, 0, name))


def find_scripts(folder: Path, leave_out: tuple[Path, ...] = ()) -> tuple[Script, ...]:
    """Return a folder's scripts in natural order; `leave_out` are files and folders of our own.

    Raises `UsageError` for a folder without scripts, `FileError` for one that cannot be opened.
    """
    if not folder.is_dir():
        reason = "is not a folder" if folder.exists() else "there is no such folder"
        raise FileError(str(folder), reason, "name the folder that holds the scripts")
    ours = {path.resolve() for path in leave_out}
    found = [_script(path) for path in _entries(folder) if path.resolve() not in ours]
    scripts = _apart([script for script in found if script is not None])
    if not scripts:
        raise UsageError(f"there are no scripts in {folder}", "one a file or a subfolder")
    return scripts


def printable(name: str) -> str:
    r"""Return a file's name as text that can be written anywhere: odd bytes and controls escaped.

    >>> print(printable("a\x1bb"))
    a\x1bb
    """
    safe = name.encode("utf-8", "backslashreplace").decode("utf-8")
    return "".join(_shown(letter) for letter in safe)


def digest_of(script: Script) -> str:
    """Return the hash of a script's pages with their names, as hexadecimal; raises `OSError`."""
    whole = hashlib.sha256()
    for page in script.pages:
        name = os.fsencode(page.name)
        whole.update(b"%d:%s" % (len(name), name))
        with page.open("rb") as file:
            whole.update(hashlib.file_digest(file, "sha256").digest())
    return whole.hexdigest()


def stamp_of(script: Script) -> str:
    """Return sizes and times that change whenever a page does, cheaper than its hash."""
    stats = [page.stat() for page in script.pages]
    names = "/".join(printable(page.name) for page in script.pages)
    return f"{names}|" + ",".join(f"{s.st_size}:{s.st_mtime_ns}:{s.st_ctime_ns}" for s in stats)


def _apart(scripts: list[Script]) -> tuple[Script, ...]:
    """Give each script a name of its own, also where two names print alike."""
    seen: dict[str, int] = {}
    apart = []
    for script in scripts:
        seen[script.name] = seen.get(script.name, 0) + 1
        again = seen[script.name]
        apart.append(replace(script, name=f"{script.name} ({again})") if again > 1 else script)
    return tuple(apart)


def _entries(folder: Path) -> list[Path]:
    try:
        entries = [path for path in folder.iterdir() if not _is_clutter(path)]
    except OSError as error:
        raise FileError(str(folder), f"cannot be opened ({error.strerror})") from None
    return sorted(entries, key=lambda path: natural(path.name))


def _script(path: Path) -> Script | None:
    name = printable(path.name)
    if path.is_dir():
        try:
            pages = tuple(page for page in _pages(path) if page.suffix.lower() not in _TOOLS)
        except FileError as error:
            return Script(name, (), str(error))
        readable = tuple(page for page in pages if not _why_strange(page))
        if len(pages) > MOST_PAGES:
            return Script(name, (), f"it has more than {MOST_PAGES} pages")
        if not readable:
            return Script(name, (), "the folder holds no page that can be read")
        strange = [page for page in pages if page not in readable]
        return Script(name, pages, _why_strange(strange[0]) if strange else "")
    if path.suffix.lower() in _TOOLS:
        return None
    return Script(name, (path,), _why_strange(path))


def _pages(folder: Path, depth: int = 3) -> Iterator[Path]:
    for path in _entries(folder):
        if not path.is_dir():
            yield path
        elif depth and not path.is_symlink():
            yield from _pages(path, depth - 1)


def _why_strange(path: Path) -> str:
    ending = path.suffix.lower()
    if not path.is_file():
        return f"{printable(path.name)} is not an ordinary file"
    if ending in PICTURES or ending in TEXTS or is_picture(path):
        return ""
    return f"a {printable(ending)} file cannot be read; hand in text, LaTeX, a picture or a PDF"


def _is_clutter(path: Path) -> bool:
    return path.name.startswith((".", "~$", "_marks")) or path.name.casefold() in _CLUTTER


def _shown(letter: str) -> str:
    if letter.isprintable() or letter in "\u200c\u200d":
        return letter
    return letter.encode("unicode_escape").decode("ascii") if letter != " " else letter
