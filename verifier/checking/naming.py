"""The search for what the writer's own names of forces stand for."""

import math
import re
from collections.abc import Iterator

from verifier.checking.choice import Choice, called
from verifier.checking.context import INNER
from verifier.checking.derived import same
from verifier.checking.names import Unknown, key_of
from verifier.checking.pricing import PUSHED, Pricing
from verifier.checking.written import Written
from verifier.notation.reckoning import worked_out
from verifier.notation.tree import Name, Relation

_LOAD = re.compile(  # words for what is given, never for what is sought
    r"\b(?:loads?|weights?|udl|last|gewicht|eigengewicht|charge|poids|carga|peso|carico|obciążenie"
    r"|ciężar|belasting|gewicht|last|zatížení|tíha)\b",
    re.IGNORECASE,
)
_NO_FORCES = {"l", "ℓ", "p", "q", "w"}  # lengths, and loads for a length
MOST_NAMINGS = 300
_MOST_ALIASES, _MOST_TWICE = 14, 4
_MOST_SWEEPS, _MOST_FITTING = 3, 4
_FIRST_USES = 3
_FAR_BEHIND = 9.0
"""A name that costs so much more than another in its first lines is not followed further."""
_NOTHING = 1e-9
_PART_AT = re.compile(r"(?P<joint>[A-EGI-MOUZ]\d?'?)_?[xyhv]")
"""E_x: letters that are usual for forces (F, H, N, R, S, T …) say nothing of a joint."""
_SIZE = 5e-3
_A_LINE = 5.0
"""By how much two names at once must be cheaper: by a line."""


