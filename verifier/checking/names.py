"""What a written name means on this figure; never guessed silently."""

import math
import re
from dataclasses import dataclass

from verifier.checking.figure import Figure
from verifier.checking.parts_in_words import part_in_words
from verifier.checking.quantity import Quantity
from verifier.notation.build import undress
from verifier.notation.names import canonical, dress, likely
from verifier.notation.tree import Name, Names

_AXES = {"x": (1.0, 0.0), "y": (0.0, 1.0)}
_PAIRS = ("member", "length", "part")
_FIRST = ("letter", "member")
ACROSS_OR_UP = ("H", "V", "X", "Y")
_REACTIONS = ("R", "V", "H", "N", "X", "Y")
_LENGTH_WORDS = frozenset(
    (
        *("length", "distance", "span", "longueur", "länge", "abstand", "lunghezza", "distanza"),
        *("longitud", "distancia", "długość", "odległość"),
    )
)
_OF_A_PART = ("vert", "horiz", "comp", "upward", "downward", "x-", "y-")
_PART_WORDS = frozenset(
    (
        *("part", "component", "load", "udl", "weight", "resultant", "moment", "area", "slope"),
        *("angle", "height", "total", "lever", "arm", "hebelarm", "braccio", "brazo", "ramię"),
    )
)
_PULLS_TO = ("F", "T", "S", "N", "P", "Z")
_SMALL = re.compile(r"([RVHM])_?([a-z])([xy]?)")
_BARS = frozenset(
    (
        *("link", "strut", "tie", "cable", "rope", "guy", "stay", "bar", "rod", "chain", "member"),
        *("prop", "brace", "wire"),
    )
)
_PULLS = frozenset(("force", "tension", "pull", "push", "thrust", "compression"))
_PULL_OF_BAR = re.compile(
    r"(?:(?:la |il |le |el |die |der |the |l )?"
    r"(?:(?:zug|druck|trek)?kraft|tracción|tensión|tension|tensione|forza|sforzo|effort|fuerza|siła"
    r"|tração|força|(?:trek|druk)?kracht)"
    r"(?: (?:in|im|in der|des|de|du|del|de la|en el|dans le|nel|nella|della|da|do|no|w|van|de))?"
    r" (?:seils?|stabe?s?|strebe|kette|câble|hauban|barre|bielle|tirant|cable|cavo|fune|asta"
    r"|tirante|puntone|biella|cuerda|barra|puntal|linie|linę|pręcie|pręta|zastrzału|cięgna|cabo"
    r"|escora|kabel)|(?:die )?(?:seil|stab|streben|ketten|stangen|zugstangen)kraft)"
)
"""The force of the only bar in other languages: `tensión del cable`, `Seilkraft`."""
_FIXING = frozenset(
    (
        *("fixing", "fixed-end", "restraint", "wall", "clamping", "encastrement", "incastro"),
        *("empotramiento", "utwierdzenia", "engaste"),
    )
)
_MOMENT_WORDS = frozenset(("moment", "momento", "momentu"))
_FIXED = re.compile(r"reaction \S+ moment")
_SUPPORTS = frozenset(
    (
        *(
            "support",
            "foot",
            "bearing",
            "footing",
            "prop",
            "auflager",
            "lager",
            "appui",
            "appoggio",
        ),
        *("apoyo", "podpora"),
    )
)
_SHORT = 4
_LONGEST_PHRASE = 9
_GRAVITY = Quantity(9.81, 0.011)


@dataclass(frozen=True)
class Unknown:
    """A force variable of the figure times a factor (−1 or a direction's component)."""

    variable: str
    factor: float = 1.0


@dataclass(frozen=True)
class Known:
    """A quantity that the sheet gives: `kind` is load, length, angle, letter.

    `parts` are a length's own parts across and up.
    """

    quantity: Quantity
    kind: str
    words: str
    parts: tuple[float, ...] = ()


@dataclass(frozen=True)
class Local:
    """A name of the writer's own: what it is must come from the working."""

    key: str


Meaning = Unknown | Known | Local


