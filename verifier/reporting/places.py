"""Where a file is to be written: said plainly before the work where it cannot be."""

from collections.abc import Iterable
from pathlib import Path

from verifier.errors import FileError, UsageError


def must_be_writable(*paths: Path | None, inputs: Iterable[Path | None] = ()) -> None:
    """Raise `FileError` for a place in no folder or that is a folder, `UsageError` for a clash.

    A file that is read (`inputs`) is never written over, and no two outputs go to one file.
    """
    taken = {path.resolve() for path in inputs if path is not None}
    for path in paths:
        if path is None:
            continue
        if path.is_dir():
            raise FileError(str(path), "is a folder", "name a file to write")
        if not path.absolute().parent.is_dir():
            raise FileError(str(path), f"there is no folder {path.parent}", "make it first")
        if path.resolve() in taken:
            raise UsageError(f"{path} is named twice", "write to a file of its own")
        taken.add(path.resolve())
