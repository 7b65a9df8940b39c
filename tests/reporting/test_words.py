import string

import pytest

from verifier.errors import UsageError
from verifier.findings import KINDS
from verifier.reporting.words import catalogue, languages, words


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
