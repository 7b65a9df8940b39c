import pytest
from marking_fakes import judged

from verifier.checking.judge import means
from verifier.findings import Answer, Assumed, Finding, LineVerdict, Result
from verifier.marking.linking import answer_span, link, numbers_in


def result(*lines, answers=(), assumed=()):
    verdicts = tuple(LineVerdict(row, text, "agrees") for row, text in enumerate(lines, 1))
    return Result("w", "g", "fault", (), verdicts, tuple(answers), tuple(assumed))


def answer(item, written, status="carried"):
    return Answer(item, 99.0, "kN", "", written, status)


def named(item, text, assumed=()):
    found = link(result(text, answers=[answer(item, None)], assumed=assumed), [item], ())
    return 1 in found.named[item]


@pytest.mark.parametrize(
    ("item", "text"),
    [
        ("P-R", "PR = 4"),
        ("P-R", "F_{RP} sin 30 = 4"),
        ("P-R", r"T_{PR} = 4"),
        ("P-R", "S_PR = 4"),
        ("reaction S x", "S_x = 4"),
        ("reaction S x", "H_S = 4"),
        ("reaction S x", "R_{Sx}(1.0) = 4"),
        ("reaction S y", "V_S = 4"),
        ("reaction S", "R_S = 4"),
        ("reaction A moment", "M_A = 4"),
        ("shear at K", "V_K = 4"),
        ("moment at K", "M = 4"),
        ("L0-U12", "F_{L0U12} = 4"),
    ],
)
def test_usual_names_are_known(item, text):
    assert named(item, text)


@pytest.mark.parametrize(
    ("item", "text"),
    [("P-R", "QR = 4"), ("P-R", "PRS = 4"), ("reaction S x", "S_y = 4"), ("reaction S x", "sin x")],
)
def test_others_are_not(item, text):
    assert not named(item, text)


@pytest.mark.parametrize(
    ("item", "sense"),
    [
        ("reaction S x", 1),
        ("reaction S x", -1),
        ("reaction S y", -1),
        ("reaction S moment", 1),
        ("reaction S", -1),
        ("P-R", 1),
        ("shear at K", -1),
        ("pin C x on deck", -1),
    ],
)
def test_the_writers_own_names_come_from_the_report(item, sense):
    own = Assumed("Z9", means(item, sense), False)
    assert named(item, "Z9 = 4", [own])
    assert not named("reaction Q x", "Z9 = 4", [own])


def test_numbers_are_read_as_people_write_them():
    said = [value for value, *_ in numbers_in("12(4.5) − 1,500 + 2,5 · 3 = 0.5")]
    assert said == [12, 4.5, 1500, 2.5, 3, 0.5]
    assert numbers_in("1.2.3") == ()


@pytest.mark.parametrize(
    ("written", "text", "column"),
    [
        (-15.6, "PR = −6/sin 22.62° = −15.6 kN", 22),
        (1500.0, "R = 1.5 kN", 4),
        (16.94, "R = 16.9 kN", 4),
        (0.0, "R = 0", 4),
    ],
)
def test_an_answer_is_found_in_its_line(written, text, column):
    span = answer_span(answer("P-R", written), LineVerdict(1, text, "agrees"))
    assert span[0] == column


@pytest.mark.parametrize(("written", "text"), [(15.6, "R = 15.7"), (0.0, "R = 5"), (None, "R = 5")])
def test_another_number_is_not_the_answer(written, text):
    assert answer_span(answer("P-R", written), LineVerdict(1, text, "agrees")) is None


def fault(line, repeats=()):
    return Finding("sign", line, (0, 1), "x", "", "y", "m", repeats=repeats)


def test_sums_first_and_answers_later_find_their_way():
    made = result(
        "S_x - P_x = 0",
        "P_y - S_y = 4",
        "S_x = 3",
        "P_x = 5",
        "P_y = 7",
        answers=[
            answer("reaction S x", 3, "agrees"),
            answer("reaction P x", 5),
            answer("reaction P y", 7),
        ],
    )
    links = link(made, ["reaction S x", "reaction P x", "reaction P y"], [fault(1), fault(2)])
    assert links.blamed["reaction P x"] == (fault(1),)
    assert links.blamed["reaction P y"] == (fault(2),)


def test_a_digit_of_a_name_or_a_chance_number_is_no_answer():
    made = result(
        "T_1 + T_{1} - 700 = 0",
        "T_2 cos 671 = T_1",
        "T_1 = 4 · 167.65 = 670.6 N",
        answers=[answer("P-R", 670.6)],
        assumed=[Assumed("T_1", "force in P-R, tension", False)],
    )
    assert link(made, ["P-R"], ()).answers == {"P-R": 3}


def test_a_fault_in_an_answer_stated_again_is_that_answers():
    made = result(
        "H_A = 5.63",
        "V_A = 3",
        "H_A = 5.63 (left)",
        "V_A = 3",
        answers=[answer("reaction A x", 5.63, "differs"), answer("reaction A y", 3, "agrees")],
    )
    links = link(made, ["reaction A x", "reaction A y"], [fault(3)])
    assert links.blamed["reaction A x"] == (fault(3),)


def test_a_fault_that_touches_no_marked_item_is_loose():
    made = result("PR = 4", "QR = 2", answers=[answer("P-R", 4, "agrees")])
    links = link(made, ["P-R"], [fault(2)])
    assert links.loose == (fault(2),)


def test_a_line_of_a_million_characters_costs_little():
    long = result("1" * 1_000_000 + "PR " * 1000, answers=[answer("P-R", 4)])
    assert link(long, ["P-R"], ()).answers == {}
    assert judged("").lines == ()
