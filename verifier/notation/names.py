"""Names as people dress them: what may be a name, how a run of letters falls apart, what it may be.

Everything goes by the writing and the table of names alone, never by values.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from verifier.notation.tree import Name, Names

GREEK = {
    "alpha": "α", "beta": "β", "gamma": "γ", "delta": "δ", "epsilon": "ε", "zeta": "ζ",
    "eta": "η", "theta": "θ", "iota": "ι", "kappa": "κ", "lambda": "λ", "mu": "μ", "nu": "ν",
    "xi": "ξ", "rho": "ρ", "sigma": "σ", "tau": "τ", "phi": "φ", "chi": "χ",
    "psi": "ψ", "omega": "ω", "Alpha": "Α", "Beta": "Β", "Gamma": "Γ", "Delta": "Δ",
    "Theta": "Θ", "Lambda": "Λ", "Phi": "Φ", "Psi": "Ψ", "Omega": "Ω", "varphi": "φ",
    "vartheta": "θ", "varepsilon": "ε",
}  # fmt: skip
_BELOW = str.maketrans("₀₁₂₃₄₅₆₇₈₉ₐₑₕᵢⱼₖₗₘₙₒₚᵣₛₜᵤᵥₓᵧ", "0123456789aehijklmnoprstuvxy")
_JUNK = re.compile(
    r"[_{}\\\s,()]+|mathrm|text(?:rm|it)?|mathit|mathbf|boldsymbol|vec|overline|bar|hat"
)
_GREEK_WORD = re.compile(
    r"(?<![A-Za-z])(?:" + "|".join(sorted(GREEK, key=len, reverse=True)) + r")(?![a-z])"
)

AXES = {
    "x": "x", "y": "y", "X": "x", "Y": "y", "h": "x", "v": "y", "H": "x", "V": "y",
    "hor": "x", "ver": "y", "horiz": "x", "vert": "y", "z": "y", "Z": "y", "х": "x", "у": "y",
}  # fmt: skip
_PART_AXES = "xyhvHV"
_FORCE_LETTERS = "FTCSNPfsPQRDZKB"
_REACTION_LETTERS = {"R": "", "F": "", "X": "x", "Y": "y", "H": "x", "V": "y", "N": "", "B": ""}

_ENGLISH = {
    **dict.fromkeys(
        ("auflagerkraft", "auflagerreaktion", "lagerkraft", "lagerreaktion", "stützkraft",
         "reaktion", "réaction", "reazione", "reacción", "reaccion", "reakcja", "реакция"),
        "reaction",
    ),
    **dict.fromkeys(("vertikale", "vertikal", "verticale", "pionowa", "senkrechte"), "vertical"),
    **dict.fromkeys(
        ("horizontale", "orizzontale", "pozioma", "waagerechte", "waagrechte"), "horizontal"
    ),
}  # fmt: skip
"""What a phrase that names a reaction says in English, word by word."""

_CUT = re.compile(r"(?P<kind>axial|shear|moment) at (?P<point>[^ ,]+)(?P<side>, (?:left|right))?")

_TO_LINE = re.compile(
    r"\b(?i:perp\w*|distances?|abstand|lot|hebelarm|lever|arm|levier|braccio|brazo|ramię|distan[cz](?:ia|a)"
    r"|odległość|afstand)\b.*\s(?:to|of|from|auf|zu|von|de|di|à|a|al|do|od|sur)\s(?:\w+\s){0,2}"
    r"[A-Z]\d?-?[A-Z]\d?(?![\w])"
)
"""A phrase for a point's distance from a bar, which is no length of the bar."""

Kind = Literal[
    "member", "part", "reaction", "moment", "letter", "pin", "force", "length", "axial", "shear"
]
Candidate = tuple[str, ...]


@lru_cache(maxsize=8192)
def canonical(text: str) -> str:
    """Return a name without its dress: `F_{AB}` → FAB, `theta` → θ, `T₁` → T1."""
    text = text.replace("\\", "")
    if text.isalnum() and text.isascii() and text not in GREEK and not text[-1:].isdigit():
        return text
    text = _GREEK_WORD.sub(lambda m: GREEK[m.group()], text.replace("_", " "))
    return _JUNK.sub("", text.translate(_BELOW))


@dataclass(frozen=True, eq=False)
class Lexicon:
    """The table of names made ready: canonical joints, letters and member writings.

    There is one for each table, so that it is known by itself.
    """

    joints: frozenset[str]
    letters: frozenset[str]
    members: dict[str, tuple[str, str]]
    bodies: frozenset[str]
    bare: bool
    force: str

    def pair(self, text: str) -> tuple[str, str] | None:
        """Return the two joints that `text` (already canonical) writes, as QR or Q-R, if any."""
        text = text.replace("-", "")
        if text in self.members:
            return self.members[text]
        for cut in range(1, len(text)):
            if text[:cut] in self.joints and text[cut:] in self.joints:
                return (text[:cut], text[cut:])
        return None


