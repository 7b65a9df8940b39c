"""Drafts a givens sheet from the names that a working uses, for its user to complete."""

from collections.abc import Iterable, Sequence

from verifier.checking.names import Dictionary, Unknown
from verifier.checking.written import Written
from verifier.notation.tree import Heading, Mul, Name, Num, Relation, SumLabel, walk


def draft_sheet(
    written: Sequence[Written], names: Dictionary, force: str, length: str = "m"
) -> str:
    """Return a sheet's text: joints, members and supports by name; places left to fill in."""
    variables = variables_of(written, names)
    members = sorted(v for v in variables if "-" in v)
    supports = sorted({v.split(" ")[1] for v in variables if v.startswith("reaction ")})
    joints = sorted(
        {*supports, *(end for m in members for end in m.split("-")), *joints_said(written)}
    )
    lines = [
        "# A sheet drafted from the working. Fill in what is marked, then check against it.",
        f"units   {force}, {length}",
    ]
    lines += [f"joint   {name}  0  0      # fill in: x, y" for name in joints]
    if members:
        lines.append(f"member  {', '.join(members)}")
    else:
        lines.append(f"body    frame: {', '.join(joints) or 'A, B'}")
    lines += [_support(name, variables) for name in supports]
    sizes = _sizes(written)
    first = joints[0] if joints else "A"
    lines += [
        f"load    {first}  {size}  down      # fill in: where, which way" for size in sizes[:6]
    ]
    lines.append("find    reactions" + (", all members" if members else ""))
    return "\n".join(lines)


def variables_of(written: Sequence[Written], names: Dictionary) -> set[str]:
    """Return the force variables that a working writes."""
    found = set()
    for relation in relations_of(written):
        for side in relation.sides:
            for node in walk(side):
                if isinstance(node, Name):
                    meaning = names.meanings(node)[0]
                    if isinstance(meaning, Unknown):
                        found.add(meaning.variable)
    return found


def relations_of(written: Sequence[Written]) -> Iterable[Relation]:
    """Yield every relation of a working."""
    for one in written:
        yield from (part for part in one.line.parts if isinstance(part, Relation))


def joints_said(written: Sequence[Written]) -> set[str]:
    """Return the joints that headings and moment labels name."""
    found = set()
    for one in written:
        for part in one.line.parts:
            if isinstance(part, Heading) and part.kind == "joint":
                found |= set(part.names)
            elif isinstance(part, SumLabel) and part.about:
                found.add(part.about)
    return {name for name in found if name[:1].isalpha()}


def _support(joint: str, variables: set[str]) -> str:
    own = {v for v in variables if v.startswith(f"reaction {joint} ")}
    if any(v.endswith(" moment") for v in own):
        return f"fixed   {joint}"
    return f"pin     {joint}" if len(own) > 1 else f"roller  {joint}"


def _sizes(written: Sequence[Written]) -> list[str]:
    """Return numbers that moment terms take as forces: the first factor of a product of two."""
    found: dict[str, None] = {}
    for relation in relations_of(written):
        for side in relation.sides:
            for node in walk(side):
                if isinstance(node, Mul) and len(node.factors) == 2:
                    first, second = node.factors
                    if isinstance(first, Num) and isinstance(second, Num):
                        found.setdefault(first.text)
    return list(found)
