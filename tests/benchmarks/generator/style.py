"""Personal styles: independent habits, each style a fixed mix that reads as one person."""

from __future__ import annotations

import random
from dataclasses import dataclass, fields


@dataclass(frozen=True)
class Style:
    """One person's habits."""

    name: str
    ascii: bool = False
    latex: bool = False
    sum_label: str = "ΣF_x = 0:"
    moment_label: str = "ΣM_A = 0:"
    moment_positive: str = "ccw"
    form: str = "zero"
    product: str = "paren"
    unknown_first: bool = False
    coefficient: bool = False
    reaction_dress: str = "A_x"
    roller_dress: str = "A_y"
    member_dress: str = "F_AB"
    comma: bool = False
    figures: int = 3
    decimals: int | None = None
    units: str = "results"
    moment_unit: str = "kNm"
    trig: str = "degrees"
    degree_figures: int = 2
    degree_sign: bool = True
    trig_space: bool = True
    trig_bracket: bool = False
    trig_place: str = "after"
    connect: str = " → "
    chain: str = " = "
    steps: str = "short"
    substitute: str = "value"
    member_label: str = "(T)"
    member_form: str = "signed"
    reaction_arrow: str = "none"
    heading: str = "Joint Q:"
    whole: str = "Whole structure:"
    section: str = "Section through {cut}:"
    body: str = "FBD of {name}:"
    assume: str = "positive"
    declare: bool = False
    order: str = "given"
    shuffle: bool = False
    inspection: str = "By inspection, {name} = 0 (zero-force)"
    check: bool = False
    restate: bool = False
    angle_name: str = "θ"
    define: str = "tan"
    prose: bool = False
    thousands: bool = False
    moment_points: str = "supports"
    carry: str = "same"
    sum_arms: bool = False
    panels: bool = False
    strikes: bool = False
    resultant: bool = False
    perpendicular: bool = False
    names_loads: bool = False
    numbers_bars: bool = False
    tex: str = ""
    cancels: bool = False
    corrects: bool = False
    fractions: bool = False
    kilo: bool = False
    cyrillic: bool = False
    chain_names: bool = False
    joins: bool = False
    lumps: bool = False
    premultiplies: bool = False
    size_only: bool = False
    # The habits below belong to the second roster of writers alone.
    tongue: str = ""
    label_set: int = 0
    head_set: int = 0
    sense_set: int = 0
    sine: str = "sin"
    tangent: str = "tan"
    defs: str = "angle"
    numbering: str = ""
    page_order: str = "step by step"
    bare_point: bool = False
    tail_zero: bool = False
    half_sign: bool = False
    way_words: bool = False
    comments: bool = False
    sentences: bool = False
    bullets: str = ""
    lengths_first: bool = False
    gaps: bool = False
    label_place: str = "before"  # "line": on a line of its own; "after": behind the sum
    passes_on: bool = False  # AB = BC = 12 kN where a joint hands a force on
    angles_said: bool = False  # ∠BAC = … = 36.87° before the sums
    eliminates: bool = False  # (2) − 1.2·(1) instead of putting one into the other
    plain_names: bool = False  # T, N, H, V, M where there is one of each
    tags: str = "1"  # numbers of equations: 1, I or a
    given: bool = False  # what is given and sought, before anything else
    minded: bool = False  # says what a minus in a result means
    wraps: bool = False  # a long sum goes on in the next line
    numbers_joints: bool = False
    approx: str = ""  # "sign": ≈ before a result; "long": more figures and then ≈
    spaces: bool = False  # a space between thousands
    resolves: str = ""  # loads resolved before the sums: "numbers" or "names"
    squares: bool = False  # w·L²/2 for a spread load that starts at the moment point
    tables: bool = False
    chords: bool = False  # O, U, V, D bars
    across: bool = False  # sums square to a bar at joints with two unknown bars