@lru_cache(maxsize=64)
def lexicon(names: Names) -> Lexicon:
    """Build the lexicon of a table of names, once for each table."""
    members: dict[str, tuple[str, str]] = {}
    for one, two in names.members:
        first, second = canonical(one), canonical(two)
        members[first + second] = (first, second)
        members[second + first] = (first, second)
    letters = frozenset(map(canonical, names.letters | names.extra))
    joints = frozenset(map(canonical, names.joints))
    bodies = frozenset(map(canonical, names.bodies))
    bare = not (joints or names.letters or members)  # the extra ones a working tells itself
    return Lexicon(joints, letters, members, bodies, bare, names.units[0])


def is_known(text: str, lex: Lexicon) -> bool:
    """Tell whether a canonical writing is a name of the table in one of its dresses."""
    return bool(text) and _known(text, lex) is not None


@lru_cache(maxsize=8192)
def _known(text: str, lex: Lexicon) -> Candidate | None:
    if text in lex.letters:
        return ("letter", text)
    if pair := lex.pair(text):
        return ("member", *pair)
    if len(text) > 1 and text[-1] in AXES and text[:-1] in lex.joints:
        return ("reaction", text[:-1], AXES[text[-1]])
    if len(text) < 2:
        return None
    head, tail = text[0], text[1:]
    if (head in _FORCE_LETTERS or head == "L") and (pair := lex.pair(tail)):
        return ("member", *pair)
    if head in "RFXYHVNMTBm" and tail in lex.joints:
        return ("reaction", tail)
    if head in "RFXYHVBTM" and len(tail) > 1:
        if tail[-1] in AXES and tail[:-1] in lex.joints:
            return ("reaction", tail[:-1], tail[-1])
        if tail[0] in AXES and tail[1:] in lex.joints:
            return ("reaction", tail[1:], tail[0])
    parts = ((lex.members.get(bar), axis) for bar, axis in _parts(text))
    return next((("part", *pair, axis) for pair, axis in parts if pair), None)


def _parts(text: str) -> list[tuple[str, str]]:
    """Return the bars and axes of whose force a writing may be a component: FQRx, QRv, V_QR."""
    found: list[tuple[str, str]] = []
    if len(text) > 2 and text[-1] in _PART_AXES:
        axis = AXES[text[-1]]
        found += [(text[:-1], axis)]
        found += [(text[1:-1], axis)] if text[0] in _FORCE_LETTERS else []
    if len(text) > 3 and text[0] in _FORCE_LETTERS and text[1] in _PART_AXES:
        found.append((text[2:], AXES[text[1]]))
    if len(text) > 2 and text[0] in "VHXY":
        found.append((text[1:], AXES[text[0]]))
    return found


def dress(name: Name) -> tuple[Candidate, ...]:
    """List what a name may be by its writing alone, likeliest first.

    Candidates are tuples: ('letter', 'θ'), ('member', 'Q', 'R'), ('length', 'Q', 'R'),
    ('reaction', 'P', 'x'), ('reaction', 'P', '') for a roller's or a whole reaction,
    ('part', 'Q', 'R', 'x') for a component of a bar's force (QR_x, H_QR),
    ('moment', 'P'), ('pin', 'C', 'x') (a pin between bodies, written like a reaction),
    ('axial', 'K'), ('shear', 'K'), ('cut', 'moment at K, left') where the writing names it so,
    ('words', 'load on deck') for a phrase. Joints are canonical
    (`canonical`); where a writing can be cut into two joints in several ways (U12L1), each cut is
    listed. Letters that carry a joint are tried too: F_P may be a force so called or the load at P,
    ('force', 'P').
    """
    text = canonical(f"{name.base}_{name.sub}" if name.sub else name.base)
    if cut := _CUT.fullmatch(name.base):
        found: list[Candidate] = [("cut", name.base)]
        return tuple(found if cut["side"] else [*found, (cut["kind"], cut["point"])])
    if " " in name.text.strip() and "_" not in name.text and not name.sub:
        if _TO_LINE.search(name.text):
            return ()
        said = name.text.strip().lower().replace("'", " ").split()
        return (("words", " ".join(_ENGLISH.get(word, word) for word in said)),)
    return _dress(canonical(name.base), canonical(name.sub), text)


@lru_cache(maxsize=4096)
def _dress(base: str, sub: str, text: str) -> tuple[Candidate, ...]:
    found: list[Candidate] = [("letter", text)]
    if sub in AXES:  # FG_h is a component of FG's force before it is F at G
        found += [("part", *ends, AXES[sub]) for kind, *ends in _pairs(base) if kind == "member"]
    whole = [(text, "")] if not sub else [(base + sub, ""), (base, sub)]
    for head, tail in whole:
        if not tail:
            found += _run(head)
    if sub:
        found += _with_sub(base, sub)
    return tuple(dict.fromkeys(found))


def _pairs(text: str) -> list[Candidate]:
    cuts = [(text[:i], text[i:]) for i in range(1, len(text))]
    good = [c for c in cuts if _jointlike(c[0]) and _jointlike(c[1])]
    return [(kind, *c) for c in good for kind in ("member", "length")]


