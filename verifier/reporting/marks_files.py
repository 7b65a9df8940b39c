"""Files of a results folder: each is replaced whole, and only where it would change."""

import hashlib
import os
import re
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

_LONGEST_NAME = 100


def write_text(path: Path, text: str) -> None:
    """Write a text file whole, and only if it would change."""
    data = text.encode("utf-8", "backslashreplace")
    try:
        if path.read_bytes() == data:
            return
    except OSError:
        pass
    with replacing(path) as place:
        place.write_bytes(data)


@contextmanager
def replacing(path: Path) -> Iterator[Path]:
    """Give a place to write to that becomes `path` once it is whole."""
    number, name = tempfile.mkstemp(prefix=".writing-", suffix=path.suffix, dir=path.parent)
    os.close(number)
    place = Path(name)
    try:
        yield place
        place.replace(path)
    finally:
        place.unlink(missing_ok=True)


def file_name(shown: str, ending: str = ".txt") -> str:
    """Return a name for a script's file that every system takes and that no other script gets.

    >>> file_name("anna.txt")
    'anna.txt.txt'
    >>> file_name("../x")[:4]
    '.._x'
    """
    safe = re.sub(r'[<>:"/\\|?*\x00-\x1f]', "_", shown)
    safe = safe.rstrip(". ") or "_"
    reserved = re.fullmatch(r"(?i)(con|prn|aux|nul|com\d|lpt\d)(\..*)?", safe)
    whole = shown.encode("utf-8", "backslashreplace")
    if safe != shown or reserved or len(whole) > _LONGEST_NAME:
        mark = hashlib.sha256(whole).hexdigest()[:8]
        cut = safe.encode("utf-8", "backslashreplace")[:_LONGEST_NAME].decode("utf-8", "ignore")
        safe = f"{cut}-{mark}"
    return safe + ending
