"""The values of a solution: the unknowns, and internal forces at a joint on demand."""

import re
from collections.abc import Iterator, Mapping
from typing import TypeVar, overload

from verifier.statics.actions import FreeBody
from verifier.statics.equations import equation, moment
from verifier.statics.freebodies import FreeBodies
from verifier.statics.linear import rounded
from verifier.statics.pieces import Cut

_CUT = re.compile(r"(axial|shear|moment) at (\S+?)(?:, (left|right))?(?: on (\S+))?")

Other = TypeVar("Other")

_PIN = re.compile(r"pin (\S+) (x|y) on (\S+)")


class UnclearCut(KeyError):
    """A cut through a body of which some joints may hang on either side."""

    def __init__(self, body: str, joints: tuple[str, ...]) -> None:
        super().__init__(body)
        self.body = body
        self.joints = joints


class Values(Mapping[str, float]):
    """Item → value. Iterates over reactions, members and pin forces.

    Looking up `axial at K`, `shear at K` or `moment at K` cuts the body through joint K, just
    before it (see `FreeBodies.through_body`; at the body's first end, just after it); where
    something acts at K itself, `…, left` and `…, right` tell the two sides apart. Where K lies on
    several bodies the first that passes through it counts, or the one named by ` on BODY`.
    `pin A x on BODY` is answered too where A carries nothing but BODY, a support and loads.
    """

    def __init__(self, bodies: FreeBodies, found: Mapping[str, float]) -> None:
        self.bodies = bodies
        self.found = dict(found)
        self.cuts: dict[str, float] = {}
        self.strange: set[str] = set()

    def __iter__(self) -> Iterator[str]:
        return iter(self.found)

    def __len__(self) -> int:
        return len(self.found)

    def __contains__(self, item: object) -> bool:
        return item in self.found or super().__contains__(item)

    @overload
    def get(self, item: str, /) -> float | None: ...

    @overload
    def get(self, item: str, /, default: float | Other) -> float | Other: ...

    def get(self, item: str, default: object = None) -> object:
        """Return the value of an item, the default for what is none; asked very often."""
        found = self.found.get(item)
        return super().get(item, default) if found is None else found

    def __getitem__(self, item: str) -> float:
        if item in self.found:
            return self.found[item]
        if item in self.strange:
            raise KeyError(item)
        if item not in self.cuts:
            pinned = held_pin(self.bodies, item)
            if pinned is not None:
                terms, known = equation(*pinned)
                others = (share * self.found[i] for i, share in terms.items() if i != item)
                self.cuts[item] = rounded(known + sum(others))
            else:
                kind, piece = self._piece(item)
                self.cuts[item] = internal(piece, kind, self.found)
        return self.cuts[item]

    def _piece(self, item: str) -> tuple[str, FreeBody]:
        """Return what an item asks for; what is no item is looked at once."""
        try:
            return cut_piece(self.bodies, item)
        except UnclearCut:
            raise
        except KeyError:
            self.strange.add(item)
            raise


def held_pin(bodies: FreeBodies, item: str) -> tuple[FreeBody, tuple[float, float]] | None:
    """Return the joint and the direction that give a pin force where a body alone is supported."""
    match = _PIN.fullmatch(item)
    if match is None or bodies.layout.home.get(match[1]) != match[3]:
        return None
    return bodies.held_joint(match[1]), (1.0, 0.0) if match[2] == "x" else (0.0, 1.0)


def cut_piece(bodies: FreeBodies, item: str) -> tuple[str, FreeBody]:
    """Return what an item such as `shear at K` asks for, and the free body that shows it.

    Raises `KeyError` for any other item and for a joint that lies on no body.
    """
    kind, cut, joint = cut_of(bodies, item)
    just = "after" if cut.after else "before"
    return kind, bodies.through_body(cut.body, joint, just=just)


def cut_of(bodies: FreeBodies, item: str) -> tuple[str, Cut, str]:
    """Return what an item such as `shear at K` asks for, the cut that shows it, and the joint.

    Raises `KeyError` for any other item and for a joint that lies on no body, `UnclearCut` where
    the sheet does not tell what lies on which side of the cut.
    """
    match = _CUT.fullmatch(item)
    if match is None:
        raise KeyError(item)
    kind, joint, side, named = match.groups()
    owners = [named] if named else list(bodies.layout.on_bodies.get(joint, ()))
    if not owners or any(owner not in bodies.bodies for owner in owners):
        raise KeyError(item)
    inner = [owner for owner in owners if joint in bodies.line(owner, joint).joints[1:-1]]
    just = {"left": "before", "right": "after", None: ""}[side]
    cut = bodies.cut_at((inner or owners)[0], joint, just=just)
    doubted = cut.line.doubted(joint, cut.place, cut.after)
    if doubted:
        raise UnclearCut(cut.body, doubted)
    return kind, cut, joint


def internal(piece: FreeBody, kind: str, values: Mapping[str, float]) -> float:
    """Return the axial force, shear or moment on a cut face from equilibrium of the piece."""
    face = next(a for a in piece.actions if a.kind == "cut" and a.item.startswith(kind))
    terms, known = moment(piece, face.at) if kind == "moment" else equation(piece, face.along)
    total = known
    own = 0.0
    largest = abs(known)
    for item, coefficient in terms.items():
        if item == face.item:
            own = coefficient
        elif item in values:
            total += coefficient * values[item]
            largest = max(largest, abs(coefficient * values[item]))
    return 0.0 if abs(total) < 1e-12 * largest else rounded(-total / own)