_REGIONS: dict[str, dict[str, list[object]]] = {
    "us": {
        "sum_label": [
            "us",
            "us plain",
            "us arrows",
            "us after",
            "bracketed",
            "us short",
            "bare",
            "semicolon",
            "at",
        ],
        "reaction_dress": ["A_x", "Ax", "R_Ax", "A_{x}"],
        "roller_dress": ["A_y", "R_A", "RAy"],
        "member_dress": ["F_AB", "AB", "FAB", "F_{AB}", "T_AB"],
        "member_label": ["(T)", "T", "(tension)", "comma", "in", "none"],
        "heading": ["Joint Q:", "Joint Q", "@ Q", "FBD", "none", "Pin"],
        "whole": [
            "Whole structure:",
            "Entire structure",
            "FBD of whole structure",
            "Reactions:",
            "",
        ],
        "product": ["paren", "paren", "times", "dot"],
        "comma": [False],
    },
    "uk": {
        "sum_label": ["uk resolve", "uk words", "uk short", "us plain", "none"],
        "reaction_dress": ["H_A", "A_x", "HA", "X_A"],
        "roller_dress": ["V_A", "R_A", "RA"],
        "member_dress": ["AB", "F_AB", "T_AB", "FAB"],
        "member_label": ["(tension)", "tie", "thrust", "(T)", "in", "[tens]", "none"],
        "heading": ["At", "Joint Q", "none", "Joint Q:", "Consider", "Now"],
        "whole": ["Whole system:", "Whole structure", "Support reactions:", ""],
        "product": ["times", "paren", "dot"],
        "comma": [False],
    },
    "german": {
        "sum_label": ["german", "german sums", "italian"],
        "reaction_dress": ["A_H", "AH"],
        "roller_dress": ["A_V", "AV"],
        "member_dress": ["S_AB", "AB"],
        "member_label": ["Zug", "none"],
        "heading": ["Knoten"],
        "whole": ["Gesamtsystem:", "Auflagerkräfte:", ""],
        "product": ["dot", "times"],
        "comma": [True],
    },
    "french": {
        "sum_label": ["french", "italian"],
        "reaction_dress": ["X_A"],
        "roller_dress": ["Y_A"],
        "member_dress": ["N_AB", "F_AB"],
        "member_label": ["traction", "none"],
        "heading": ["nœud"],
        "whole": ["Réactions :", "Ensemble :", ""],
        "product": ["times", "dot", "paren"],
        "comma": [True, True, False],
    },
    "latin": {
        "sum_label": ["spanish", "italian", "us plain"],
        "reaction_dress": ["H_A", "HA"],
        "roller_dress": ["V_A", "VA"],
        "member_dress": ["F_AB", "N_AB"],
        "member_label": ["tracción", "none"],
        "heading": ["Nudo", "Nodo"],
        "whole": ["Reacciones:", "Estructura completa:", ""],
        "product": ["dot", "paren", "times"],
        "comma": [True, False],
    },
    "slav": {
        "sum_label": ["russian", "us plain", "us"],
        "reaction_dress": ["X_A", "HA", "H_A"],
        "roller_dress": ["Y_A", "R_A", "VA"],
        "member_dress": ["S_AB", "N_AB"],
        "member_label": ["none", "none", "(T)"],
        "heading": ["Joint Q:", "none"],
        "whole": ["Reactions:", ""],
        "product": ["dot"],
        "comma": [True, True, False],
        "cyrillic": [False, True],
    },
    "asia": {
        "sum_label": ["chinese", "italian", "us"],
        "reaction_dress": ["F_Ax", "H_A"],
        "roller_dress": ["F_Ay", "V_A"],
        "member_dress": ["F_AB", "N_AB"],
        "member_label": ["none", "(T)", "(tension)"],
        "heading": ["Joint Q", "none", "Joint Q:"],
        "whole": ["Whole structure:", ""],
        "product": ["times", "dot"],
        "comma": [False],
    },
    "ascii": {
        "sum_label": [
            "ascii sum",
            "ascii loud",
            "ascii words",
            "ascii s",
            "sum parens",
            "bare",
            "none",
        ],
        "reaction_dress": ["A_x", "Ax", "RAx"],
        "roller_dress": ["Ay", "RA", "R_A"],
        "member_dress": ["FAB", "AB", "F_AB"],
        "member_label": ["(T)", "T", "[tens]", "none"],
        "heading": ["Joint Q", "@ Q", "JOINT", "Joint Q:"],
        "whole": ["Whole truss", "FBD whole", "Reactions:"],
        "product": ["star", "x", "paren"],
        "comma": [False],
        "ascii": [True],
        "connect": [" => ", " -> ", ", so "],
    },
    "latex": {
        "sum_label": ["latex"],
        "reaction_dress": ["A_x", "A_{x}"],
        "roller_dress": ["A_y"],
        "member_dress": ["F_{AB}"],
        "member_label": ["latex"],
        "heading": ["Joint Q:"],
        "whole": ["Whole structure:"],
        "product": ["paren", "cdot"],
        "comma": [False],
        "latex": [True],
        "connect": [r" \Rightarrow "],
    },
}

