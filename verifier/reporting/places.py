"""Where a file is to be written: said plainly before the work where it cannot be."""

from pathlib import Path

from verifier.errors import FileError


def must_be_writable(*paths: Path | None) -> None:
    """Raise `FileError` for a place in no folder, or that is a folder itself."""
    for path in paths:
        if path is None:
            continue
        if path.is_dir():
            raise FileError(str(path), "is a folder", "name a file to write")
        if not path.absolute().parent.is_dir():
            raise FileError(str(path), f"there is no folder {path.parent}", "make it first")
