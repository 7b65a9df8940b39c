"""Which free body a user asks to see, or a finding is about."""

import re

from verifier.errors import UsageError
from verifier.statics import FreeBodies
from verifier.statics.actions import FreeBody
from verifier.structure.model import Structure
from verifier.structure.names import key, likely

_LATER = {"right", "upper"}
_SIDES = {"left", "lower"} | _LATER


def chosen(structure: Structure, words: str) -> FreeBody:
    """Return the free body that words ask for.

    `whole`; a joint; a body; members that a section cuts (`EF, EC, BC`), or a body cut at a joint
    (`deck at C`), each with `left`, `right`, `lower` or `upper` for the part. Raises `UsageError`.
    """
    free = FreeBodies(structure)
    said = words.replace(",", " ").split()
    side = next((word.lower() for word in said if word.lower() in _SIDES), "left")
    left = [word for word in said if word.lower() not in _SIDES] or said
    if len(left) == 1 and left[0].lower() == "whole":
        return free.whole()
    if len(left) == 1:
        single = _single(free, left[0])
        if single:
            return single
    if len(left) == 3 and left[1].lower() == "at":
        body, joint = _known(left[0], free.bodies), _known(left[2], structure.joints)
        if body and joint:
            return free.through_body(body, joint, side)
    cut = _section(free, structure, left)
    if cut:
        return cut[-1 if side in _LATER else 0]
    choices = ["whole", *free.bodies, *free.joints]
    meant = likely(words, choices)
    hint = f"perhaps {meant}" if meant else "one of " + ", ".join(choices[:10])
    raise UsageError(f"there is no free body «{words[:40]}»", f"{hint}, or the members of a cut")


def told_of(structure: Structure, where: str) -> FreeBody | None:
    """Return the free body that a finding's `where` names, or None.

    `where` begins with the free body's name: `joint Q, ΣF_y`, `whole structure, moments about P`.
    """
    name = max(
        (free.name for free in FreeBodies(structure).candidates() if _begins(where, free.name)),
        key=len,
        default=None,
    )
    if name is None:
        return None
    return next(free for free in FreeBodies(structure).candidates() if free.name == name)


def moment_point(structure: Structure, where: str) -> str | None:
    """Return the joint about which the moments of a finding's `where` are taken, or None."""
    found = re.search(r"moments about ([\w'’′]+)", where)
    return _known(found.group(1), structure.joints) if found else None


def _begins(where: str, name: str) -> bool:
    return where == name or where.startswith((f"{name},", f"{name} ", f"{name}:"))


def _single(free: FreeBodies, word: str) -> FreeBody | None:
    body = _known(word, free.bodies)
    if body:
        return free.body(body, with_joints=bool(free.own_joints(body)))
    joint = _known(word, free.joints)
    return free.joint(joint) if joint else None


def _section(
    free: FreeBodies, structure: Structure, words: list[str]
) -> tuple[FreeBody, ...] | None:
    spelt = {}
    for member in structure.members:
        for one, two in ((member.start, member.end), (member.end, member.start)):
            spelt[key(f"{one}-{two}")] = spelt[key(f"{one}{two}")] = member.name
    members = [spelt.get(key(word)) for word in words]
    if None in members:
        return None
    return free.cut([name for name in members if name]) or None


def _known(word: str, names: object) -> str | None:
    return next((str(name) for name in names if key(str(name)) == key(word)), None)  # type: ignore[attr-defined]
