"""A sheet's text into a `Structure`, or into the one sentence that says what is wrong with it."""

from collections.abc import Callable, Iterable
from dataclasses import replace

from verifier import units
from verifier.errors import SheetError
from verifier.structure.checks import check
from verifier.structure.draft import Draft
from verifier.structure.items import Items
from verifier.structure.kinds import load_kinds, support_kinds
from verifier.structure.model import Body, Joint, Load, Member, Structure, Support
from verifier.structure.names import key, likely
from verifier.structure.quantities import Quantities
from verifier.structure.slips import EXAMPLES
from verifier.structure.statements import Statement, statements


def read_sheet(text: str, path: str = "sheet") -> Structure:
    r"""Read a givens sheet (design §3).

    Raises `SheetError` at the first place where the sheet cannot be used.

    >>> sheet = read_sheet("joint A 0 0\njoint B 4 0\nbody deck: A, B\npin A\nroller B\n")
    >>> sheet.find
    ('reaction A x', 'reaction A y', 'reaction B')
    """
    return _Reader(text, path).structure()


class _Reader:
    def __init__(self, text: str, path: str) -> None:
        self.text, self.path = text, path
        self.lines = statements(text, path)
        self.quantities = Quantities(self._of("let"), self._of("angle"), self._of("joint"))
        self.draft = Draft(self.quantities.letters, self.quantities.used_as_angles(self.lines))

    def structure(self) -> Structure:
        draft = self.draft
        self._units()
        joints, lets, angles = self.quantities.work_out(draft)
        self._members()
        self._bodies()
        supports = self._supports()
        loads = self._loads()
        items = Items(draft, supports, loads)
        check(self.lines, draft)
        find = self._find(items)
        return Structure(
            title=self._title(),
            force_unit=draft.force_unit,
            length_unit=draft.length_unit,
            joints={name: Joint(name, *at) for name, at in joints.items()},
            members=tuple(draft.members),
            bodies=tuple(draft.bodies),
            supports=tuple(supports),
            loads=tuple(loads),
            lets=lets,
            letters=draft.letters,
            angles=angles,
            calls=self._calls(items),
            find=find,
            marks=self._marks(items, find),
            source=self.text,
            path=self.path,
        )

    def _of(self, *kinds: str) -> list[Statement]:
        return [line for line in self.lines if line.kind in kinds]

    def _once(self, lines: Iterable[Statement], named: Callable[[Statement], str]) -> None:
        """Refuse a second statement for the same name."""
        seen: dict[str, Statement] = {}
        for line in lines:
            first = seen.setdefault(key(named(line)), line)
            if first is not line:
                name = "" if named(line) == line.kind else f" {named(line)}"
                problem = f"a second {line.kind}{name}; the first is on line {first.number}"
                expected = "a name of its own" if name else f"one {line.kind} in a sheet"
                raise line.error(line.parts[0], problem, expected, EXAMPLES[line.kind])

    def _title(self) -> str:
        titles = self._of("title")
        self._once(titles, lambda line: "title")
        return str(titles[0].parts[0]) if titles else ""

    def _units(self) -> None:
        lines = self._of("units")
        self._once(lines, lambda line: "of units")
        for line in lines:
            force, length = (str(part) for part in line.parts)
            self.draft.force_unit = _unit(line, 0, force, units.force_unit, units.FORCE)
            self.draft.length_unit = _unit(line, 1, length, units.length_unit, units.LENGTH)

    def _members(self) -> None:
        seen: dict[frozenset[str], int] = {}
        for line in self._of("member", "cable"):
            for pair in line.parts:
                one, two = self.draft.pair(line, pair)
                first = seen.setdefault(frozenset((one, two)), line.number)
                if len(seen) == len(self.draft.members):
                    problem = f"a second member {one}-{two}; the first is on line {first}"
                    raise line.error(pair, problem, "each member once", "member P-Q, Q-R")
                self.draft.members.append(Member(one, two, line.kind == "cable"))

    def _bodies(self) -> None:
        self._once(self._of("body"), lambda line: str(line.parts[0]))
        for line in self._of("body"):
            name, *points = line.parts
            joints: list[str] = []
            for point in points:
                joint = self.draft.joint(line, point)
                if joint in joints:
                    problem = f"{joint} is in the body twice"
                    raise line.error(point, problem, "each joint once", EXAMPLES["body"])
                joints.append(joint)
            if len(joints) < 2:
                problem = "a body of a single joint"
                raise line.error(name, problem, "two joints or more", EXAMPLES["body"])
            self.draft.bodies.append(Body(str(name), tuple(joints)))

    def _supports(self) -> list[Support]:
        kinds = support_kinds()
        found: list[Support] = []
        held: dict[str, int] = {}
        for line in self._of(*kinds):
            joint = self.draft.loaded(line, line.parts[0])
            if joint in held:
                problem = f"{joint} has a support already, on line {held[joint]}"
                raise line.error(line.parts[0], problem, "one support a joint", EXAMPLES[line.kind])
            held[joint] = line.number
            found.append(kinds[line.kind].build(line, self.draft))
        if not found:
            last = self.lines[-1].number if self.lines else 1
            problem = "the sheet has no support"
            expected = "at least one pin, roller or fixed"
            raise SheetError(last, 0, problem, expected, "pin A", path=self.path)
        return found

    def _loads(self) -> list[Load]:
        kinds = load_kinds()
        found: list[Load] = []
        for line in self._of(*kinds):
            found.extend(kinds[line.kind].build(line, self.draft))
        return _apart(found)

    def _find(self, items: Items) -> tuple[str, ...]:
        lines = self._of("find")
        wanted = [item for line in lines for item in items.wanted(line)]
        return tuple(dict.fromkeys(wanted if lines else items.usual()))

    def _marks(self, items: Items, find: tuple[str, ...]) -> dict[str, int]:
        found: dict[str, int] = {}
        for line in self._of("marks"):
            item, marks = items.marks(line)
            if item in found:
                problem = f"marks for {item} stand already"
                raise line.error(line.parts[0], problem, "each item once", EXAMPLES["marks"])
            if item not in find:
                meant = likely(item, find)
                expected = "an item of find" + (f", perhaps {meant}" if meant else "")
                problem = f"{item} is not looked for"
                raise line.error(line.parts[0], problem, expected, f"find {item}")
            found[item] = marks
        return found

    def _calls(self, items: Items) -> dict[str, tuple[str, ...]]:
        lines = self._of("call")
        self._once(lines, lambda line: str(line.parts[0]))
        return {str(line.parts[0]): items.call(line) for line in lines}


def _unit(
    line: Statement,
    part: int,
    word: str,
    usual: Callable[[str], str | None],
    known: Iterable[str],
) -> str:
    unit = usual(word)
    if unit is None:
        kind = ("force", "length")[part]
        expected = "one of " + " ".join(known)
        problem = f"«{word[:20]}» is no unit of {kind}"
        raise line.error(line.parts[part], problem, expected, EXAMPLES["units"])
    return unit


def _apart(loads: list[Load]) -> list[Load]:
    """Give loads that would be called alike a number, so that a report can tell them apart."""
    sources: dict[str, list[int]] = {}
    for load in loads:
        told = sources.setdefault(load.label, [])
        if load.source not in told:
            told.append(load.source)
    named = []
    for load in loads:
        told = sources[load.label]
        if len(told) > 1:
            number = told.index(load.source) + 1
            load = replace(load, label=f"{load.label} (no. {number})")  # type: ignore[type-var]
        named.append(load)
    return named
