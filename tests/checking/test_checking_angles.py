"""Angles defined by their ratios: right ones agree, wrong ones are told where they stand."""

import pytest

from verifier import check

SHEET = """units kN, m
joint A 0 0
joint B 3 4
joint C -3 4
member A-B, A-C
pin B
pin C
load A 16 down
find A-B, A-C
"""


def working(definition: str) -> str:
    return f"""{definition}
Joint A:
ΣFx = 0: F_AB cos α - F_AC cos α = 0
ΣFy = 0: F_AB sin α + F_AC sin α - 16 = 0
F_AC = F_AB
2 F_AB sin α = 16
F_AB = 16/(2 sin α) = 10.0 kN (T)
F_AC = 10.0 kN (T)
"""


@pytest.mark.parametrize(
    "definition",
    [
        "sin α = 0.8; cos α = 0.6",
        "sin α = 4/5, cos α = 3/5",
        "cos(α) = 3/5 = 0.6; sin(α) = 4/5 = 0.8",
        "tan α = 4/3",
        "tan α = 4/3 = 1.3333 ⇒ α = 53.13°",
        "tg α = 4/3 → α = 53.1",
        "sen α = 0.8",
        "s = sin α = 0.8",
        "α = 53.13°",
        "sin α = 4/√(3² + 4²)",
    ],
)
def test_a_letter_is_defined_by_its_ratio(definition: str) -> None:
    result = check(SHEET, working(definition))
    assert result.verdict == "agrees", [(v.text, v.status, v.note) for v in result.lines]


@pytest.mark.parametrize(
    ("definition", "kind"),
    [
        ("sin α = 4/5 = 0.6", "arithmetic"),
        ("tan α = 4/3 = 1.3333 ⇒ α = 56.3°", "arithmetic"),
        ("tan α = 4/2", "geometry"),
    ],
)
def test_a_wrong_definition_is_told_where_it_stands(definition: str, kind: str) -> None:
    fault = check(SHEET, working(definition)).first_fault
    assert fault is not None
    assert (fault.line, fault.kind) == (1, kind)


def test_a_flat_sine_leaves_the_angle_wide_until_its_cosine_tells() -> None:
    sheet = SHEET.replace("3 4", "0.3 6").replace("C -0.3", "C -0.3")
    text = """sin α = 0.999; cos α = 0.0499
Joint A:
F_AB cos α - F_AC cos α = 0
F_AB = F_AC
2 F_AB sin α = 16
F_AB = 8.01 kN
"""
    assert check(sheet, text).first_fault is None
