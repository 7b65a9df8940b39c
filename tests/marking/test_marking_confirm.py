import pytest
from marking_fakes import DOUBTFUL, FAULTY, RIGHT

from verifier.errors import FileError
from verifier.marking.commands import confirm
from verifier.marking.confirming import unlike
from verifier.marking.options import ConfirmOptions
from verifier.reporting.marks_confirm import pointed


class Marker:
    """Answers in turn, then leaves as at the end of input; keeps what it was asked."""

    def __init__(self, *answers):
        self.answers = list(answers)

    def __call__(self, prompt):
        if not self.answers:
            raise EOFError
        return self.answers.pop(0)


@pytest.fixture
def doubtful(pile):
    pile("anna.png", DOUBTFUL)
    pile("ben.txt", RIGHT)
    pile("cy.png", FAULTY)
    assert pile.mark() == 1
    return pile


def walk(pile, *answers, **options):
    return confirm(pile.folder, ConfirmOptions(by="Jo", **options), ask=Marker(*answers))


def test_another_reading_is_judged_at_once_and_does_not_come_back(doubtful, capsys):
    assert doubtful.marks()["anna.png"] == "5"
    assert walk(doubtful, "1") == 0
    said = capsys.readouterr().out
    assert "anna.png (undecided, 5 of 5)" in said
    assert "page 1, line 3, read with confidence 60%: may be misread, and it matters" in said
    assert ">   3  PR = -75.6 kN" in said
    assert "    1  PR = -⟦1⟧5.6 kN" in said
    assert "undecided, 5 of 5 -> right, 5 of 5" in said
    assert doubtful.marks()["anna.png"] == "5"
    assert walk(doubtful) == 0
    assert "No line waits" in capsys.readouterr().out


def test_as_read_settles_the_line(doubtful):
    assert walk(doubtful, "") == 0
    row = {row["script"]: row for row in doubtful.csv()}["anna.png"]
    assert (row["verdict"], row["total"], row["confirmed lines"]) == ("fault", "4", "1")


def test_a_correction_typed_in_survives_a_new_run(doubtful):
    walk(doubtful, "c", "PR = -15.60 kN")
    assert doubtful.marks()["anna.png"] == "5"
    doubtful.mark()
    assert doubtful.marks()["anna.png"] == "5"
    doubtful.mark(again=True)
    assert doubtful.marks()["anna.png"] == "5"
    doubtful("anna.png", DOUBTFUL + "\n")  # another script now: the word was not about it
    doubtful.mark()
    row = {row["script"]: row for row in doubtful.csv()}["anna.png"]
    assert (row["verdict"], row["confirmed lines"]) == ("undecided", "")


def test_leaving_keeps_everything_and_resumes(doubtful, capsys):
    doubtful("dot.png", DOUBTFUL + "RS = 19 kN?RS = 16.9 kN\n")
    doubtful.mark()
    assert walk(doubtful, "1", "q") == 3
    assert "1 confirmed, 0 skipped; run confirm again" in capsys.readouterr().out
    assert walk(doubtful, "s", "b", "1", "1") == 0
    assert set(doubtful.marks().values()) == {"5", "3"}


def test_back_takes_the_last_word_back(doubtful):
    doubtful("anna.png", DOUBTFUL + "RS = 19 kN?RS = 16.9 kN\n")
    doubtful.mark()
    assert walk(doubtful, "", "b", "1", "1") == 0
    assert doubtful.marks()["anna.png"] == "5"


def test_what_is_no_key_is_asked_again(doubtful, capsys):
    assert walk(doubtful, "9", "what", "c", " ", "1") == 0
    assert capsys.readouterr().out.count("Enter as read") == 4


def test_marks_may_be_set_on_the_way(doubtful, capsys):
    walk(doubtful, "m", "P-R", "77", "why not", "m", "P-R", "2,5", "clear enough", "q")
    assert "not kept: P-R cannot have 77 marks" in capsys.readouterr().out
    row = {row["script"]: row for row in doubtful.csv()}["anna.png"]
    assert (row["total"], row["decided by"]) == ("4.5", "Jo")


def test_hostile_text_is_inert_on_the_screen(pile, capsys):
    pile("x.png", "[red]hi\x1b[2J?[bold]ho\x07\nPR = -15.6 kN\nRS = 16.9 kN\n")
    pile.mark()
    walk(pile, "q")
    said = capsys.readouterr().out
    assert "\x1b" not in said
    assert "\x07" not in said
    assert "[red]hi" in said


def test_without_a_run_there_is_nothing_to_confirm(pile):
    with pytest.raises(FileError, match="no marking run"):
        walk(pile)


def test_every_line_that_may_be_misread_on_request(pile):
    pile("anna.png", RIGHT + "so?go\n")
    pile.mark()
    text = RIGHT.replace("\n", "\n", 1)
    assert text == RIGHT
    assert walk(pile, every=True) == 3
    assert walk(pile, "", every=True) == 0


def test_a_pictures_line_is_cut_out_and_saved(pile, capsys, monkeypatch):
    from PIL import Image

    from verifier.reporting import photo

    pile("anna.png", DOUBTFUL)
    pile.mark()
    page = photo.Photo(1, Image.new("L", (400, 300), 255))
    monkeypatch.setattr(photo, "photos", lambda path: (page,))
    walk(pile, "q")
    (strip,) = (pile.results / "lines").iterdir()
    with Image.open(strip) as cut:
        assert cut.size[0] <= 400
    assert strip.name in capsys.readouterr().out.replace("\n", "")


def test_readings_typed_alike_are_one():
    assert unlike("a − 7", ["a - 7", "a − 1", "a-1", "a  −  7"]) == ["a − 1"]
    assert pointed("S = 16.1 kN", "S = 16.7 kN") == "S = 16.⟦1⟧ kN"
    assert pointed("ab", "a") == "a⟦b⟧"
    assert pointed("a", "aa") == "a⟦⟧"


def test_terminals_that_show_pictures_get_them():
    import io

    from PIL import Image

    from verifier.reporting.marks_strips import escape_for, shows_pictures

    out = io.BytesIO()
    Image.effect_noise((200, 100), 90).convert("RGB").save(out, "JPEG")
    assert shows_pictures({"TERM": "xterm-kitty"}) == "kitty"
    assert shows_pictures({"TERM_PROGRAM": "WezTerm"}) == "inline"
    assert shows_pictures({"TERM": "xterm"}) == ""
    assert escape_for("inline", out.getvalue()).startswith("\x1b]1337;File=inline=1")
    shown = escape_for("kitty", out.getvalue())
    assert shown.startswith("\x1b_Ga=T,f=100,m=1;")
    assert "\x1b_Gm=0;" in shown
