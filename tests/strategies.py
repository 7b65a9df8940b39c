"""Hypothesis strategies that several rooms share: random determinate structures as sheet text.

Figures are of the boathouse: racks, gangways, booms, trestles. Numbers have one decimal, so that
the geometry is rational; `slanted` loads and rollers bring odd angles in.
"""

from hypothesis import strategies as st

LETTERS = "PQRSTUVWABCDEFGHJKLM"


def tenths(low: float, high: float) -> st.SearchStrategy[str]:
    """Numbers with one decimal, as text."""
    return st.integers(round(low * 10), round(high * 10)).map(lambda n: f"{n / 10:g}")


@st.composite
def directions(draw: st.DrawFn, slanted: bool = True) -> str:
    """The direction of a load."""
    plain = ["down", "down", "left", "right", "up"]
    choice = draw(st.sampled_from([*plain, "at"] if slanted else plain))
    return f"at {draw(st.integers(1, 359))}" if choice == "at" else choice


@st.composite
def point_loads(draw: st.DrawFn, joints: tuple[str, ...], most: int = 3) -> str:
    """One to `most` loads at joints."""
    where = draw(st.lists(st.sampled_from(joints), min_size=1, max_size=most, unique=True))
    lines = []
    for joint in where:
        if draw(st.integers(0, 7)) == 0:
            lines.append(f"mass {joint} {draw(st.integers(20, 400))}")
        else:
            lines.append(f"load {joint} {draw(tenths(0.5, 12))} {draw(directions())}")
    return "\n".join(lines)


@st.composite
def trusses(draw: st.DrawFn, most: int = 5) -> str:
    """A strip of triangles on a pin and a roller, or held to a wall by two pins."""
    count = draw(st.integers(3, 2 * most + 2))
    names = tuple(LETTERS[:count])
    x, lines, members = 0, [], []
    for index, name in enumerate(names):
        upper = index % 2
        y = draw(st.integers(15, 30)) if upper else draw(st.integers(-4, 4))
        lines.append(f"joint {name} {x / 10:g} {y / 10:g}")
        x += draw(st.integers(5, 14))
        members += [f"{names[back]}-{name}" for back in (index - 2, index - 1) if back >= 0]
    wall = draw(st.booleans())
    if wall:
        members.remove(f"{names[0]}-{names[1]}")
        lines += [f"pin {names[0]}", f"pin {names[1]}"]
        free = names[2:]
    else:
        far = names[-1] if count % 2 else names[-2]
        lines.append(f"pin {names[0]}")
        lean = draw(st.sampled_from(["", "", f" at {draw(st.integers(60, 120))}"]))
        lines.append(f"roller {far}{lean}")
        free = names
    lines.append("member " + ", ".join(members))
    lines.append(draw(point_loads(free)))
    return "units kN, m\n" + "\n".join(lines) + "\nfind reactions, all members\n"


@st.composite
def straight_loads(
    draw: st.DrawFn, body: str, joints: tuple[str, ...], upright: bool = False
) -> str:
    """Loads of any kind on a straight body through the joints."""
    lines = [draw(point_loads(joints, 2))]
    if draw(st.booleans()):
        start, end = sorted(
            draw(st.lists(st.integers(0, len(joints) - 1), min_size=2, max_size=2, unique=True))
        )
        first = draw(tenths(0.5, 6))
        size = f"{first} to {draw(tenths(-2, 6))}" if draw(st.booleans()) else first
        way = draw(
            st.sampled_from(
                ["down", "down", "right", "at 250", "down on plan"][: 4 + (not upright)]
            )
        )
        lines.append(f"distributed {joints[start]}-{joints[end]} {size} {way}")
    if draw(st.integers(0, 2)) == 0:
        turn = draw(st.sampled_from(["clockwise", "anticlockwise"]))
        where = draw(st.sampled_from(joints))
        lines.append(f"couple {where} {draw(tenths(0.5, 9))} {turn} on {body}")
    return "\n".join(lines)


@st.composite
def beams(draw: st.DrawFn) -> str:
    """A straight body, level or inclined, on a pin and a roller or built in at one end."""
    count = draw(st.integers(3, 6))
    names = tuple(LETTERS[:count])
    rise, run = draw(st.sampled_from([(0, 10), (0, 10), (3, 4), (-5, 12), (10, 0), (2, 7)]))
    along, lines = 0, []
    for name in names:
        lines.append(f"joint {name} {along * run / 100:g} {along * rise / 100:g}")
        along += draw(st.integers(3, 25))
    lines.append(f"body deck: {', '.join(names)}")
    if draw(st.booleans()):
        lines.append(f"fixed {draw(st.sampled_from([names[0], names[-1]]))}")
    else:
        held = sorted(draw(st.lists(st.sampled_from(names), min_size=2, max_size=2, unique=True)))
        across = " at 0" if (rise, run) == (10, 0) else ""
        lines += [f"pin {held[0]}", f"roller {held[1]}{across}"]
    lines.append(draw(straight_loads("deck", names, upright=run == 0)))
    inner = draw(st.sampled_from(names[1:-1]))
    asked = f"reactions, axial at {inner}, shear at {inner}, moment at {inner}"
    return "units kN, m\n" + "\n".join(lines) + f"\nfind {asked}\n"


