"""Every sentence that a user may be shown has its line in every catalogue."""

import contextlib
import io
from pathlib import Path

import pytest
from said import Rooms

import verifier
from verifier.arguments import FIRST_WORDS, build
from verifier.cli import main
from verifier.errors import FileError, SheetError, UsageError
from verifier.reporting.complaints import complaint
from verifier.reporting.marks_feedback import told
from verifier.reporting.marks_tables import causes
from verifier.reporting.starting import new_sheet
from verifier.reporting.words import language_of, languages, use, words
from verifier.structure import new_sheet as english_sheet

OTHERS = languages()[1:]
ROOMS = Rooms()
GOLDEN = Path(__file__).resolve().parents[1] / "golden" / "faulty"


@pytest.fixture(params=OTHERS)
def say(request):
    use(request.param)
    yield words(request.param)
    use("en")


def test_the_code_is_really_looked_through():
    errors, told_ones = dict(ROOMS.errors()), dict(ROOMS.told())
    assert len(errors) > 90
    assert len(told_ones) > 90


def test_every_error_has_its_line(say):
    missing = {}
    for where, sentence in ROOMS.errors():
        room = told if where.startswith("marking/awarding") else say.message
        if room(sentence) == sentence:
            missing[sentence] = where
    assert not missing


def test_every_sentence_of_the_reports_has_its_line(say):
    missing = {key: where for where, key in ROOMS.told() if key not in say.messages}
    assert not missing


def test_every_word_of_the_help_has_its_line(say):
    def shown():
        parser, commands = build()
        every = [parser, *commands.values()]
        heads = {group.title for one in every for group in one._action_groups}
        return heads | {one.description for one in every} | {parser.epilog} | {
            action.help for one in every for action in one._actions
        }  # fmt: skip

    other = shown()
    use("en")
    english = shown()
    assert len(english) > 60
    assert not (english & other) - {None, "==SUPPRESS=="}
    missing = [one for one in FIRST_WORDS.split("\n") if one and say.text(one) == one]
    assert not missing


def test_every_comment_of_the_first_sheet_has_its_line(say):
    english = english_sheet().split("\n")
    other = new_sheet().split("\n")
    assert [one.partition("  # ")[0] for one in english[3:]] == [
        one.partition("  # ")[0] for one in other[3:]
    ]
    same = [one for one, two in zip(english, other, strict=True) if "  # " in one and one == two]
    assert not same
    assert english[:2] != other[:2]


def test_every_finding_of_the_golden_workings_has_its_line(say):
    missing = set()
    for working in sorted(GOLDEN.glob("*.txt")):
        given = GOLDEN / f"{working.stem.partition('--')[0]}.given"
        result = verifier.check(given if given.exists() else None, working)
        for one in (*result.faults, *result.remarks):
            if say.sentence(one.message) is None:
                missing.add(one.message)
        missing |= {line.note for line in result.lines if line.note and _same(line.note, say)}
    assert not missing


def _same(note, say):
    return any(say.note(one) == one for one in note.split("; "))


@pytest.mark.parametrize("code", OTHERS)
def test_every_line_keeps_its_places(code):
    from test_words import places

    for english, other in words(code).messages.items():
        assert places(other) == places(english), english


@pytest.mark.parametrize(
    ("error", "german"),
    [
        (FileError("a.txt", "there is no such file", "did you mean b.txt"),
         "a.txt: es gibt keine solche Datei; meintest du b.txt"),
        (UsageError("there is no command 'chek'", "did you mean check"),
         "es gibt keinen Befehl 'chek'; meintest du check"),
        (SheetError(3, 4, "there is no joint «Z»", "perhaps «Q»", "joint Z 0 0", "pin Z", "a"),
         "a, Zeile 3, Spalte 5: es gibt «Z» nicht (Knoten) in «pin Z»; "
         "erwartet: vielleicht «Q», wie in «joint Z 0 0»"),
        (FileError("a.given", "equilibrium alone does not solve it, it is a mechanism: joint Q can "
                   "move up and right while body d can turn about A; 2 independent movements in "
                   "all"),
         "a.given: das Gleichgewicht allein löst es nicht, es ist ein Mechanismus: Knoten Q kann "
         "sich bewegen (nach oben und rechts), dabei: Körper d kann sich um A drehen; im Ganzen 2 "
         "unabhängige Bewegungen"),
    ],
)  # fmt: skip
def test_errors_are_told_in_german_and_names_stay(error, german):
    assert complaint(error, words("de")) == german


def test_an_error_in_english_is_what_it_says_itself():
    assert complaint(UsageError("so", "do this"), words("en")) == "so; do this"


def test_why_a_script_needs_an_eye_is_told_in_german(say):
    why = "line 3, 5 may be misread, and it matters; 2 faults explained, not proved"
    if say.code == "de":
        assert causes(why).startswith("Zeile 3, 5: vielleicht falsch gelesen")
        assert causes(why).endswith("; 2 Fehler erklärt, nicht bewiesen")


@pytest.mark.parametrize(
    ("argv", "environment", "code"),
    [
        (["check", "--language", "de"], "", "de"),
        (["check", "--language=de"], "en", "de"),
        (["check"], "de_AT.UTF-8", "de"),
        (["check"], "", "en"),
    ],
)
def test_the_language_is_known_before_anything_else(monkeypatch, argv, environment, code):
    monkeypatch.setenv("COUNTERPOISE_LANGUAGE", environment)
    assert language_of(argv) == code


def test_an_unknown_language_is_named_with_its_place(monkeypatch, capsys):
    monkeypatch.setenv("COUNTERPOISE_LANGUAGE", "tlh")
    assert main(["check", "x.txt"]) == 2
    assert "COUNTERPOISE_LANGUAGE" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (["--language", "de"], "prüft Statik von Hand"),
        (["check", "--language", "de", "--help"], "Aufruf: counterpoise check"),
        (["--language=de", "--help"], "Rückgabewert: 0 richtig"),
        (["new", "--language", "de"], "# gerade Stäbe"),
    ],
)
def test_what_is_printed_first_speaks_german(capsys, argv, said):
    with contextlib.suppress(SystemExit):
        main(argv)
    assert said in capsys.readouterr().out


@pytest.mark.parametrize(
    ("argv", "said"),
    [
        (["chek"], "meintest du check"),
        (["check"], "WORKING fehlt"),
        (["check", "no-such.txt"], "es gibt keine solche Datei"),
        (["mark", "a", "b", "--workers", "x"], "ist keine Zahl"),
        (["sample", "no-such-thing-at-all", "x"], "es gibt kein Beispiel"),
    ],
)
def test_misuse_is_told_in_german(capsys, monkeypatch, argv, said):
    monkeypatch.setenv("COUNTERPOISE_LANGUAGE", "de")
    assert main(argv) == 2
    assert said in capsys.readouterr().err


def test_the_language_of_one_call_does_not_stay_for_the_next(capsys):
    main(["check", "--language", "de", "no-such.txt"])
    main(["check", "no-such.txt"])
    assert "no such file" in capsys.readouterr().err


def test_a_hostile_name_is_kept_and_costs_little():
    name = "x" * 50_000 + " or " * 1_000
    assert complaint(UsageError(f"there is no command {name!r}"), words("de"))
    assert words("de").message("{0.__class__} is missing") == "{0.__class__} fehlt"
    assert io.StringIO(words("de").message("a or b " * 200))
