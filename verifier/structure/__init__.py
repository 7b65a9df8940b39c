"""What is given: joints, members, bodies, supports and loads, read from a sheet."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from verifier.structure.model import Structure


def read_sheet(text: str, path: str = "sheet") -> "Structure":
    """Read a givens sheet; see `verifier.structure.sheet.read_sheet`."""
    from verifier.structure.sheet import read_sheet as read

    return read(text, path)


def new_sheet() -> str:
    """Return a commented sheet to start from, itself valid."""
    from verifier.structure.starter import STARTER

    return STARTER
