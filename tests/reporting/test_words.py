import string
from pathlib import Path

import pytest

import verifier
from verifier.checking.faults import kinds
from verifier.errors import UsageError
from verifier.findings import KINDS
from verifier.reporting.catalogue import catalogue, languages, templates
from verifier.reporting.words import words


def places(sentence):
    return {name for _, name, _, _ in string.Formatter().parse(sentence) if name}


@pytest.mark.parametrize("code", languages())
def test_every_catalogue_is_complete_and_fills_the_same_places(code):
    english, other = catalogue("en"), catalogue(code)
    assert sorted(other) == sorted(english)
    wrong = [key for key in english if places(english[key]) != places(other[key])]
    assert not wrong


def test_every_kind_has_a_name():
    assert all(words("en").get(f"kind.{kind}") for kind in KINDS)


def test_an_unknown_language_names_those_there_are():
    with pytest.raises(UsageError, match="en, de"):
        words("xx")


@pytest.mark.parametrize(
    ("numbers", "said"),
    [([7], "7"), ([7, 8], "7 and 8"), ([3, 1, 2, 9], "1 to 3 and 9"), ([], ""),
     ([1, 3, 5, 6, 7], "1, 3 and 5 to 7")],
)  # fmt: skip
def test_line_numbers_are_said_as_a_person_says_them(numbers, said):
    assert words().ranges(numbers) == said


def test_what_a_user_wrote_is_never_taken_for_a_place():
    assert (
        words()("check.headline.agrees", working="{0.__class__}{x}") == "{0.__class__}{x}: right."
    )


@pytest.mark.parametrize("code", languages()[1:])
def test_every_template_keeps_its_places(code):
    for pattern, other in templates(code):
        assert set(pattern.groupindex) >= places(other), other


@pytest.mark.parametrize(
    ("english", "german"),
    [
        ("body left, moments about C", "Körper left, Momente um C"),
        ("pin C x on up, drawn the other way", "Gelenkkraft C x an up, andersherum gezeichnet"),
        ("part left of the cut through QR, PR, sum along y",
         "Teil links vom Schnitt durch QR, PR, Summe in y"),
        ("reaction at S, to the left", "Auflagerkraft in S, nach links"),
        ("17 kN left", "17 kN nach links"),
        ("the 6 kN load at Q acts down, so with up positive this term takes −.",
         "Die Last 6 kN in Q wirkt nach unten; positiv ist nach oben, also gehört hier −."),
        ("You used 2; the 6 kN load at Q acts 2.4 m from P, measured square to its line.",
         "Angesetzt ist 2; die Last 6 kN in Q wirkt im senkrechten Abstand 2.4 m von P."),
        ("Rounding before use (20.62 → 21) moves F_AC from 20 to 20.37, 1.8 %.",
         "Vor dem Weiterrechnen gerundet (20.62 → 21): das verschiebt F_AC von 20 auf 20.37, "
         "1.8 %."),
        ("M_Q is 0.96 in the convention in which M_P was found: the sign of the bending moment "
         "changes its meaning from one cut to the next.",
         "M_Q ist 0.96, so gezählt, wie M_P gefunden wurde: das Vorzeichen (Biegemoment) wechselt "
         "von einem Schnitt zum nächsten seine Bedeutung."),
        ("something quite new", "something quite new"),
    ],
)  # fmt: skip
def test_what_other_rooms_say_is_put_into_german_and_names_stay(english, german):
    assert words("de").phrase(english) == german


def test_a_drafted_sheet_in_a_note_stays_a_sheet():
    draft = "# A sheet drafted from the working. Fill in what is marked, then check against it."
    german = words("de").note(f"{draft}\nload    A  3  down")
    assert german.startswith("# Ein Angabenblatt")
    assert german.endswith("\nload    A  3  down")


def test_english_is_left_as_it_is():
    assert words("en").phrase("body left, moments about C") == "body left, moments about C"


def test_a_long_text_is_matched_in_bounded_time():
    assert words("de").phrase("acts " * 20_000)


SAMPLES = sorted((Path(__file__).resolve().parents[2] / "samples").glob("*/*.given"))


@pytest.mark.parametrize("given", SAMPLES, ids=lambda given: given.parent.name)
def test_the_fault_of_every_sample_is_told_in_german(given):
    result = verifier.check(given, given.parent / "faulty.txt")
    german = words("de")
    assert not [one.message for one in result.faults if german.sentence(one.message) is None]
    assert not [one.where for one in result.faults if german.phrase(one.where) == one.where]
    assert not [one.means for one in result.assumed if german.phrase(one.means) == one.means]
    assert not [one for one in result.cautions if german.phrase(one) == one]


@pytest.mark.parametrize("kind", kinds(), ids=lambda kind: kind.kind)
def test_every_kind_of_fault_is_told_in_german(kind):
    german = words("de")
    assert german.note(kind.about) != kind.about
    assert not [one.why for one in kind.examples if german.note(one.why) == one.why]
