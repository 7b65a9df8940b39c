from rich.cells import cell_len

from verifier.reporting.layout import inert, mark, wrap


def test_carets_stand_under_the_marked_columns():
    assert mark("12(4.5) − 8", (3, 6), 80) == [("12(4.5) − 8", "   ^^^")]


def test_a_long_line_is_broken_and_the_mark_follows_its_row():
    line = "ΣM = " + " + ".join(["10(2.5)"] * 8)
    rows = mark(line, (len(line) - 7, len(line)), 40)
    assert " ".join(row for row, _ in rows) == line
    assert [carets.strip() for _, carets in rows[:-1]] == [""] * (len(rows) - 1)
    assert rows[-1][1].endswith("^" * 7)


def test_a_mark_may_span_rows():
    rows = mark("abcdef ghijkl", (4, 9), 8)
    assert "".join(carets.strip() for _, carets in rows) == "^" * 5


def test_a_huge_line_is_shown_around_its_mark_only():
    rows = mark("x" * 100_000, (50_000, 50_003), 80)
    assert len(rows) < 10
    assert sum(carets.count("^") for _, carets in rows) == 3
    assert rows[0][0].startswith("…")


def test_wide_and_combining_signs_keep_the_carets_in_place():
    row, carets = mark("力力 = 5", (5, 6), 80)[0]
    assert cell_len(carets) == cell_len(row)


def test_a_mark_past_the_end_or_empty_is_still_one_caret():
    assert mark("a = 1", (5, 5), 80) == [("a = 1", "     ^")]
    assert mark("", (0, 0), 80) == [("", "^")]


def test_signs_that_steer_become_one_visible_sign_each():
    assert inert("a\x1bb\tc\u200fd") == "a�b c�d"


def test_wrapping_cuts_words_that_are_too_long():
    assert wrap("ab " + "c" * 20, 10, 10) == ["ab", "c" * 10, "c" * 10]
