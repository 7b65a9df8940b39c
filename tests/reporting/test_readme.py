"""What the README shows is what the program says today."""

import io
import re
from pathlib import Path

import verifier
from verifier.reporting.colours import console
from verifier.reporting.terminal import report

ROOT = Path(__file__).resolve().parents[2]


def test_the_example_of_the_readme_is_true(monkeypatch):
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    (shown,) = re.findall(r"^```\n(faulty\.txt: .*?)^```$", readme, re.MULTILINE | re.DOTALL)
    monkeypatch.chdir(ROOT / "samples" / "gangway")
    page = io.StringIO()
    report(verifier.check("gangway.given", "faulty.txt"), console(page, 80))
    assert page.getvalue().startswith(shown)
