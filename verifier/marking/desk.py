"""What a marking run needs of the rooms to its right, asked for by name.

`marking` stands before `reporting` and `pipeline` in the flow and imports neither. A run is told
the name of a function that opens a desk; worker processes, also on other machines, can find it by
that name, and a test can name its own.
"""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from importlib import import_module
from pathlib import Path
from typing import Any

from verifier.findings import Result
from verifier.reading.lines import Reading
from verifier.structure.model import Structure

DESK = "verifier.marking.desk:open_desk"
"""The desk that the product uses."""


@dataclass(frozen=True)
class Desk:
    """A sheet made ready for any number of scripts.

    `check` takes a working's path, its text, or a reading; `read` a picture. Either raises
    `CounterpoiseError` for a file that cannot be used.
    """

    structure: Structure
    check: Callable[[Path | str | Reading], Result]
    read: Callable[[Path], Reading]
    label: str = "sheet"


@dataclass(frozen=True)
class DeskPlan:
    """How a worker opens its desk: the opener's name, the sheet's text and label, and options."""

    sheet: str
    label: str
    opener: str = DESK
    options: dict[str, Any] = field(default_factory=dict)

    def open(self) -> Desk:
        """Open the desk. Raises `CounterpoiseError` for a sheet that cannot be used."""
        desk: Desk = named(self.opener)(self.sheet, **self.options)
        return replace(desk, label=self.label)


def named(reference: str) -> Any:
    """Return what 'module:name' names."""
    module, _, name = reference.partition(":")
    return getattr(import_module(module), name)


def open_desk(sheet: str, *, strict_rounding: bool = False) -> Desk:
    """Open the product's desk on a sheet's text: read and solved once."""
    pipeline = import_module("verifier.pipeline")
    ready = pipeline.open_sheet(sheet if "\n" in sheet else sheet + "\n")
    if not ready.solution:
        pipeline.check_against(ready, "\n")  # raises the reason, before any script is opened

    def check(working: Path | str | Reading) -> Result:
        result: Result = pipeline.check_against(ready, working, strict_rounding=strict_rounding)
        return result

    def read(picture: Path) -> Reading:
        reading: Reading = pipeline.read(picture, ready.names)
        return reading

    return Desk(ready.structure, check, read)
