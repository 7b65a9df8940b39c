"""A free body by the name that a report or a user gives it; how a working names its forces."""

import re
from collections.abc import Iterable, Mapping

from verifier.errors import UsageError
from verifier.findings import Assumed
from verifier.reporting.sentences import plain_name
from verifier.statics.actions import FreeBody
from verifier.statics.freebodies import FreeBodies
from verifier.statics.sections import short
from verifier.structure.model import Structure

_SIDES = {"left": 0, "lower": 0, "right": 1, "upper": 1}
_AGAINST = (
    "to the left", "downwards", "compression", "against its direction", "clockwise",
    "drawn the other way",
)  # fmt: skip
_MEANS = (
    (re.compile(r"reaction at (\S+), (?:to the|up|down)"), "reaction {}"),
    (re.compile(r"reaction at (\S+), (?:along|against)"), "reaction {}"),
    (re.compile(r"(?:fixing )?moment at (\S+), "), "reaction {} moment"),
    (re.compile(r"force in (\S+), "), "{}"),
    (re.compile(r"((?:pin|axial|shear|moment) [^,]+)"), "{}"),
)


def body_named(structure: Structure, words: str, side: str = "") -> FreeBody:
    """Return a free body: a joint, a body, `whole`, or what a cut through `P-Q, Q-R` leaves.

    `side` says which part of a cut (left, right, lower, upper). A report's own names are taken as
    well ('part left of the cut through QR, PR'). Raises `UsageError` for what there is not.
    """
    bodies = FreeBodies(structure)
    found = _plain(bodies, words) or _cut(bodies, words, side) or _piece(bodies, words)
    if found is None:
        known = ", ".join(["whole", *bodies.joints, *bodies.bodies])
        raise UsageError(
            f"there is no free body {words!r}", f"there are {known}, and cuts such as P-Q,Q-R"
        )
    return found


def body_of(structure: Structure, where: str) -> FreeBody | None:
    """Return the free body that a finding's place begins with, None where there is none."""
    words = where
    while words:
        try:
            return body_named(structure, words)
        except UsageError:
            words = words.rpartition(", ")[0]
    return None


def items_as_written(assumed: Iterable[Assumed]) -> Mapping[str, str]:
    """Return how the working writes each item; a minus where against the item's positive sense."""
    names: dict[str, str] = {}
    for one in assumed:
        for pattern, form in _MEANS:
            match = pattern.match(one.means)
            if match is None:
                continue
            item = form.format(match[1])
            if ", to the" in one.means:
                item += " x"
            elif ", up" in one.means or ", down" in one.means:
                item += " y"
            against = one.means.partition(", ")[2] in _AGAINST
            names.setdefault(item, f"{'-' if against else ''}{plain_name(one.name)}")
            break
    return names


def _plain(bodies: FreeBodies, words: str) -> FreeBody | None:
    name = words.strip()
    if name in ("whole", "whole structure", ""):
        return bodies.whole() if name else None
    bare = name.removeprefix("joint ").strip()
    if bare in bodies.joints:
        return bodies.joint(bare)
    bare = name.removeprefix("body ").removesuffix(" with its joints").strip()
    if bare in bodies.bodies:
        return bodies.body(bare, with_joints=name.endswith("with its joints"))
    return None


def _cut(bodies: FreeBodies, words: str, side: str) -> FreeBody | None:
    listed = words.rpartition("cut through")[2]
    short_names = {short(member.name): member.name for member in bodies.structure.members}
    turned = {f"{member.end}-{member.start}": member.name for member in bodies.structure.members}
    known = {member.name: member.name for member in bodies.structure.members} | turned | short_names
    members = [known.get(word) for word in re.split(r"[,\s]+|\band\b", listed) if word]
    if not members or None in members:
        return None
    parts = bodies.cut([member for member in members if member])
    for part in parts:
        if part.name == words:
            return part
    if not parts or (side and side not in _SIDES):
        return None
    return parts[_SIDES.get(side, 0)]


def _piece(bodies: FreeBodies, words: str) -> FreeBody | None:
    match = re.fullmatch(r"part of (\S+) (left of|right of|below|above) (\S+)", words.strip())
    if match is None or match[1] not in bodies.bodies:
        return None
    side = {"left of": "left", "right of": "right", "below": "lower", "above": "upper"}[match[2]]
    try:
        return bodies.through_body(match[1], match[3], side)
    except KeyError:
        return None
