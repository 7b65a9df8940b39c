"""What V, M and N without a joint stand for below a heading that says where a beam is cut."""

import re

from verifier.checking.figure import Figure
from verifier.checking.names import Dictionary, Local
from verifier.notation.build import undress
from verifier.notation.heading_forms import SUPPORT
from verifier.notation.names import canonical
from verifier.notation.tree import Heading, Name

_KINDS = {
    **dict.fromkeys(("V", "Q", "SF", "shear", "shear force", "Querkraft"), "shear"),
    **dict.fromkeys(("N", "axial", "axial force", "normal force", "Normalkraft"), "axial"),
    **dict.fromkeys(("M", "BM", "bending moment", "Biegemoment"), "moment"),
}
_AXIS = {"X": "x", "H": "x", "Y": "y", "V": "y"}
_LEFT = r"left|links|gauche|izquierda|sinistra|lewo|lewej"
_RIGHT = r"right|rechts|droite|derecha|destra|prawo|prawej"
_JUST = re.compile(
    r"\b(?:just|immediately|directly|slightly|infinitesimally|unmittelbar|direkt|kurz|knapp|juste"
    r"|immédiatement|subito|immediatamente|appena|justo|inmediatamente|tuż|bezpośrednio)\b"
    rf".{{0,16}}?\b(?:(?P<before>{_LEFT}|before|vor|avant|prima|antes|przed)"
    rf"|(?P<after>{_RIGHT}|after|past|behind|beyond|hinter|nach|après|dopo|después|tras|za))\b",
    re.IGNORECASE,
)
_SUPPORTED = re.compile(rf"\s*(?:{SUPPORT})\b", re.IGNORECASE)
_ROMANCE = re.compile(r"coup|tronçon|sezion|tagli|secci|corte", re.IGNORECASE)


def cut_letters(heading: Heading, said: str, figure: Figure, names: Dictionary) -> dict[str, str]:
    """Return the inner force that each bare letter is below a heading, {} where it cuts no beam.

    `said` is the heading as written: 'Cut just right of C' makes V the `shear at C, right`. Where
    the force jumps at the joint and the heading names no side, nothing is said.
    """
    if heading.kind not in ("section", "joint"):
        return {}
    if not figure.structure.bodies or _SUPPORTED.match(said):
        return _reactions(heading, figure, names)
    placed = [j for n in heading.names for j in figure.points if canonical(j) == canonical(n)]
    holders = [b for b in figure.structure.bodies if placed and placed[0] in b.points]
    if len(placed) != 1 or len(heading.names) != 1 or len(holders) != 1:
        return {}
    just = _JUST.search(said)
    kinds = {**_KINDS, "T": "shear"} if _ROMANCE.search(said) else _KINDS
    found = {}
    for letter, kind in kinds.items():
        item = f"{kind} at {placed[0]}"
        left, right = (figure.variable(f"{item}, {side}")[0] for side in ("left", "right"))
        if isinstance(names.meanings(Name((0, 0), letter, *undress(letter)))[0], Local):
            if left == right:
                found[letter] = left
            elif just:
                found[letter] = right if just["after"] else left
    return found


def beside(joint: str, side: str, figure: Figure) -> dict[str, str]:
    """Return what the inner forces of a joint are just beside it, where they jump there.

    `shear at C` becomes `shear at C, right`.
    """
    items = (f"{kind} at {joint}" for kind in ("shear", "axial", "moment"))
    pairs = ((figure.variable(item)[0], figure.variable(f"{item}, {side}")[0]) for item in items)
    return {plain: sided for plain, sided in pairs if plain != sided}


def said_beside(heading: Heading, said: str, figure: Figure) -> dict[str, str]:
    """Return the same below a heading that says so: 'Cut just right of C'."""
    just = _JUST.search(said) if heading.kind == "section" else None
    placed = [j for n in heading.names for j in figure.points if canonical(j) == canonical(n)]
    if just is None or len(placed) != 1 or len(heading.names) != 1:
        return {}
    return beside(placed[0], "right" if just["after"] else "left", figure)


def _reactions(heading: Heading, figure: Figure, names: Dictionary) -> dict[str, str]:
    """Return the reactions that bare letters are below a truss's joint or a support: `A: X = 3`."""
    joints = [j for n in heading.names for j in figure.reactions if canonical(j) == canonical(n)]
    if heading.kind != "joint" or len(joints) != 1:
        return {}
    held = {item[-1]: item for item, _, _ in figure.reactions[joints[0]] if item[-2] == " "}
    found = {letter: held[axis] for letter, axis in _AXIS.items() if axis in held}
    for item, _, turns in figure.reactions[joints[0]]:
        found |= {"M": item} if turns else {}
    return {
        letter: item
        for letter, item in found.items()
        if isinstance(names.meanings(Name((0, 0), letter, *undress(letter)))[0], Local)
    }


__all__ = ["beside", "cut_letters", "said_beside"]
