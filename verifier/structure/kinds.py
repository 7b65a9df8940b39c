"""The kinds of load and support, found by walking their folders: one file, one kind."""

import importlib
import pkgutil
from functools import cache
from types import ModuleType

from verifier.structure import loads, supports


@cache
def load_kinds() -> dict[str, ModuleType]:
    """Return the module of each kind of load by its word in the sheet.

    A module has `WORD`, `EXAMPLE` and `build(statement, draft)`, which gives a tuple of loads.
    """
    return _walk(loads)


@cache
def support_kinds() -> dict[str, ModuleType]:
    """Return the module of each kind of support by its word; `build` gives one support."""
    return _walk(supports)


def _walk(folder: ModuleType) -> dict[str, ModuleType]:
    modules = (
        importlib.import_module(f"{folder.__name__}.{found.name}")
        for found in pkgutil.iter_modules(folder.__path__)
    )
    return {module.WORD: module for module in modules}
