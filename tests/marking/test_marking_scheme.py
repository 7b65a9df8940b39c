import pytest
from marking_fakes import open_fake

from verifier.errors import FileError
from verifier.findings import KINDS
from verifier.marking.scheme import USUAL, Marks, Penalty, Scheme, split
from verifier.marking.scheme_file import read_scheme, scheme_of

STRUCTURE = open_fake("sheet").structure


def scheme(tmp_path, text):
    path = tmp_path / "scheme.toml"
    path.write_text(text, encoding="utf-8")
    return read_scheme(path, STRUCTURE)


def test_the_sheet_gives_marks_one_of_them_for_the_answer():
    assert scheme_of(STRUCTURE).items == {"P-R": Marks(2, 1), "R-S": Marks(1, 1)}
    assert split(1) == Marks(0, 1)


def test_a_sheet_without_marks_gives_each_item_two():
    from dataclasses import replace

    made = scheme_of(replace(STRUCTURE, marks={}))
    assert made.items == {"P-R": Marks(1, 1), "R-S": Marks(1, 1)}


def test_the_usual_practice_knows_every_kind():
    assert set(KINDS) <= set(USUAL)
    assert USUAL["missing-force"].loses == "method"
    assert USUAL["magnitude"].loses == "answer"
    assert USUAL["rounding"].loses == "nothing"


def test_a_file_changes_only_what_it_names(tmp_path):
    made = scheme(
        tmp_path,
        """
        title = "June"
        follow-through = false
        cap = 4
        round-to = 0.5
        [marks]
        "P-R" = { method = 2, answer = 2 }
        [penalties]
        sign = 0.5
        missing-force = { loses = "all", once = true, at-most = 3 }
        """,
    )
    assert made.items == {"P-R": Marks(2, 2)}
    assert (made.title, made.follow_through, made.cap, made.round_to) == ("June", False, 4, 0.5)
    assert made.penalty("sign") == Penalty("marks", 0.5)
    assert made.penalty("missing-force") == Penalty("all", 0, True, 3)
    assert made.penalty("angle") == USUAL["angle"]
    assert made.out_of == 4


def test_a_group_shares_its_marks_among_those_not_named(tmp_path):
    from dataclasses import replace

    wide = replace(STRUCTURE, find=("reaction P x", "reaction P y", "P-R"), marks={})
    path = tmp_path / "scheme.toml"
    path.write_text('[marks]\nreactions = 4\n"reaction P y" = 1\n')
    assert read_scheme(path, wide).items == {
        "reaction P x": Marks(3, 1),
        "reaction P y": Marks(0, 1),
    }


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('[marks]\n"Q-Z" = 2', "no item of the sheet"),
        ("caps = 3", "'caps' is not known"),
        ("cap = -1", "0 to 10,000"),
        ("cap = nan", "0 to 10,000"),
        ("follow-through = 1", "true or false"),
        ("[penalties]\nsing = 1", "'sing' is not known"),
        ('[penalties]\nsign = "half"', "cannot lose"),
        ("marks = 3", "not a table"),
        ("cap = ", "is not TOML"),
        ("a = " + "[" * 5000, "is not TOML"),
    ],
)
def test_a_wrong_file_is_told_in_one_line(tmp_path, text, said):
    with pytest.raises(FileError) as caught:
        scheme(tmp_path, text)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_scheme_survives_the_ledger():
    made = scheme_of(STRUCTURE)
    again = Scheme.parse(made.dump())
    assert again == made
    assert again.digest() == made.digest()
    assert list(again.items) == list(made.items)
