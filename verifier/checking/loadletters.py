"""Letters that people give to loads and put in without a value: `P cos 60° = 10·0.5 = 5 kN`."""

from collections.abc import Iterator, Sequence

from verifier.checking.forms import Reader
from verifier.checking.ledger import Found
from verifier.checking.names import Local, Unknown, key_of
from verifier.checking.quantity import Quantity
from verifier.checking.written import Written
from verifier.notation.tree import Name, Relation
from verifier.structure.model import Couple

_FORCES, _FORCES_ALONE, _SPREAD, _COUPLES = "FP", "FPQWG", "qwp", "M"
"""Q, W and G may be the resultant of a spread load where there is one."""
_FIRST = ("", "0", "1")


def loads_ahead(written: Sequence[Written], reader: Reader) -> Iterator[tuple[str, Found]]:
    """Yield the own letters that are put in for the only load of their sort: `P cos 60° = 5 kN`.

    Only those that no line gives a value: what stands alone on a side is found or defined there.
    """
    sizes = _only_loads(reader)
    put_in: dict[str, Name] = {}
    given: set[str] = set()
    for one in written if sizes else ():
        for relation in (part for part in one.line.parts if isinstance(part, Relation)):
            given |= {key_of(side) for side in relation.sides if isinstance(side, Name)}
            put_in |= {key_of(name): name for name in relation.named}
    for key in sorted(put_in.keys() - given):
        letter, _, number = key.partition("_")
        size = sizes.get(letter) if number in _FIRST else None
        if size and _is_open(put_in[key], reader):
            kind = "force" if letter in _FORCES_ALONE else "plain"
            yield key, Found(Quantity(size), False, 0, None, kind)


def _is_open(name: Name, reader: Reader) -> bool:
    """Tell whether a letter may be a load's: the sheet lacks it, or has a pin at a joint P."""
    meaning = reader.meaning(name)
    pinned = len(reader.figure.reactions.get(name.text, ())) > 1 and not name.sub
    return isinstance(meaning, Local) or (pinned and isinstance(meaning, Unknown))


def _only_loads(reader: Reader) -> dict[str, float]:
    """Return the letters that people give to loads, with the size of the only load of that sort."""
    sheet = reader.figure.structure
    forces: dict[int, float] = {}
    couples: dict[int, float] = {}
    spread: dict[int, float] = {}
    for load in sheet.loads if not sheet.letters else ():
        ends = reader.figure.intensities(load)
        acts = load.resultants()[0] if not ends else None
        if isinstance(acts, Couple):
            couples[load.source] = abs(acts.moment.number({}))
        elif acts is not None:
            forces[load.source] = abs(acts.size.number({}))
        else:
            spread[load.source] = max(*ends, spread.get(load.source, 0.0))
    called = {
        _FORCES if spread else _FORCES_ALONE: forces,
        _COUPLES: couples,
        _SPREAD: spread,
    }
    only = {letters: sum(sizes.values()) for letters, sizes in called.items() if len(sizes) == 1}
    return {letter: size for letters, size in only.items() for letter in letters}
