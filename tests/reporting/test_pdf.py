import shutil
import subprocess

import made_results as made
import pytest

from verifier.errors import UsageError
from verifier.reporting import pdf
from verifier.reporting.page import student_page


@pytest.mark.skipif(pdf.browser() is None, reason="no Chromium on this machine")
@pytest.mark.skipif(shutil.which("pdftotext") is None, reason="no poppler on this machine")
def test_the_page_is_printed_with_its_fault(tmp_path):
    file = tmp_path / "page.pdf"
    pdf.write_page(student_page(made.faulty()), file)
    ran = subprocess.run(["pdftotext", "-layout", file, "-"], capture_output=True, text=True)
    assert "6(2.0)" in ran.stdout
    assert "lever arm" in ran.stdout
    assert "first goes wrong at line 2" in ran.stdout


def test_without_a_browser_one_line_says_what_to_do(tmp_path, monkeypatch):
    monkeypatch.setenv("COUNTERPOISE_BROWSER", "no-such-browser")
    with pytest.raises(UsageError, match=r"Chromium.*FILE\.html"):
        pdf.write_page("<p>x</p>", tmp_path / "page.pdf")


def test_html_needs_no_browser(tmp_path, monkeypatch):
    monkeypatch.setenv("COUNTERPOISE_BROWSER", "no-such-browser")
    pdf.write_page("<p>x</p>", tmp_path / "page.html")
    assert (tmp_path / "page.html").read_text(encoding="utf-8") == "<p>x</p>"