def _jointlike(text: str) -> bool:
    return bool(re.fullmatch(r"[^\W\d_](?:\d+|[^\W\d_])?\d*'*", text)) or text.isdigit()


def _at(joint: str, axis: str) -> list[Candidate]:
    return [("reaction", joint, axis), ("pin", joint, axis)]


def _run(text: str) -> list[Candidate]:
    """Candidates of a run of letters without a subscript: QR, FQR, Ax, RAx, VA, MA."""
    found: list[Candidate] = []
    if len(text) > 1 and text[-1] in AXES and _jointlike(text[:-1]):
        found += _at(text[:-1], AXES[text[-1]])
    if len(text) > 1:
        head, tail = text[0], text[1:]
        found += _headed(head, tail)
        found += _pairs(text)
        if head in _FORCE_LETTERS or head == "L":
            found += [c for c in _pairs(tail) if head == "L" or c[0] == "member"]
    for bar, axis in _parts(text):
        found += [("part", *ends, axis) for kind, *ends in _pairs(bar) if kind == "member"]
    return found


def _headed(head: str, tail: str) -> list[Candidate]:
    """Candidates of a force letter with a subscript or glued tail: R+A, R+Ax, M+A, V+A, F+xA."""
    found: list[Candidate] = []
    if head in "Mm" and _jointlike(tail):
        found += [("moment", tail)]
    if head in _REACTION_LETTERS and _jointlike(tail):
        found += _at(tail, _REACTION_LETTERS[head])
        found += [("force", tail)] if head != "N" else []
    if head in "NVQT" and _jointlike(tail):
        found += [("axial" if head == "N" else "shear", tail)]
    if head in _REACTION_LETTERS and len(tail) > 1:
        if tail[-1] in AXES:
            found += _at(tail[:-1], AXES[tail[-1]])
        if tail[0] in AXES:
            found += _at(tail[1:], AXES[tail[0]])
    if head in "PWGQFT" and _jointlike(tail):
        found += [("force", tail)]
    return found


def _with_sub(base: str, sub: str) -> list[Candidate]:
    found: list[Candidate] = []
    if sub in AXES and _jointlike(base):
        found += _at(base, AXES[sub])
    if sub in ("M", "m") and _jointlike(base):
        found += [("moment", base)]
    if len(base) == 1 or base in ("Rx", "Ry", "Fx", "Fy"):
        found += _headed(base[0], sub + base[1:])
    if sub.strip("0123456789") and len(base) == 1:
        force = base in _FORCE_LETTERS or base in "VQM"  # Q_AB is no distance
        found += [c for c in _pairs(sub) if not force or c[0] == "member"]
    elif base == "l" and len(sub) == 2:
        found += [c for c in _pairs(sub) if c[0] == "length"]  # l_26 between joints 2 and 6
    return found


def likely(name: Name, names: Names) -> tuple[str, ...]:
    """Return up to three names of the table that a name unknown to it is likeliest to mean.

    They are offered, never taken: writings that are one letter away or have two letters changed
    round; members as `Q-R`, reactions as `P_x`.

    >>> table = Names(joints=frozenset("PQR"), members=frozenset({("P", "Q"), ("Q", "R")}))
    >>> likely(Name((0, 4), "F_QT", "F", "QT"), table)
    ('P-Q', 'Q-R')
    """
    lex = lexicon(names)
    text = canonical(f"{name.base}_{name.sub}" if name.sub else name.base)
    if is_known(text, lex) or len(text) < 2:
        return ()
    forms = {text, text[1:]} if len(text) > 2 and text[0] in _FORCE_LETTERS else {text}
    pairs = {"-".join(sorted(pair)): pair for pair in lex.members.values()}
    found = [shown for shown, pair in sorted(pairs.items()) if _near(forms, "".join(pair))]
    found += sorted(letter for letter in lex.letters if len(letter) > 1 and _near(forms, letter))
    if text[:-1] in lex.joints:
        found += [f"{text[:-1]}_x", f"{text[:-1]}_y"]
    return tuple(dict.fromkeys(found))[:3]


def _near(forms: set[str], word: str) -> bool:
    words = (word, word[::-1]) if len(word) == 2 else (word,)
    return any(_one_apart(form, one) for form in forms for one in words if len(form) > 1)


def _one_apart(one: str, two: str) -> bool:
    """Tell whether two writings differ by one letter, or by two neighbours changed round."""
    if len(one) == len(two):
        places = [i for i, (a, b) in enumerate(zip(one, two, strict=True)) if a != b]
        if len(places) == 2 and places[1] == places[0] + 1:
            return one[places[0]] == two[places[1]] and one[places[1]] == two[places[0]]
        return len(places) == 1
    short, long = sorted((one, two), key=len)
    return len(long) - len(short) == 1 and any(
        long[:i] + long[i + 1 :] == short for i in range(len(long))
    )
