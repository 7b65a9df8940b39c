"""Which force of a free body a finding is about, and the point about which its arm counts."""

import re
from collections.abc import Mapping

from verifier.reporting.numbers import figure
from verifier.statics.actions import Action, FreeBody
from verifier.structure.model import Structure
from verifier.structure.names import key

_WORDS = re.compile(r"[^\W\d_]\w*(?:_\{?[\w']+\}?)?['′]?")
_NUMBERS = re.compile(r"\d+(?:[.,]\d+)?")


def in_question(
    structure: Structure, free_body: FreeBody, text: str, where: str, names: Mapping[str, str]
) -> tuple[tuple[str, ...], str | None]:
    """Return the items that a written term is about, and the joint of its moments or None.

    `text` is the term as written, `where` the finding's place and `names` how the working writes
    the unknowns. A term that is a whole sum, or names nothing on the free body, is about none.
    """
    point = re.search(r"moments about ([\w'’′]+)", where)
    known = {key(name): name for name in structure.joints}
    about = known.get(key(point.group(1))) if point else None
    if "=" in text:
        return (), about
    written = {
        key(word.strip("_{}").replace("{", "").replace("}", "")) for word in _WORDS.findall(text)
    }
    unknown = tuple(
        action.item
        for action in free_body.actions
        if action.value is None and key(names.get(action.item, "").lstrip("-−")) in written
    )
    if unknown:
        return unknown, about
    sizes = [number.replace(",", ".") for number in _NUMBERS.findall(text)]
    return tuple(action.item for action in free_body.actions if _is_said(action, sizes)), about


def _is_said(action: Action, sizes: list[str]) -> bool:
    """Return whether a known load, or the intensity of one, is the first number of a term."""
    if action.value is None or not sizes:
        return False
    spread = action.spread
    amounts = [action.value, *((spread[2], spread[5]) if spread else ())]
    return figure(float(sizes[0])) in [figure(abs(amount)) for amount in amounts]
