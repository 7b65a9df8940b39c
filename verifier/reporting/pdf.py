"""A page as PDF, printed by a browser that is on the machine; nothing is fetched for it."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from verifier.errors import FileError, UsageError

_BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
_SECONDS = 90


def browser() -> str | None:
    """Return the browser that prints: `COUNTERPOISE_BROWSER`, or a Chromium on the path."""
    named = os.environ.get("COUNTERPOISE_BROWSER")
    if named:
        return shutil.which(named)
    return next((found for name in _BROWSERS if (found := shutil.which(name))), None)


def write_pdf(html: str, to: Path) -> None:
    """Print a page into a PDF file.

    Raises `UsageError` where the machine has no browser for it, `FileError` where it fails.
    """
    program = browser()
    if program is None:
        raise UsageError(
            "a PDF is printed by Chromium, which is not here",
            "install it, or write FILE.html and print that",
        )
    with tempfile.TemporaryDirectory() as folder:
        page, made = Path(folder, "page.html"), Path(folder, "page.pdf")
        page.write_text(html, encoding="utf-8")
        command = [
            program,
            "--headless",
            "--disable-gpu",
            "--disable-extensions",
            "--no-first-run",
            f"--user-data-dir={folder}/profile",
            "--no-pdf-header-footer",
            f"--print-to-pdf={made}",
            page.as_uri(),
        ]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            command.insert(1, "--no-sandbox")  # Chromium has no sandbox for root
        try:
            subprocess.run(command, capture_output=True, timeout=_SECONDS, check=False)
        except subprocess.TimeoutExpired:
            raise FileError(str(to), f"the browser took longer than {_SECONDS} s") from None
        if not made.is_file():
            raise FileError(str(to), f"{program} printed no PDF")
        shutil.copyfile(made, to)


def write_page(html: str, to: Path) -> None:
    """Write a page: as PDF where the file's name says so, else as the HTML that it is."""
    if to.suffix.lower() == ".pdf":
        write_pdf(html, to)
    else:
        to.write_text(html, encoding="utf-8")
