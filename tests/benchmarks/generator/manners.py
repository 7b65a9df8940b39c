"""The second roster: people of six languages who share no habit of layout with the first."""

from __future__ import annotations

import random
from dataclasses import fields

from .style import _HABITS, Style
from .tongues import TONGUES

ORDER = ["en", "de", "fr", "es", "it", "pl"]
SENSES = {
    "en": ["(tension)", "pulling", "tie", "Tens.", "loud", "[T]", "in", "(T)"],
    "de": ["Zug", "Zugstab", ", Zug"],
    "fr": ["traction", "tendue", "en traction"],
    "es": ["tracción", "a tracción", "(T)"],
    "it": ["tirante", "trazione", "tesa"],
    "pl": ["rozciąganie", "rozciągany"],
}
REACTIONS = {
    "en": ["A_x", "Ax", "R_Ax", "H_A", "X_A", "R_A,x", "A_h", "H_a"],
    "de": ["A_H", "A_x", "AH", "A_h", "Ax"],
    "fr": ["X_A", "A_x", "R_Ax"],
    "es": ["A_x", "H_A", "R_Ax", "Ax"],
    "it": ["H_A", "X_A", "HA"],
    "pl": ["H_A", "R_Ax", "X_A", "HA"],
}
ROLLERS = {
    "en": ["A_y", "R_A", "A", "V_A"], "de": ["A", "A_V", "R_A"], "fr": ["Y_A", "R_A"],
    "es": ["R_A", "V_A", "A_y"], "it": ["V_A", "R_A"], "pl": ["R_A", "V_A"],
}  # fmt: skip
BARS = {
    "en": ["F_AB", "AB", "T_AB", "P_AB"], "de": ["S_AB", "AB", "N_AB"], "fr": ["N_AB", "F_AB"],
    "es": ["F_AB", "N_AB", "AB"], "it": ["N_AB", "S_AB"], "pl": ["S_AB", "N_AB", "F_AB"],
}  # fmt: skip
OWN: dict[str, list[object]] = {
    "form": ["zero", "known right", "known right", "balance", "zero left", "isolate", "solve"],
    "product": ["paren", "times", "dot", "dot", "star"],
    "label_set": list(range(10)),
    "head_set": list(range(8)),
    "numbering": ["", "", "", "1.", "Step", "a)"],
    "page_order": ["step by step", "step by step", "sums first"],
    "bare_point": [False, False, False, True],
    "tail_zero": [False, False, True],
    "half_sign": [False, True],
    "way_words": [False, True],
    "comments": [False, False, False, True],
    "sentences": [False, False, True],
    "bullets": ["", "", "", "* ", "• ", "- "],
    "lengths_first": [False, True],
    "defs": ["angle", "sincos", "sincos"],
    "trig": ["degrees", "named", "named", "named", "slope", "decimal"],
    "units": ["results", "results", "none", "square", "all"],
    "gaps": [False, False, True],
    "names_loads": [False, False, True],
    "fractions": [False, False, True],
    "resolves": ["", "", "numbers", "names"],
    "squares": [False, True],
    "numbers_joints": [False, False, True],
    "wraps": [False, False, False, True],
    "plain_names": [False, False, True],
    "tags": ["1", "1", "I", "a"],
    "given": [False, False, True],
    "minded": [False, False, True],
    "eliminates": [False, True],
    "label_place": ["before", "before", "before", "line", "after"],
    "passes_on": [False, True],
    "angles_said": [False, True],
    "chain": [" = ", " = ", " = ", "\n= ", "\n   = "],
    "approx": ["", "", "", "sign", "long"],
    "spaces": [False, False, True],
    "tables": [False, False, False, True],
    "chords": [False, True],
    "across": [False, False, True],
}


LATEX = {42: ("en", "dollars"), 43: ("de", "align"), 44: ("fr", "raw"), 45: ("es", "dollars")}


def make_manner(index: int) -> Style:
    """Writer number `index` of the second roster: always the same person."""
    rng = random.Random(f"second roster {index}")
    tongue = LATEX[index][0] if index in LATEX else ORDER[index % len(ORDER)]
    # Each habit has dice of its own: a new habit leaves the other ones as they are.
    chosen: dict[str, object] = {
        habit: random.Random(f"second roster {index} {habit}").choice(values)
        for habit, values in {**_HABITS, **OWN}.items()
    }
    chosen["reaction_dress"] = rng.choice(REACTIONS[tongue])
    chosen["roller_dress"] = rng.choice(ROLLERS[tongue])
    chosen["member_dress"] = rng.choice(BARS[tongue])
    chosen["member_label"] = rng.choice([*SENSES[tongue], *SENSES[tongue], "none"])
    chosen["comma"] = tongue in ("de", "fr", "it", "pl") or (tongue == "es" and rng.random() < 0.5)
    chosen["sine"] = "sen" if tongue in ("es", "it") and rng.random() < 0.7 else "sin"
    chosen["tangent"] = "tg" if tongue in ("pl", "it", "es") and rng.random() < 0.6 else "tan"
    words = TONGUES[tongue]
    hence = [", " + h for h in words.hence] + [" ⇒ ", "  ⟹  ", "\n⇒ ", "\n" + words.hence[0]]
    chosen["connect"] = rng.choice(hence)
    chosen["inspection"] = rng.choice(words.inspection)
    chosen["sum_label"] = "scribe"
    chosen["heading"] = "scribe"
    if chosen["units"] == "all" and chosen["product"] == "star":
        chosen["units"] = "results"
    if chosen["carry"] == "coarser":
        chosen["figures"], chosen["decimals"] = 4, None
    if chosen["comma"]:
        chosen["bare_point"] = False
    if tongue != "de":
        chosen["chords"] = False
    if chosen["lengths_first"] and chosen["defs"] == "angle":
        chosen["lengths_first"] = False
    chosen["kilo"] = chosen["joins"] = chosen["thousands"] = False
    lettered = "_" in str(chosen["member_dress"]) and chosen["roller_dress"] != "A"
    if not lettered or chosen["reaction_dress"] not in ("R_Ax", "H_A", "X_A"):
        chosen["numbers_joints"] = False
    if chosen["label_place"] == "line" and "\n" not in str(chosen["connect"]):
        chosen["connect"] = "\n"
    if chosen["label_place"] == "after" and chosen["bullets"] == "- ":
        chosen["bullets"] = "• "  # a dash before a sum would be a minus
    if index in LATEX:
        chosen |= in_latex(index)
    names = {f.name for f in fields(Style)}
    return Style(
        name=f"s{index:02d} {tongue}",
        tongue=tongue,
        **{k: v for k, v in chosen.items() if k in names},  # type: ignore[arg-type]
    )


def in_latex(index: int) -> dict[str, object]:
    """What somebody who sets the page in LaTeX does otherwise."""
    plain = ("wraps", "strikes", "declare", "corrects", "trig_bracket", "half_sign", "comments",
             "tables",
             "sentences", "bare_point", "spaces", "way_words", "angles_said", "squares", "lumps",
             "lengths_first")  # fmt: skip
    return {
        **dict.fromkeys(plain, False), "latex": True, "tex": LATEX[index][1], "bullets": "",
        "connect": r" \Rightarrow ", "chain": " = ", "angle_name": r"\theta", "define": "tan",
        "reaction_arrow": "none", "member_label": "latex", "label_place": "before",
        "product": "cdot" if index % 2 else "paren", "approx": "", "resolves": "",
        "sine": "sin", "tangent": "tan", "units": "results",
    }  # fmt: skip


MANNERS = [make_manner(i) for i in range(46)]
