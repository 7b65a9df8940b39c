"""The structure as given. Lengths and forces are in the sheet's units, x right, y up."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Protocol, runtime_checkable

from verifier.structure.values import Value

Place = tuple[int, int, int]
"""Line (from 1), first column and end column (from 0) of a statement's word in the sheet."""


@dataclass(frozen=True)
class Joint:
    """A point of the figure."""

    name: str
    x: Value
    y: Value


@dataclass(frozen=True)
class Member:
    """A straight two-force member from `start` to `end`; a cable cannot push."""

    start: str
    end: str
    cable: bool = False

    @property
    def name(self) -> str:
        """The item of its force, tension positive: `A-B` as the sheet wrote it."""
        return f"{self.start}-{self.end}"


@dataclass(frozen=True)
class Body:
    """A rigid body through the joints `points`."""

    name: str
    points: tuple[str, ...]


@dataclass(frozen=True)
class Reaction:
    """One unknown of a support: `item` names it, `direction` is its unit vector (x, y).

    A fixing moment has `turns` true and no direction; anticlockwise is positive.
    """

    item: str
    joint: str
    direction: tuple[Value, Value]
    turns: bool = False


@runtime_checkable
class Support(Protocol):
    """A support at a joint; each kind is one file of `structure/supports/`."""

    @property
    def joint(self) -> str:
        """The joint that it holds."""
        ...

    @property
    def kind(self) -> str:
        """Its word in the sheet."""
        ...

    def reactions(self) -> tuple[Reaction, ...]:
        """Return its unknowns."""
        ...


@dataclass(frozen=True)
class Force:
    """A known force `size` along the unit vector `direction`, through the point `at`.

    `on` is the joint at which it was given, or the body on which it acts between joints.
    `label` is what a report calls it ('the 6 kN load at Q'); `source` the statement's number.
    """

    size: Value
    direction: tuple[Value, Value]
    at: tuple[Value, Value]
    on: str
    label: str
    source: int


@dataclass(frozen=True)
class Couple:
    """A known couple `moment`, anticlockwise positive, applied at joint `at`, on body `on`."""

    moment: Value
    at: str
    on: str | None
    label: str
    source: int


@runtime_checkable
class Load(Protocol):
    """A load as given; each kind is one file of `structure/loads/`.

    Later rooms see only the resultants. A distributed load has more: see `loads/distributed.py`.
    """

    @property
    def kind(self) -> str:
        """Its word in the sheet."""
        ...

    @property
    def label(self) -> str:
        """What a report calls it: 'the 6 kN load at Q'."""
        ...

    @property
    def source(self) -> int:
        """The sheet's line that gave it; several loads of one line belong together."""
        ...

    def resultants(self) -> tuple[Force | Couple, ...]:
        """Return the forces and couples that together are this load."""
        ...


@dataclass(frozen=True)
class Angle:
    """A named angle of the figure, in degrees; `between` the two lines where it was so given."""

    name: str
    degrees: Value
    between: tuple[str, ...] = ()


@dataclass(frozen=True)
class Structure:
    """A whole sheet. Mappings keep the sheet's order; `source` is the sheet's text.

    `letters` maps each letter that stays a letter to the stand-in number that float work uses;
    `calls` maps a name of the figure to ('item', NAME) | ('load', JOINT) | ('length', A, B).
    """

    title: str
    force_unit: str
    length_unit: str
    joints: Mapping[str, Joint]
    members: tuple[Member, ...] = ()
    bodies: tuple[Body, ...] = ()
    supports: tuple[Support, ...] = ()
    loads: tuple[Load, ...] = ()
    lets: Mapping[str, Value] = field(default_factory=dict)
    letters: Mapping[str, float] = field(default_factory=dict)
    angles: Mapping[str, Angle] = field(default_factory=dict)
    calls: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    find: tuple[str, ...] = ()
    marks: Mapping[str, int] = field(default_factory=dict)
    source: str = ""
    path: str = "sheet"

    def point(self, joint: str) -> tuple[float, float]:
        """Return a joint's coordinates as floats, letters at their stand-ins."""
        place = self.joints[joint]
        return place.x.number(self.letters), place.y.number(self.letters)
