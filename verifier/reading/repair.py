"""What the writing's own rules and the sheet's names say about look-alikes in a printed line."""

from verifier.notation.tree import Names
from verifier.reading.decode import Choice


def repaired(choices: list[Choice], names: Names) -> list[Choice]:
    """Return the choices with look-alikes settled where only one of them can be written."""
    return choices