@st.composite
def three_hinged(draw: st.DrawFn) -> str:
    """Two bodies pinned to each other and to the ground."""
    x1, x2 = draw(st.integers(20, 45)), draw(st.integers(60, 90))
    top, low = draw(st.integers(15, 40)), draw(st.integers(-8, 8))
    mid = draw(st.integers(2, 8))
    lines = [
        "joint A 0 0",
        f"joint B {x1 * mid / 100:g} {top * mid / 100:g}",
        f"joint C {x1 / 10:g} {top / 10:g}",
        f"joint D {x2 / 10:g} {top / 10:g}",
        f"joint E {x2 / 10:g} {low / 10:g}",
        "body left: A, B, C",
        "body right: C, D, E",
        "pin A",
        "pin E",
        draw(point_loads(("B", "C", "D"))),
    ]
    if draw(st.booleans()):
        lines.append(f"distributed C-D {draw(tenths(0.5, 5))} down")
    return (
        "units kN, m\n" + "\n".join(lines) + "\nfind reactions, pin C x on left, pin C y on left\n"
    )


@st.composite
def trestles(draw: st.DrawFn) -> str:
    """Two legs pinned at the top and tied below, on a pin and a roller."""
    half, top = draw(st.integers(8, 20)), draw(st.integers(15, 35))
    tie = draw(st.integers(2, 6))
    lines = ["joint A 0 0", f"joint B {2 * half / 10:g} 0", f"joint C {half / 10:g} {top / 10:g}"]
    lines += [
        f"joint L {half * tie / 100:g} {top * tie / 100:g}",
        f"joint R {half * (20 - tie) / 100:g} {top * tie / 100:g}",
        "body fore: A, L, C",
        "body aft: B, R, C",
        "member L-R",
        "pin A",
        "roller B",
        draw(point_loads(("C", "L", "R"))),
    ]
    return "units kN, m\n" + "\n".join(lines) + "\nfind reactions, L-R, moment at L\n"


@st.composite
def propped(draw: st.DrawFn) -> str:
    """A boom pinned to a wall and held by a stay or a prop."""
    reach, at = draw(st.integers(20, 50)), draw(st.integers(4, 10))
    foot = draw(st.sampled_from([-1, 1])) * draw(st.integers(8, 25))
    lines = [
        "joint A 0 0",
        f"joint B {reach * at / 100:g} 0",
        f"joint C {reach / 10 + 0.5:g} 0",
        f"joint W 0 {foot / 10:g}",
        "body boom: A, B, C",
        "member B-W",
        "pin A",
        "pin W",
        draw(straight_loads("boom", ("A", "B", "C"))),
    ]
    return "units kN, m\n" + "\n".join(lines) + "\nfind reactions, B-W, pin B y on boom\n"


@st.composite
def hinged_beams(draw: st.DrawFn) -> str:
    """A gangway in two lengths with a hinge between, the second carried by the first."""
    steps = [draw(st.integers(8, 25)) for _ in range(5)]
    xs = [sum(steps[:index]) / 10 for index in range(6)]
    lines = [f"joint {name} {x:g} 0" for name, x in zip("ABCDEF", xs, strict=True)]
    lines += ["body inner: A, B, C", "body outer: C, D, E, F", "pin A", "roller B", "roller E"]
    lines.append(draw(straight_loads("outer", ("D", "E", "F"))))
    lines.append(f"load B {draw(tenths(0.5, 9))} down" if draw(st.booleans()) else "")
    asked = "reactions, pin C y on outer, moment at D"
    return "units kN, m\n" + "\n".join(lines) + f"\nfind {asked}\n"


@st.composite
def slings(draw: st.DrawFn) -> str:
    """A boat's weight on a hook below two cables."""
    left, right = draw(st.integers(5, 30)), draw(st.integers(5, 30))
    a, b = draw(st.integers(5, 30)), draw(st.integers(5, 30))
    lines = [
        f"joint A {-left / 10:g} {a / 10:g}",
        f"joint B {right / 10:g} {b / 10:g}",
        "joint K 0 0",
        "joint H 0 -0.4",
        "cable A-K, B-K, K-H",
        "pin A",
        "pin B",
        f"mass H {draw(st.integers(20, 300))}",
    ]
    return "units N, m\n" + "\n".join(lines) + "\nfind all members\n"


def frames() -> st.SearchStrategy[str]:
    """Several bodies, or bodies and members."""
    return st.one_of(three_hinged(), trestles(), propped(), hinged_beams())


def structures() -> st.SearchStrategy[str]:
    """Any determinate structure, as sheet text."""
    return st.one_of(trusses(), beams(), frames(), slings())


def in_letters(text: str) -> str:
    """The same structure with lengths in units of a letter `a` and forces in units of `F`."""
    lines = ["let a", "let F"]
    for line in text.splitlines():
        word, *rest = line.split() or [""]
        match word:
            case "joint":
                line = f"joint {rest[0]} {rest[1]}*a {rest[2]}*a"
            case "load":
                line = f"load {rest[0]} {rest[1]}*F {' '.join(rest[2:])}"
            case "mass":
                line = f"load {rest[0]} {rest[1]}*F down"
            case "couple":
                line = f"couple {rest[0]} {rest[1]}*F*a {' '.join(rest[2:])}"
            case "distributed":
                sizes = f"{rest[1]}*F/a"
                after = rest[2:]
                if after[0] == "to":
                    sizes, after = f"{sizes} to {after[1]}*F/a", after[2:]
                line = f"distributed {rest[0]} {sizes} {' '.join(after)}"
        lines.append(line)
    return "\n".join(lines) + "\n"