def key_of(name: Name) -> str:
    """Return the name without dress, the key under which a writer's own name is kept."""
    return f"{name.base}_{name.sub}" if name.sub else name.base


def letter_behind(name: Name) -> str:
    """Return the key of the name in which a phrase ends: `the weight P1` is P_1."""
    letter = name.text.split()[-1].strip("$")
    return key_of(Name(name.span, letter, *undress(letter)))


class Dictionary:
    """Resolves names against one figure; remembers what it has answered."""

    def __init__(self, figure: Figure) -> None:
        self.figure = figure
        self._answers: dict[tuple[str, str], tuple[Meaning, ...]] = {}
        sheet = figure.structure
        self._joints = {canonical(joint): joint for joint in sheet.joints}
        listed = (*sheet.lets, *sheet.letters, *sheet.angles, *sheet.calls)
        self._letters = {canonical(letter): letter for letter in listed}

    def meanings(self, name: Name) -> tuple[Meaning, ...]:
        """Return what a name can mean, likeliest first; a `Local` is always last."""
        place = (name.base, name.sub)
        if place not in self._answers:
            found: list[Meaning] = []
            candidates = [("letter", name.text), ("letter", key_of(name)), *dress(name)]
            order: tuple[str, ...] = _FIRST
            if name.base in _REACTIONS and canonical(name.sub) in self._joints:
                order = ("letter", "reaction", "member")
            elif name.base in ACROSS_OR_UP:
                order = ("letter", "part", "member")
            candidates.sort(key=lambda c: order.index(c[0]) if c[0] in order else len(order))
            for candidate in candidates:
                found += [m for m in self._of(candidate, name.base[:1]) if m not in found]
            joint = self._joints.get(canonical(name.text))
            asked = any(item.startswith(f"pin {joint} ") for item in self.figure.structure.find)
            if joint is not None and (joint in self.figure.reactions or asked) and not found:
                found += self._reaction(joint, "")
            found = found or self._in_capitals(name) or self._lone_bar(name.text)
            found += [m for m in self._bar_to(name) if m not in found]
            self._answers[place] = (*found, Local(key_of(name)))
        return self._answers[place]

    def _bar_to(self, name: Name) -> list[Meaning]:
        """Return the only bar that ends at the support A for F_A: two ropes hang from A and B."""
        joint = self._joints.get(canonical(name.sub), "")
        held = joint in self.figure.reactions and not any(
            joint in body.points for body in self.figure.structure.bodies
        )
        if name.base not in _PULLS_TO or not held:
            return []
        bars = [item for ends, item in self.figure.member_ends.items() if joint in ends]
        return self._item(bars[0]) if len(bars) == 1 else []

    def _lone_bar(self, word: str) -> list[Meaning]:
        """Resolve `strut` where the figure has a single bar: its force, or how long it is."""
        if word.lower() not in _BARS or len(self.figure.member_ends) != 1:
            return []
        ((ends, item),) = self.figure.member_ends.items()
        return [*self._item(item), self._distance(*sorted(ends))]

    def _in_capitals(self, name: Name) -> list[Meaning]:
        """Resolve a reaction whose joint is written small, `Rb` at B, where none is called b.

        So is a part said in words, `R_B vertical`.
        """
        said, way = part_in_words(name.text)
        if said in self._joints:
            return self._reaction(self._joints[said], way)
        small = _SMALL.fullmatch(canonical(name.text))
        if small is None or small[2] in self._joints:
            return []
        joint = self._joints.get(small[2].upper(), "")
        if small[1] == "M":
            return self._fixing(joint) if joint and not small[3] else []
        axis = small[3] or {"V": "y", "H": "x"}.get(small[1], "")
        return self._reaction(joint, axis) if joint else []

    def _of(self, candidate: tuple[str, ...], letter: str) -> list[Meaning]:
        kind, *rest = candidate
        if kind == "words":
            return self._words(rest[0])
        if kind == "cut":
            return self._item(self._at_joint(rest[0]))
        if kind == "letter":
            return self._letter(self._letters.get(rest[0], rest[0]))
        places = [self._joints.get(one, "") for one in rest[: 2 if kind in _PAIRS else 1]]
        if "" in places:
            return []
        match kind:
            case "member":
                return self._between(*places)
            case "length":
                return [self._distance(*places)]
            case "part":
                return self._part_of(places[0], places[1], rest[2])
            case "reaction":
                return self._reaction(places[0], rest[1])
            case "pin":
                return self._pin(places[0], rest[1])
            case "moment":
                return self._fixing(places[0])
            case "axial" | "shear":
                return self._item(f"{kind} at {places[0]}")
            case "force":
                return self._load_at(places[0], letter)
        return []

    def not_found(self, *names: Name) -> str:
        """Return the sentence for names without a meaning, with what may be meant by each.

        What is nearest in the sheet is offered, never taken.
        """
        sheet = self.figure.structure
        table = Names(
            joints=frozenset(sheet.joints),
            members=frozenset((member.start, member.end) for member in sheet.members),
            letters=frozenset(self._letters.values()),
        )
        said = ", ".join(dict.fromkeys(name.text for name in names))
        near = dict.fromkeys(one for name in names for one in likely(name, table))
        offered = f" (nearest in the sheet: {', '.join(near)})" if near else ""
        return f"no meaning found for {said}{offered}"

    def in_words(self, phrase: str) -> Meaning | None:
        """Return what a phrase such as 'vertical reaction at a' (in small letters) means."""
        found = self._words(phrase)
        return found[0] if found else None

    def _words(self, phrase: str) -> list[Meaning]:
        """Resolve 'horizontal reaction at B', 'tension in QR' and the like."""
        said = phrase.split()
        if len(said) > _LONGEST_PHRASE:  # a sentence that happens to end in an equation
            return []
        joints = [j for key, j in self._joints.items() if key.lower() in said]
        held = len(said) <= _SHORT and bool(_SUPPORTS & {*said}) and not _PART_WORDS & {*said}
        if ("reaction" in said or held) and len(joints) == 1:
            across = any(word.startswith(("horiz", "sideways")) for word in said)
            upright = any(word.startswith(("vert", "up", "down")) for word in said)
            return self._reaction(joints[0], "x" if across else "y" if upright else "")
        if _FIXING & {*said} and _MOMENT_WORDS & {*said}:
            fixed = [item for item in self.figure.true if _FIXED.fullmatch(item)]
            return self._item(fixed[0]) if len(fixed) == 1 else []
        bars = list(self.figure.member_ends.values())
        part = any(word in _PART_WORDS or word.startswith(_OF_A_PART) for word in said)
        pulls = (_BARS & {*said} and _PULLS & {*said}) or _PULL_OF_BAR.fullmatch(phrase)
        if len(bars) == 1 and pulls and not part:
            return self._item(bars[0])
        for ends, item in () if part else self.figure.member_ends.items():
            first, second = (canonical(end).lower() for end in ends)
            if first + second in said or second + first in said:
                long = any(word in _LENGTH_WORDS for word in said)
                return [self._distance(*sorted(ends))] if long else self._item(item)
        return []

    def _at_joint(self, item: str) -> str:
        """Return `shear at x=2` as the one at the joint that lies 2 from a beam's left end."""
        if item.endswith(" at midspan"):
            middle = self.figure.midspan()
            return item.replace("midspan", middle.pop()) if len(middle) == 1 else item
        head, along, place = item.partition(" at x=")
        place, beside, side = place.partition(", ")
        found = self.figure.at_distance(float(place)) if along else set()
        return f"{head} at {found.pop()}{beside}{side}" if len(found) == 1 else item

    def _load_at(self, joint: str, letter: str = "") -> list[Meaning]:
        """Return the first load at a joint, or the part across or upright that a letter names."""
        letters = self.figure.structure.letters
        here = [force for force in self.figure.forces if force.on == joint]
        axis = {"H": 0, "X": 0, "V": 1, "Y": 1}.get(letter)
        sizes = [(abs(f.size.number(letters)), f) for f in here]
        if axis is not None:
            parts = [(size * abs(f.direction[axis].number(letters)), f) for size, f in sizes]
            sizes = [(part, f) for part, f in parts if part > 1e-9] or sizes
        return [Known(Quantity(size), "load", force.label) for size, force in sizes[:1]]

    def _item(self, item: str) -> list[Meaning]:
        variable, sign = self.figure.variable(item)
        return [Unknown(variable, sign)] if self._exists(item) else []

    def _exists(self, item: str) -> bool:
        if item in self.figure.true:
            return True
        joint = item.rpartition(" at ")[2].partition(",")[0]
        return item.split(" ")[0] in ("axial", "shear", "moment") and any(
            joint in body.points for body in self.figure.structure.bodies
        )

    def _letter(self, text: str) -> list[Meaning]:
        sheet = self.figure.structure
        if text in sheet.calls:
            match sheet.calls[text]:
                case ("item", item):
                    return self._item(item)
                case ("load", joint):
                    return self._load_at(joint)
                case ("length", first, second):
                    return [self._distance(first, second)]
        if text in sheet.angles:
            degrees = sheet.angles[text].degrees.number(sheet.letters)
            return [Known(Quantity(degrees), "angle", f"the angle {text}")]
        if text in sheet.letters:
            return [Known(Quantity(sheet.letters[text]), "letter", text)]
        if text in sheet.lets:
            return [Known(Quantity(sheet.lets[text].number(sheet.letters)), "letter", text)]
        if text == "g":
            return [Known(_GRAVITY, "letter", "g")]
        if text == "π":
            return [Known(Quantity(math.pi), "letter", "π")]
        return []

    def _distance(self, first: str, second: str) -> Known:
        length = self.figure.length(first, second)
        (x1, y1), (x2, y2) = self.figure.points[first], self.figure.points[second]
        parts = tuple(size for size in (abs(x2 - x1), abs(y2 - y1)) if size)
        return Known(Quantity(length), "length", f"the distance from {first} to {second}", parts)

    def _between(self, first: str, second: str) -> list[Meaning]:
        item = self.figure.member_ends.get(frozenset((first, second)))
        return self._item(item) if item is not None else []

    def _part_of(self, first: str, second: str, axis: str) -> list[Meaning]:
        """Return the component of a bar's force along an axis, of the sign that the force has."""
        (x1, y1), (x2, y2) = self.figure.points[first], self.figure.points[second]
        length = math.hypot(x2 - x1, y2 - y1)
        if not length:  # KK_x: nothing of this sheet
            return []
        share = abs(x2 - x1 if axis == "x" else y2 - y1) / length
        return [
            Unknown(whole.variable, whole.factor * share)
            for whole in self._between(first, second)
            if isinstance(whole, Unknown) and share > 1e-9
        ]

    def _reaction(self, joint: str, axis: str) -> list[Meaning]:
        unknowns = self.figure.reactions.get(joint, [])
        forces = [(item, along) for item, along, turns in unknowns if not turns]
        if not forces:
            return self._pin(joint, axis)
        if not axis:
            return [Unknown(*self.figure.variable(item)) for item, _ in reversed(forces)]
        wanted = _AXES[axis]
        for item, along in forces:
            part = along[0] * wanted[0] + along[1] * wanted[1]
            if abs(part) > 1e-9:
                return [
                    Unknown(item, part if abs(abs(part) - 1) > 1e-9 else math.copysign(1, part))
                ]
        return []

    def _pin(self, joint: str, axis: str) -> list[Meaning]:
        holders = [b.name for b in self.figure.structure.bodies if joint in b.points]
        if len(holders) < 2 and joint not in self.figure.bodies.joints:
            holders = []
        axes = (axis,) if axis else ("y", "x")
        found: list[Meaning] = []
        for one in axes:
            for holder in holders:
                found += [m for m in self._item(f"pin {joint} {one} on {holder}") if m not in found]
        if axis and joint:
            item = f"{'axial' if axis == 'x' else 'shear'} at {joint}"
            loaded = any(force.on == joint for force in self.figure.forces)
            if item in self.figure.structure.find or not loaded:  # F_x is a part of the load
                found += self._item(item)
        return found

    def _fixing(self, joint: str) -> list[Meaning]:
        return self._item(f"reaction {joint} moment") or self._item(f"moment at {joint}")
