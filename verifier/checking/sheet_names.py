"""The names that a sheet lets a working use: plain strings, no values."""

from verifier.notation.tree import Names
from verifier.structure.model import Structure


def names_of(structure: Structure) -> Names:
    """Return the names that a working on this structure may use."""
    letters = {*structure.lets, *structure.letters, *structure.angles, *structure.calls}
    return Names(
        joints=frozenset(structure.joints),
        bodies=frozenset(body.name for body in structure.bodies),
        members=frozenset((member.start, member.end) for member in structure.members),
        letters=frozenset(letters),
        units=(structure.force_unit, structure.length_unit),
    )
