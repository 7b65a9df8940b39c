"""Fault kinds: ONE FILE A KIND, found by walking this folder.

Each file defines `KIND`, a `FaultKind`. Reports, JSON names, the `faults` command and the
plant-then-find tests all come from there.
"""

from functools import cache
from importlib import import_module
from pkgutil import iter_modules

from verifier.checking.faults.base import Example, Explanation, FaultKind, Pair, Plant

__all__ = ["Example", "Explanation", "FaultKind", "Pair", "Plant", "kinds"]

_ORDER = (
    "sign", "lever-arm", "component", "angle", "magnitude", "missing-force", "extra-force",
    "geometry", "arithmetic", "algebra", "unit", "sense", "inconsistent", "rounding",
)  # fmt: skip


@cache
def kinds() -> tuple[FaultKind, ...]:
    """Return every fault kind, in the order in which design and reports list them."""
    found = [
        import_module(f"{__name__}.{entry.name}").KIND
        for entry in iter_modules(__path__)
        if entry.name != "base"
    ]
    return tuple(sorted(found, key=lambda kind: _ORDER.index(kind.kind)))
