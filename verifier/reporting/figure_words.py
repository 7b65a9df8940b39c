"""The figure in words, for those who hear it, and beside the line art of the terminal."""

from collections.abc import Sequence

from verifier.reporting.figure_values import shown
from verifier.reporting.words import spoken
from verifier.statics.actions import FreeBody
from verifier.structure.model import Structure, Support


def describe(structure: Structure) -> list[str]:
    """Return the figure's joints, parts, supports and loads, a line each."""
    tell = spoken().text
    joints = ", ".join(
        f"{name} ({shown(joint.x)}, {shown(joint.y)})" for name, joint in structure.joints.items()
    )
    bars = [member.name for member in structure.members if not member.cable]
    cables = [member.name for member in structure.members if member.cable]
    bodies = [
        tell("{name} through {joints}", name=body.name, joints=", ".join(body.points))
        for body in structure.bodies
    ]
    lines = [
        tell("Joints, in {unit}: {joints}", unit=structure.length_unit, joints=joints),
        _listed(tell("Members"), bars),
        _listed(tell("Cables"), cables),
        _listed(tell("Bodies"), bodies, "; "),
        _listed(tell("Supports"), [_held(support) for support in structure.supports]),
        _listed(tell("Loads"), list(dict.fromkeys(load_words(structure))), "; "),
        *notes(structure, rollers=False),
    ]
    return [line for line in lines if line]


def describe_free(body: FreeBody, called: Sequence[str]) -> list[str]:
    """Return what acts on a free body, each force as the drawing calls it with its way."""
    say = spoken()
    acting = []
    for action, name in zip(body.actions, called, strict=True):
        sense = -1.0 if action.value is not None and action.value < 0 else 1.0
        if action.turn:
            way = _turn(sense * action.turn)
        else:
            way = _way((sense * action.along[0], sense * action.along[1]))
        at = say.text(" at {joint}", joint=action.joint) if action.joint else ""
        acting.append(f"{name}{at}{way}")
    return [_listed(say.text("What acts on it"), acting, "; ")]


def load_words(structure: Structure) -> list[str]:
    """Return what each load is called, with the way it acts."""
    words = []
    for load in structure.loads:
        direction = getattr(load, "direction", None)
        moment = getattr(load, "moment", None)
        way = ""
        if direction is not None:
            way = _way(tuple(part.number(structure.letters) for part in direction))
        elif moment is not None:
            way = _turn(moment.number(structure.letters))
        label = spoken().phrase(load.label).removeprefix("the ")
        words.append(label.removeprefix("die ").removeprefix("das ") + way)
    return words


def notes(structure: Structure, *, rollers: bool = True) -> list[str]:
    """Return what a picture cannot show in place: letters, angles and names without a line.

    `rollers` adds the direction of each roller that is neither level nor upright.
    """
    lines, tell = [], spoken().text
    if structure.letters:
        names = ", ".join(structure.letters)
        lines.append(tell("{names}: letters that stay letters", names=names))
    for angle in structure.angles.values():
        if not angle.between:
            lines.append(f"{angle.name} = {shown(angle.degrees)}°")
    for name, what in structure.calls.items():
        if what[0] == "length":
            said = "{name} is the length {one}–{two}"
            lines.append(tell(said, name=name, one=what[1], two=what[2]))
        elif what[0] == "item" and what[1] not in {m.name for m in structure.members}:
            said = "{name} is the {item}"
            lines.append(tell(said, name=name, item=spoken().phrase(what[1])))
    for support in structure.supports:
        if rollers and _turned(support) and not _is_square(support):
            along = _turned(support)
            said = "Roller at {joint}: reaction{along}"
            lines.append(tell(said, joint=support.joint, along=along))
    return lines


def _listed(head: str, parts: list[str], between: str = ", ") -> str:
    return f"{head}: {between.join(parts)}" if parts else ""


def _held(support: Support) -> str:
    said = spoken().text("{kind} at {joint}", kind=_kind(support.kind), joint=support.joint)
    return said + _turned(support)


def _kind(kind: str) -> str:
    return spoken().text(kind)


def _turned(support: object) -> str:
    turned = getattr(support, "degrees", None)
    if turned is None or (text := shown(turned)) == "90":
        return ""
    degrees = "°" if turned.op == "num" or not turned.letters else ""
    return spoken().text(" along {way}", way=f"{text}{degrees}")


def _is_square(support: object) -> bool:
    turned = getattr(support, "degrees", None)
    return turned is not None and turned.op == "num" and turned.args[0] % 90 == 0


def _turn(moment: float) -> str:
    return spoken().text(", anticlockwise" if moment > 0 else ", clockwise")


def _way(direction: tuple[float, ...]) -> str:
    tell = spoken().text
    across, up = direction
    if abs(across) < 1e-6:
        return tell(", up" if up > 0 else ", down")
    if abs(up) < 1e-6:
        return tell(", to the right" if across > 0 else ", to the left")
    if up > 0:
        return tell(", up and to the right" if across > 0 else ", up and to the left")
    return tell(", down and to the right" if across > 0 else ", down and to the left")