_HABITS: dict[str, list[object]] = {
    "form": ["zero", "zero", "balance", "zero left", "solve", "isolate"],
    "moment_positive": ["ccw", "ccw", "cw"],
    "unknown_first": [False, True],
    "coefficient": [False, True],
    "figures": [3, 3, 4],
    "decimals": [None, None, 2],
    "units": ["results", "results", "all", "none", "square"],
    "moment_unit": ["kNm", "kN·m", "kN m"],
    "trig": ["degrees", "degrees", "named", "slope", "decimal"],
    "degree_figures": [1, 2, 2],
    "degree_sign": [True, True, False],
    "trig_space": [True, True, False],
    "trig_bracket": [False, False, True],
    "trig_place": ["after", "after", "before"],
    "connect": [" → ", " ⇒ ", "  ∴ ", "\n∴ ", "\n", ", so "],
    "steps": ["short", "short", "chain", "expr", "gather", "gather chain"],
    "substitute": ["value", "name", "name then value"],
    "member_form": ["signed", "arrow", "signed", "then"],
    "reaction_arrow": ["none", "after", "brackets"],
    "assume": ["positive", "positive", "likely", "random"],
    "declare": [False, True],
    "order": ["given", "unknowns first", "known first"],
    "check": [False, False, True],
    "restate": [False, False, True],
    "define": ["tan", "tan", "arctan", "atan"],
    "angle_name": ["θ", "α"],
    "prose": [False, False, True],
    "thousands": [False, True],
    "moment_points": ["supports", "any"],
    "carry": ["same", "same", "same", "finer", "coarser"],
    "sum_arms": [False, False, True],
    "panels": [False, False, False, True],
    "strikes": [False, False, False, False, True],
    "resultant": [False, False, False, True],
    "perpendicular": [False, False, False, True],
    "names_loads": [False, False, False, True],
    "numbers_bars": [False, False, False, True],
    "cancels": [False, False, True],
    "corrects": [False, False, False, False, True],
    "fractions": [False, False, False, False, True],
    "kilo": [False, False, True],
    "joins": [False, False, False, True],
    "lumps": [False, False, True],
    "premultiplies": [False, False, False, False, False, True],
    "size_only": [False, False, True],
    "chain_names": [False, False, True],
}

ORDER = [
    "us",
    "uk",
    "us",
    "german",
    "ascii",
    "french",
    "uk",
    "us",
    "latin",
    "slav",
    "asia",
    "ascii",
]


def make_style(index: int) -> Style:
    """Style number `index`: always the same person, habits drawn independently of each other."""
    rng = random.Random(f"writer {index}")
    region = "latex" if index in (16, 29, 33) else ORDER[index % len(ORDER)]
    names = {f.name for f in fields(Style)}
    chosen: dict[str, object] = {}
    for habit, values in {**_HABITS, **_REGIONS[region]}.items():
        chosen[habit] = rng.choice(values)
    label = str(chosen["sum_label"])
    chosen["moment_label"] = label
    if chosen["units"] == "all" and chosen["product"] not in ("paren",):
        chosen["units"] = "results"
    if chosen.get("ascii"):
        chosen["degree_sign"] = False
        chosen["trig_bracket"] = True if chosen["trig_space"] is False else chosen["trig_bracket"]
        chosen["angle_name"] = "theta"
        chosen["define"] = "atan"
    if chosen["carry"] == "coarser":
        chosen["figures"], chosen["decimals"] = 4, None
    if chosen.get("latex"):
        chosen["strikes"] = chosen["declare"] = chosen["corrects"] = False
        chosen["tex"] = {16: "raw", 29: "dollars", 33: "align"}[index]
        chosen["angle_name"] = r"\theta"
        chosen["define"] = "tan"
        chosen["reaction_arrow"] = "none"
        chosen["trig_bracket"] = False
    return Style(name=f"{index:02d} {region}", **{k: v for k, v in chosen.items() if k in names})  # type: ignore[arg-type]


STYLES = [make_style(i) for i in range(40)]
