"""Random figures of every family, with loads of every kind in any direction at odd places."""

from plain_figures import Figure

WAYS = ("down", "up", "left", "right")


def tenth(dice, low, high):
    """A number with up to two decimals as text."""
    return f"{dice.uniform(low, high):.{dice.choice((1, 2))}f}"


def way(dice, joints, at):
    """A direction in words."""
    match dice.randrange(4):
        case 0:
            return f"at {dice.randrange(360)}"
        case 1:
            other = dice.choice([name for name in joints if joints[name] != joints[at]])
            return f"{dice.choice(('toward', 'away from'))} {other}"
    return dice.choice(WAYS)


def line(dice, names, start, lean, step=1.2):
    """Joints along a leaning line: every one a whole multiple of one vector."""
    run, rise = lean
    made, far = {}, 0
    for name in names:
        made[name] = (f"{start[0] + far * run:.6g}", f"{start[1] + far * rise:.6g}")
        far += dice.randrange(1, 9) * step
    return made


def burden(dice, figure, body, free=()):
    """Loads of every kind on a body; joints in `free` take no point load and no couple."""
    joints = figure.bodies[body]
    takes = [name for name in joints if name not in free]
    for _ in range(dice.randrange(1, 3)):
        at = dice.choice(takes)
        figure.forces.append((at, tenth(dice, 0.5, 12), way(dice, figure.joints, at)))
    for _ in range(dice.randrange(3)):
        one, two = dice.sample(joints, 2)
        first = tenth(dice, 0.5, 6)
        last = dice.choice([first, "0", tenth(dice, 0.5, 6), f"-{tenth(dice, 0.5, 3)}"])
        upright = figure.joints[one][0] == figure.joints[two][0]
        words = dice.choice(["down", "left", f"at {dice.randrange(360)}", "down"])
        figure.spreads.append((one, two, first, last, words, not upright and dice.random() < 0.2))
    if dice.random() < 0.5:
        sign = dice.choice(("", "-"))
        figure.couples.append((dice.choice(takes), sign + tenth(dice, 0.5, 9), body))
    if dice.random() < 0.3:
        figure.masses.append((dice.choice(takes), str(dice.randrange(20, 400))))


LEANS = [(1, 0), (1, 0), (0.8, 0.6), (0.5, -0.25), (0.3, 1.1)]


def beam(dice):
    """A straight body on a pin and a roller, three rollers or a fixed end, cut at a joint."""
    joints = line(dice, "ABCKDE", (dice.randrange(3), dice.randrange(3)), dice.choice(LEANS))
    figure = Figure(joints, bodies={"deck": list(joints)}, cuts=[("K", "deck")])
    ends = dice.sample("ABCDE", 3)
    match dice.randrange(3):
        case 0:
            figure.fixed.append(dice.choice("AE"))
        case 1:
            figure.pins.append(ends[0])
            figure.rollers.append((ends[1], str(dice.randrange(-180, 360))))
        case 2:
            figure.rollers += [(end, str(dice.randrange(180))) for end in ends]
    burden(dice, figure, "deck", free="K")
    return figure


def hinged(dice):
    """Two or three straight lengths with hinges, one of them built in."""
    joints = line(dice, "ABCDEFG", (0, 0), dice.choice([(1, 0), (0.8, 0.6)]))
    figure = Figure(joints, bodies={"inner": list("ABC"), "outer": list("CDEFG")})
    figure.fixed.append("A")
    figure.rollers.append((dice.choice("EFG"), str(dice.choice([90, 90, 60, 105]))))
    figure.cuts = [("D", "outer")]
    burden(dice, figure, "inner")
    burden(dice, figure, "outer", free="D")
    return figure


def three_hinged(dice):
    """Two bent bodies pinned to each other and to the ground, held by a tie at times."""
    joints = {
        "A": ("0", "0"),
        "B": (tenth(dice, -0.5, 1), tenth(dice, 2, 3)),
        "C": (tenth(dice, 2, 4), tenth(dice, 3, 5)),
        "D": (tenth(dice, 5, 7), tenth(dice, 2, 3.5)),
        "E": (tenth(dice, 5.5, 8), tenth(dice, -1, 1)),
    }
    figure = Figure(joints, bodies={"left": list("ABC"), "right": list("CDE")}, pins=["A"])
    if dice.random() < 0.5:
        figure.pins.append("E")
    else:
        figure.rollers.append(("E", str(dice.choice([90, 80, 100]))))
        figure.members.append(("B", "D") if dice.random() < 0.5 else ("D", "A"))
    burden(dice, figure, "left")
    burden(dice, figure, "right")
    return figure


