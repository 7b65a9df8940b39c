"""What LaTeX commands stand for in plain characters."""

from verifier.notation.names import GREEK

SYMBOLS = {
    **GREEK,
    "sum": "Σ", "Sigma": "Σ", "cdot": "·", "times": "×", "div": "÷", "ast": "*", "bullet": "·",
    "pm": "±", "mp": "∓", "imath": "i", "jmath": "j", "degree": "°", "circ": "°", "pi": "π",
    "Rightarrow": "⇒", "implies": "⇒", "Longrightarrow": "⇒", "iff": "⇒", "Leftrightarrow": "⇒",
    "therefore": "∴", "because": "∵", "to": "→", "rightarrow": "→", "longrightarrow": "→",
    "leftarrow": "←", "gets": "←", "uparrow": "↑", "downarrow": "↓", "Uparrow": "↑",
    "Downarrow": "↓", "nearrow": "↗", "searrow": "↘", "nwarrow": "↖", "swarrow": "↙",
    "circlearrowleft": "↺", "curvearrowleft": "↺", "acwopencirclearrow": "↺",
    "circlearrowright": "↻", "curvearrowright": "↻", "cwopencirclearrow": "↻",
    "quad": "  ", "qquad": "    ", "space": " ", "enspace": " ", "thinspace": " ", "hfill": "   ",
    "approx": "≈", "simeq": "≈", "cong": "≈", "equiv": "≡", "parallel": "∥", "perp": "⊥",
    "checkmark": "✓", "ne": "≠", "neq": "≠", "le": "≤", "leq": "≤", "ge": "≥", "geq": "≥",
    "ldots": "…", "dots": "…", "cdots": "…", "lvert": "|", "rvert": "|", "vert": "|", "mid": "|",
    "lbrace": "(", "rbrace": ")", "lbrack": "[", "rbrack": "]", "langle": "(", "rangle": ")",
    "prime": "'", "item": " ", "newline": " ; ", "ell": "l", "cr": " ; ",
    "sin": "sin", "cos": "cos", "tan": "tan", "cot": "cot", "arcsin": "arcsin",
    "arccos": "arccos", "arctan": "arctan", "sec": "sec", "csc": "csc", "tg": "tan",
    "kN": " kN", "kNm": " kNm", "N": " N", "kip": " kip", "lb": " lb", "ft": " ft", "m": " m",
}  # fmt: skip

# Commands that leave their argument as it is.
TRANSPARENT = frozenset(
    [
        "text",
        "textrm",
        "textit",
        "textbf",
        "textsf",
        "texttt",
        "textnormal",
        "mathrm",
        "mathbf",
        "mathit",
        "mathsf",
        "mathnormal",
        "operatorname",
        "mbox",
        "hbox",
        "emph",
        "underline",
        "overline",
        "bar",
        "vec",
        "hat",
        "tilde",
        "dot",
        "bm",
        "boldsymbol",
        "boxed",
        "fbox",
        "framebox",
        "ensuremath",
        "displaystyle",
        "textstyle",
        "limits",
        "nolimits",
        "section",
        "subsection",
        "subsubsection",
        "paragraph",
        "subparagraph",
        "title",
        "caption",
        "widehat",
        "color",
        "mathbin",
        "mathrel",
        "mathop",
        "smash",
        "substack",
        "intertext",
        "shortintertext",
        "noindent",
        "enskip",
    ]
)

# Commands that set the page and say nothing: how many arguments go with them.
DROPPED = {
    "begin": 1, "end": 1, "usepackage": 1, "documentclass": 1, "vspace": 1, "hspace": 1,
    "input": 1, "include": 1, "includegraphics": 1, "pagestyle": 1, "thispagestyle": 1,
    "setlength": 2, "author": 1, "date": 1, "textcolor": 1, "phantom": 1, "hphantom": 1,
    "vphantom": 1, "nonumber": 0, "notag": 0, "centering": 0, "newpage": 0, "maketitle": 0,
    "smallskip": 0, "medskip": 0, "bigskip": 0, "hline": 0, "footnote": 1, "cite": 1,
    "usetikzlibrary": 1, "sisetup": 1, "geometry": 1, "newcommand": 2, "renewcommand": 2,
    "def": 0, "DeclareMathOperator": 2, "color": 1, "raisebox": 1, "parbox": 1, "setcounter": 2,
}  # fmt: skip

# Words of siunitx: plain text, and whether it is a prefix that joins to what follows.
UNIT_WORDS = {
    "kilo": ("k", True), "mega": ("M", True), "deca": ("da", True), "deka": ("da", True),
    "milli": ("m", True), "centi": ("c", True), "deci": ("d", True), "giga": ("G", True),
    "newton": ("N", False), "N": ("N", False), "kN": ("kN", False), "MN": ("MN", False),
    "metre": ("m", False), "meter": ("m", False), "m": ("m", False), "mm": ("mm", False),
    "cm": ("cm", False), "gram": ("g", False), "kg": ("kg", False), "kilogram": ("kg", False),
    "degree": ("°", False), "radian": ("rad", False), "per": ("/", False),
    "squared": ("²", False), "cubed": ("³", False), "cdot": ("", False), "tonne": ("t", False),
    "foot": ("ft", False), "pound": ("lb", False), "kip": ("kip", False),
}  # fmt: skip