class Naming(Pricing):
    """Finds names for the forces of one working."""

    def _alias(self, choice: Choice, loose: set[str]) -> Choice:
        """Find what the writer's own force names stand for, in the order of their first use."""
        loose = self._unloaded(loose)
        choice = self.cheapest(choice, [self._by_letter(choice, loose)])
        found = self._aliased(self._settled(choice, loose), loose)
        opened = self._opened(choice, loose) if self.skim(found).cost else None
        if opened is not None:
            other = self._aliased(opened, loose | self._unloaded(self.skim(opened).loose))
            found = self.cheapest(found, [other])
        return found

    def _aliased(self, choice: Choice, loose: set[str]) -> Choice:
        """Give names to the forces that have none, while that costs less."""
        order = self._first_use()
        named = dict(choice.aliases)  # at first these are but turned, until all have a name
        for _ in range(_MOST_SWEEPS):
            before = choice
            loose = loose | self._unloaded(self.skim(choice).loose)
            for key in sorted(loose, key=lambda key: (order.get(key, 0), not self._axis(key), key)):
                if self.price(choice) > _NOTHING and not self._fits_well(choice, key):
                    turned = [_turned(choice, key)] if key in named else self._fitting(choice, key)
                    choice = self.cheapest(choice, turned)
            over = not self.skim(choice).cost or self.runs > MOST_NAMINGS
            if over or (choice == before and not named):
                break
            named = {}
        return self._paired(choice, loose)

    def _opened(self, choice: Choice, loose: set[str]) -> Choice | None:
        """Return the one open name with the meaning under which its first lines are right.

        Where R is but a number of the writer's own, X of `X = 0.6 R = 2.37` is another; as soon as
        R is a force, X has to be one as well.
        """
        at_joints = {n.text for n in self._names_of(self.skim(choice))} & self.figure.points.keys()
        keys = loose or at_joints  # T for a cable's pull, where T is a joint as well
        key = next(iter(keys), "")
        if len(keys) != 1 or key in dict(choice.aliases):
            return None
        for other in self._named(choice, key):
            if not loose and "-" not in dict(other.aliases)[key][0]:
                continue
            end = min(self._use_of(self.skim(other).loose), default=0)
            if end and self.before(choice, end) and not self.before(other, end):
                return other
        return None

    def _use_of(self, keys: set[str]) -> list[int]:
        """Return the places of the lines in which names first stand."""
        first = self._first_use()
        numbers = [one.line.number for one in self.written]
        return [numbers.index(first[key]) for key in keys if key in first]

    def _unloaded(self, keys: set[str]) -> set[str]:
        """Return the names that may stand for forces: no lengths, and none that says a load."""
        return {key for key in keys - self.hints.lengths if not _LOAD.search(key)}

    def _fitting(self, choice: Choice, key: str) -> list[Choice]:
        """Return the names for a force under which the first lines that have it fare best."""
        others = list(self._named(choice, key))
        uses = [n for n, one in enumerate(self.written) if _stands_in(key, one)][:_FIRST_USES]
        end = min(uses[-1] + 1, len(self.written) - 1) if uses else 0
        costs: dict[Choice, float] = {}
        for other in others if end else ():
            most = min(costs.values(), default=math.inf) + _FAR_BEHIND
            costs[other] = self.before(other, end, most) + PUSHED * self.pushed(other)
        most = min(costs.values(), default=0.0) + _FAR_BEHIND
        return [other for other in others if costs.get(other, 0.0) <= most]

    def lines_with(self, key: str) -> int:
        """Return in how many lines of the working a name stands in an equation."""
        return sum(_stands_in(key, one) for one in self.written)

    def _fits_well(self, choice: Choice, key: str) -> bool:
        """Tell whether a name has a meaning under which no line with it is at fault or open."""
        bad = map(key_of, self._names_of(self.skim(choice)))
        return key in dict(choice.aliases) and key not in {*bad}

    def _paired(self, choice: Choice, keys: set[str]) -> Choice:
        """Name two forces of one line at once, of which one is that of a pin along a boom."""
        wholes, order = list(self._whole()), self._first_use()
        bars = [v for v in self._free(choice) if "-" in v][:_MOST_FITTING]
        pairs = [
            (one, other)
            for one in sorted(keys & order.keys())
            if one[:1] != "T"  # T is a pull
            for other in sorted(keys & order.keys() - {one})
            if order[one] == order[other]
        ]
        for one, other in pairs[: 2 * _MOST_FITTING] if wholes and bars else ():
            if not self.skim(choice).cost or self.runs > MOST_NAMINGS:
                break
            both = [
                called(choice, {one: (variable, sign * share), other: (bar, sense)})
                for variable, share in wholes
                for bar in bars
                for sign in (1.0, -1.0)
                for sense in (1.0, -1.0)
            ]
            best = self.cheapest(choice, both)
            choice = best if self.price(best) < self.price(choice) - _A_LINE else choice
        return choice

    def _settled(self, choice: Choice, keys: set[str]) -> Choice:
        """Name each force by the lines before the next one appears, where they are right.

        That takes a few lines, while a pass with many names open goes far.
        """
        used = {key: line for key, line in self._first_use().items() if key in keys}
        numbers = [one.line.number for one in self.written]
        for key in sorted(used, key=lambda key: (used[key], key)):
            named = {k for k, _ in choice.aliases}
            ahead = [line for k, line in used.items() if line > used[key] and k not in named]
            if key in named or not ahead:
                continue
            end = numbers.index(min(ahead))
            others = list(self._named(choice, key))
            right = [o for o in others if not self.before(o, end) and not self.pushed(o)]
            if right and self.before(choice, end):
                choice = self.cheapest(choice, right[:_MOST_FITTING])
            elif not right:  # another name of the same line may be open still
                open_ = [other for other in others if not self.faulty_before(other, end)]
                choice = open_[0] if len(open_) == 1 else choice
        return choice

    def _by_letter(self, choice: Choice, keys: set[str]) -> Choice:
        """Return the names given to what is asked for as their letters say: H across, S a bar."""
        named = {*self.skim(choice).called, *(v for _, (v, _) in choice.aliases)}
        asked = {self.figure.variable(item)[0] for item in self.figure.structure.find} - named
        open_ = set(keys) - set(dict(choice.aliases))
        open_ = {key for key in open_ if _axis_of(key) or key[:1] != "R"}  # R is no bar
        given: dict[str, tuple[str, float]] = {}
        settled = True
        while settled:
            settled = False
            for key in sorted(open_ - given.keys()):
                left = sorted(asked - {variable for variable, _ in given.values()})
                axis = self._axis(key)
                fitting = [v for v in left if (self._lies(v) == axis if axis else "-" in v)]
                rivals = [k for k in open_ - given.keys() if self._axis(k) == axis]
                if len(fitting) == 1 == len(rivals):
                    given[key] = fitting[0], 1.0
                    settled = True
        return called(choice, given)

    def _by_size(self, keys: set[str], choice: Choice) -> Choice:
        """Return the names given to the one force that has the size which a name is told last."""
        last: dict[str, float] = {}
        for part in (p for one in self.written for p in one.line.parts if isinstance(p, Relation)):
            first, number = part.sides[0], worked_out(part.sides[-1])
            if isinstance(first, Name) and number and key_of(first) in keys:
                last[key_of(first)] = number
        given: dict[str, tuple[str, float]] = {}
        for key, number in last.items():
            axis = self._axis(key)
            sized = [
                variable
                for variable in self._free(choice)
                if (not axis or self._lies(variable) in (axis, ""))
                and same(abs(number), abs(self.figure.true.get(variable, 0.0)), _SIZE)
            ]
            if len(sized) == 1:
                given[key] = sized[0], math.copysign(1.0, number * self.figure.true[sized[0]])
        return called(choice, given)

    def _side(self, choice: Choice) -> Choice:
        """Take a name that the sheet allows several meanings in the one that fits.

        The force of a pin with a load is another on each body; `F_A` may be either part at A;
        the parts of an inclined reaction are drawn each in its own sense.
        """
        outcome = self.skim(choice)
        for name in self._names_of(outcome) if outcome.cost else ():
            options = [m for m in self.names.meanings(name) if isinstance(m, Unknown)]
            options = [m for m in options if not m.variable.startswith(INNER)]
            if options and name.text in self.figure.points:  # S for the cable's pull, at a joint S
                options += [Unknown(v) for v in self._free(choice) if "-" in v]
            part = options[:1] and abs(options[0].factor) != 1.0
            if part or (len(options) > 1 and not _spells(name, options[0].variable)):
                taken = [(m.variable, s * m.factor) for m in options for s in (1.0, -1.0)]
                others = [called(choice, {key_of(name): one}) for one in taken]
                choice = self.cheapest(choice, others)
        return choice

    def _named(self, choice: Choice, key: str) -> Iterator[Choice]:
        """Yield a choice with a name given to each force that it may be, two names exchanged."""
        if key in _NO_FORCES or self._of_load(key):
            return
        given = dict(choice.aliases)
        axis = "" if self.around.joint(key) else self._axis(key)
        free = self._free(choice)
        lying = (axis, "") if len(key) == 1 else (axis,)  # V may be a shear force as well
        fitting = [v for v in free if not axis or self._lies(v) in lying] or free
        for variable in self.hints.narrow(key, fitting):
            holder = next((k for k, (v, _) in given.items() if v == variable and k != key), "")
            for sign in (1.0, -1.0):
                named = {**given, key: (variable, sign)}
                if not (holder and key in given):
                    yield called(choice, named)
                    continue
                other, turned = given[key]
                other, turned = self.held_by(holder, (other, turned))
                for sense in (turned, -turned):
                    yield called(choice, {**named, holder: (other, sense)})
        pulls = key[:1] == "T" or (key in self.hints.bars and any("-" in v for v in free))
        for variable, share in () if axis or pulls else self._whole():
            for sign in (1.0, -1.0):
                yield called(choice, {**given, key: (variable, sign * share)})

    def held_by(self, key: str, held: tuple[str, float]) -> tuple[str, float]:
        """Return what a name takes over from another: R_x is no whole reaction."""
        return (held[0], math.copysign(1.0, held[1])) if self._axis(key) else held

    def _of_load(self, key: str) -> bool:
        """Tell whether a name says a part of the load at a joint that nothing holds: E_x at E."""
        said = _PART_AT.fullmatch(key)
        joint = self.around.joint(said["joint"]) if said else None
        if joint is None or not any(force.on == joint for force in self.figure.forces):
            return False
        held = (v.replace("-", " ").split()[:3] for v in self.figure.true)
        return not any(joint in words for words in held)

    def _whole(self) -> Iterator[tuple[str, float]]:
        """Yield what a whole reaction of two parts may be: its part along x, by its direction.

        Where three forces meet, that direction is known before any of them is.
        """
        for joint, unknowns in self.figure.reactions.items():
            parts = [self.figure.true.get(f"reaction {joint} {axis}", 0.0) for axis in "xy"]
            if len(unknowns) > 1 and all(parts):
                yield f"reaction {joint} x", math.hypot(*parts) / parts[0]
        for body in self.figure.structure.bodies:  # a body held at its ends alone is a bar
            for joint in body.points if len(body.points) == 2 else ():
                item = f"pin {joint} x on {body.name}"
                across, up = (
                    self.figure.true.get(item.replace(" x ", f" {axis} "), 0.0) for axis in "xy"
                )
                (x1, y1), (x2, y2) = (self.figure.points[end] for end in body.points)
                turn = (x2 - x1) * up - (y2 - y1) * across
                along = abs(turn) < _NOTHING * math.hypot(across, up) * math.hypot(x2 - x1, y2 - y1)
                variable, sign = self.figure.variable(item)
                if across and along and variable in self.figure.true:
                    yield variable, sign * math.hypot(across, up) / across

    def _axis(self, key: str) -> str:
        """Return the axis along which a name says, or is said, to act; '' where that is open."""
        if self.around.joint(key):
            return self.hints.ways.get(key, "")  # H at a joint H
        return self.hints.ways.get(key, "") or _axis_of(key)

    def _lies(self, variable: str) -> str:
        """Return x or y for a force along that axis, '' for any other."""
        if variable[:4] == "pin ":
            return variable.split()[2]
        across, up = self.figure.along.get(variable, (0.0, 0.0))
        if abs(across) < 1e-9 < abs(up):
            return "y"
        return "x" if abs(up) < 1e-9 < abs(across) else ""

    def _free(self, choice: Choice) -> list[str]:
        """Return the variables that a name may stand for, those without another name first."""
        used = set(self.skim(choice).called) | {v for _, (v, _) in choice.aliases}
        asked = self.figure.structure.find
        items = [self.figure.variable(item)[0] for item in asked]
        items += [item for item in self.figure.true if self.figure.variable(item)[0] == item]
        ordered = sorted(dict.fromkeys(items), key=lambda item: item in used)
        # 'R = 1, so F_DG = −1': what is asked for may have a second name.
        again = [v for v in ordered[_MOST_ALIASES:] if v in items[: len(asked)]]
        bars = [v for v in again if "-" in v]
        others = [v for v in again if v.startswith("reaction ")]  # and `A gives 3 kN` after R_y = 3
        return [*ordered[:_MOST_ALIASES], *others[:_MOST_TWICE], *bars[:_MOST_TWICE]]


def _stands_in(key: str, one: Written) -> bool:
    """Tell whether a name stands in an equation of a line."""
    relations = (part for part in one.line.parts if isinstance(part, Relation))
    return any(key_of(name) == key for relation in relations for name in relation.named)


def _turned(choice: Choice, key: str) -> Choice:
    """Return a choice with a name in the other sense."""
    variable, sense = dict(choice.aliases)[key]
    return called(choice, {key: (variable, -sense)})


def _spells(name: Name, variable: str) -> bool:
    """Tell whether a name is spelt as the bar that it may be: BC is no reaction at C."""
    ends = variable.split("-")
    return len(ends) > 1 and name.text in ("".join(ends), "".join(reversed(ends)))


def _axis_of(key: str) -> str:
    """Return the axis that a name says: H, R_x and `T1 horizontal` lie across, V, R_y upright."""
    word = key.rpartition(" ")[2].lower() if " " in key else ""
    if word.startswith("horizontal") or word.startswith("vertical"):
        return "x" if word[0] == "h" else "y"
    last = key[-1:]
    if key in ("H", "X") or last in "xhX":
        return "x"
    return "y" if key in ("V", "Y") or last in "yvY" else ""