def tongs(dice):
    """Two crossing arms on one pivot, gripping a bar, hung by two links from one hook."""
    x, y = dice.uniform(0.3, 1.2), dice.uniform(0.8, 2)
    joints = {
        "A": (f"{-x:.2f}", f"{y:.2f}"),
        "B": (tenth(dice, 0.3, 1.2), f"{y:.1f}"),
        "P": ("0", "0"),
        "G": (tenth(dice, -1.5, -0.5), tenth(dice, -2, -1)),
        "H": (tenth(dice, 0.5, 1.5), tenth(dice, -2, -1)),
        "T": (tenth(dice, -0.1, 0.1), f"{y + 1:.2f}"),
    }
    figure = Figure(joints, bodies={"fore": list("APH"), "aft": list("BPG")})
    figure.members = [("G", "H"), ("A", "T"), ("B", "T")]
    figure.pins = ["T"]
    figure.rollers = [("G", str(dice.choice([0, 15, 170])))]
    for at in "HG":
        figure.forces.append((at, tenth(dice, 1, 9), way(dice, figure.joints, at)))
    return figure


def stayed(dice):
    """A boom with a cable to an anchor and a particle hung from its end by two lines."""
    joints = {
        "A": ("0", "0"),
        "B": (tenth(dice, 1, 2), tenth(dice, -0.3, 1)),
        "C": (tenth(dice, 3, 5), tenth(dice, -1, 1.5)),
        "W": (tenth(dice, -0.5, 0.5), tenth(dice, 2, 4)),
        "M": (tenth(dice, 4, 5), tenth(dice, -3, -2)),
        "N": (tenth(dice, 6, 8), tenth(dice, -0.5, 1)),
    }
    figure = Figure(joints, bodies={"boom": list("ABC")}, pins=["A", "W", "N"])
    figure.members = [(dice.choice("BC"), "W")]
    figure.members += [("C", "M"), ("M", "N")]
    burden(dice, figure, "boom")
    figure.masses.append(("M", str(dice.randrange(20, 400))))
    return figure


def particles(dice):
    """Two particles on three bars between anchors, the second also pulled somewhere."""
    joints = {
        "A": (tenth(dice, -4, -3), tenth(dice, 1, 4)),
        "B": (tenth(dice, -1.5, -0.5), tenth(dice, -1, 0.5)),
        "C": (tenth(dice, 0.5, 1.5), tenth(dice, -1.5, 0.4)),
        "D": (tenth(dice, 3, 4), tenth(dice, 1, 4)),
        "E": (tenth(dice, -0.3, 0.3), tenth(dice, 2, 5)),
    }
    figure = Figure(joints, pins=["A", "D", "E"])
    figure.members = [("A", "B"), ("B", "C"), ("C", "D"), ("C", "E")]
    figure.units = "N, m"
    for at in "BC":
        figure.forces.append((at, tenth(dice, 5, 90), way(dice, figure.joints, at)))
    figure.masses.append((dice.choice("BC"), str(dice.randrange(2, 40))))
    return figure


def truss(dice):
    """A strip of triangles on a pin and a roller in any direction, pulled in any."""
    count = dice.randrange(4, 12)
    names = [f"J{index}" for index in range(count)]
    x, joints, figure = 0.0, {}, Figure({})
    for index, name in enumerate(names):
        y = dice.uniform(1.5, 3) if index % 2 else dice.uniform(-0.4, 0.4)
        joints[name] = (f"{x:.2f}", f"{y:.2f}")
        x += dice.uniform(0.5, 1.4)
        figure.members += [(names[back], name) for back in (index - 2, index - 1) if back >= 0]
    figure.joints = joints
    figure.pins, figure.rollers = [names[0]], [(names[-1], str(dice.randrange(360)))]
    for at in dice.sample(names, 3):
        figure.forces.append((at, tenth(dice, 0.5, 20), way(dice, joints, at)))
    return figure


FAMILIES = {
    make.__name__: make for make in (beam, hinged, three_hinged, tongs, stayed, particles, truss)
}
