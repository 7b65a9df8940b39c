"""Units of force and length that a sheet may name, with their factors to newtons and metres."""

from types import MappingProxyType

STANDARD_GRAVITY = 9.80665
"""Metres per second squared; makes a kilogram-force of a kilogram (ISO 80000-4)."""

SHEET_GRAVITY = "9.81"
"""What a sheet's `mass` takes for g where it has no `let g`, in m/s²."""

POUND_FORCE = 4.4482216152605
"""Newtons: the international pound times standard gravity, exact."""

FORCE = MappingProxyType(
    {
        "N": 1.0,
        "kN": 1e3,
        "MN": 1e6,
        "kgf": STANDARD_GRAVITY,
        "lbf": POUND_FORCE,
        "kip": 1e3 * POUND_FORCE,
    }
)
"""The sheet's units of force in newtons."""

LENGTH = MappingProxyType({"mm": 1e-3, "cm": 1e-2, "m": 1.0, "ft": 0.3048, "in": 0.0254})
"""The sheet's units of length in metres."""


def force_unit(word: str) -> str | None:
    """Return the force unit that a word of a sheet names, in its usual spelling, else None.

    >>> force_unit("KN")
    'kN'
    """
    return _usual(word, set(FORCE))


def length_unit(word: str) -> str | None:
    """Return the length unit that a word of a sheet names, in its usual spelling, else None."""
    return _usual(word, set(LENGTH))


def _usual(word: str, known: set[str]) -> str | None:
    if word in known:
        return word
    return next((unit for unit in known if unit.lower() == word.lower()), None)
