"""The figure in words, for those who hear it, and beside the line art of the terminal."""

from verifier.reporting.figure_values import shown
from verifier.structure.model import Structure


def describe(structure: Structure) -> list[str]:
    """Return the figure's joints, parts, supports and loads, a line each."""
    unit = structure.length_unit
    joints = ", ".join(
        f"{name} ({shown(joint.x)}, {shown(joint.y)})" for name, joint in structure.joints.items()
    )
    bars = [member.name for member in structure.members if not member.cable]
    cables = [member.name for member in structure.members if member.cable]
    lines = [
        f"Joints, in {unit}: {joints}",
        _listed("Members", bars),
        _listed("Cables", cables),
        _listed("Bodies", [f"{b.name} through {', '.join(b.points)}" for b in structure.bodies]),
        _listed(
            "Supports", [f"{one.kind} at {one.joint}{_turned(one)}" for one in structure.supports]
        ),
        _listed("Loads", list(dict.fromkeys(load_words(structure))), "; "),
        *notes(structure, rollers=False),
    ]
    return [line for line in lines if line]


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
            turns = "anticlockwise" if moment.number(structure.letters) > 0 else "clockwise"
            way = f", {turns}"
        words.append(load.label.removeprefix("the ") + way)
    return words


def notes(structure: Structure, *, rollers: bool = True) -> list[str]:
    """Return what a picture cannot show in place: letters, angles and names without a line.

    `rollers` adds the direction of each roller that is neither level nor upright.
    """
    lines = []
    if structure.letters:
        lines.append(f"{', '.join(structure.letters)}: letters that stay letters")
    for angle in structure.angles.values():
        if not angle.between:
            lines.append(f"{angle.name} = {shown(angle.degrees)}°")
    for name, what in structure.calls.items():
        if what[0] == "length":
            lines.append(f"{name} is the length {what[1]}–{what[2]}")
        elif what[0] == "item" and what[1] not in {m.name for m in structure.members}:
            lines.append(f"{name} is the {what[1]}")
    for support in structure.supports:
        if rollers and _turned(support) and not _is_square(support):
            lines.append(f"Roller at {support.joint}: reaction{_turned(support)}")
    return lines


def _listed(head: str, parts: list[str], between: str = ", ") -> str:
    return f"{head}: {between.join(parts)}" if parts else ""


def _turned(support: object) -> str:
    turned = getattr(support, "degrees", None)
    if turned is None or (text := shown(turned)) == "90":
        return ""
    return f" along {text}°" if turned.op == "num" or not turned.letters else f" along {text}"


def _is_square(support: object) -> bool:
    turned = getattr(support, "degrees", None)
    return turned is not None and turned.op == "num" and turned.args[0] % 90 == 0


def _way(direction: tuple[float, ...]) -> str:
    across, up = direction
    if abs(across) < 1e-6:
        return ", up" if up > 0 else ", down"
    if abs(up) < 1e-6:
        return ", to the right" if across > 0 else ", to the left"
    sides = ("up" if up > 0 else "down", "right" if across > 0 else "left")
    return f", {sides[0]} and to the {sides[1]}"
