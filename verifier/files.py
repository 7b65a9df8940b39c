"""Opening what a user names: which files, how large, in which encoding; one clear line if not."""

import codecs
import difflib
from pathlib import Path

from verifier.errors import FileError, UsageError

LIMITS = {"sheet": 1_000_000, "working": 2_000_000}
"""Bytes that a text file may have before it is opened."""

MOST_LINES = 2000
"""Lines that a working may have: fifty pages written full."""

PICTURES = frozenset(
    (".png", ".jpg", ".jpeg", ".tif", ".tiff", ".webp", ".heic", ".heif", ".bmp", ".gif", ".pdf")
)
_NAMED = frozenset((".given", ".txt", ".work", ".md", ".tex"))
_MAGIC = (b"\x89PNG", b"\xff\xd8\xff", b"II*\x00", b"MM\x00*", b"%PDF", b"GIF8", b"BM6")
_MARKS = (
    (codecs.BOM_UTF8, "utf-8-sig"),
    (codecs.BOM_UTF32_LE, "utf-32"),
    (codecs.BOM_UTF32_BE, "utf-32"),
    (codecs.BOM_UTF16_LE, "utf-16"),
    (codecs.BOM_UTF16_BE, "utf-16"),
)


def path_of(source: Path | str) -> Path | None:
    """Return the path that a source names, or None where the string is the text itself.

    A string with a line break is text; else it is a file where there is one of that name.
    """
    if isinstance(source, Path):
        return source
    if "\n" in source or "\r" in source or "\0" in source or len(source) > 4096:
        return None
    try:
        return Path(source) if Path(source).exists() else None
    except OSError:
        return None


def is_picture(path: Path) -> bool:
    """Say whether a file is a picture or PDF, by its name or by its first bytes."""
    if path.suffix.lower() in PICTURES:
        return True
    try:
        with path.open("rb") as file:
            head = file.read(12)
    except OSError:
        return False
    return head.startswith(_MAGIC) or (head[:4] == b"RIFF" and head[8:12] == b"WEBP")


def open_text(source: Path | str, kind: str) -> tuple[str, tuple[str, ...]]:
    """Return a source's text and notes on how it was opened; `kind` is sheet or working.

    UTF-8 with or without a mark, UTF-16 and UTF-32 with one, else Windows' western letters, which
    is noted. Raises `FileError` for what is missing, no text, or too large.
    """
    path = path_of(source)
    limit = LIMITS[kind]
    if path is None:
        _must_not_be_a_name(str(source))
        if len(str(source)) > limit:
            raise FileError(kind, f"{len(str(source)):,} characters are too many for a {kind}")
        return _not_too_long(str(source), kind, kind), ()
    _must_be_text(path, kind, limit)
    try:
        with path.open("rb") as file:
            data = file.read(limit + 1)
    except OSError as error:
        raise FileError(str(path), f"cannot be opened ({_said(error)})") from None
    if len(data) > limit:
        raise FileError(str(path), f"too large for a {kind}", f"at most {limit:,} bytes are read")
    text, notes = decode(data, str(path))
    return _not_too_long(text, kind, str(path)), notes


def _must_not_be_a_name(text: str) -> None:
    """Raise `FileError` for what is the name of a file that is not there rather than a text."""
    if len(text) < 300 and "\n" not in text and Path(text).suffix.lower() in _NAMED | PICTURES:
        must_exist(Path(text))


def _not_too_long(text: str, kind: str, label: str) -> str:
    lines = text.count("\n")
    if kind == "working" and lines > MOST_LINES:
        raise FileError(label, f"{lines:,} lines are too many", f"at most {MOST_LINES:,} are read")
    return text


def decode(data: bytes, label: str) -> tuple[str, tuple[str, ...]]:
    """Return bytes as text with a note where the encoding had to be guessed.

    Raises `FileError` where they are no text.
    """
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            try:
                return data.decode(encoding), ()
            except UnicodeDecodeError:
                raise FileError(
                    label, f"begins as {encoding} but is not", "save it as UTF-8"
                ) from None
    if b"\0" in data:
        raise FileError(label, "is not a text file", "a working is text, LaTeX, a picture or PDF")
    try:
        return data.decode("utf-8"), ()
    except UnicodeDecodeError:
        text = data.decode("cp1252", errors="replace")
        return text, (f"{label} is not UTF-8; it was read as Windows western (cp1252)",)


def must_exist(path: Path) -> Path:
    """Return the path of a file that is there; raises `FileError` with a near name if it is not."""
    try:
        if path.is_file():
            return path
        if path.is_dir():
            raise FileError(str(path), "is a folder", "name a file in it")
        if path.exists():
            raise FileError(str(path), "is not an ordinary file")
    except OSError as error:
        raise FileError(str(path), f"cannot be opened ({_said(error)})") from None
    raise FileError(str(path), "there is no such file", near_name(path))


def near_name(path: Path) -> str:
    """Return 'did you mean …' for the likeliest neighbour of a missing file, or ''."""
    try:
        names = sorted(entry.name for entry in path.parent.iterdir())[:5000]
    except OSError:
        return f"nor a folder {path.parent}"
    near = difflib.get_close_matches(path.name, names, 1, 0.6)
    return f"did you mean {path.parent / near[0]}" if near else ""


def sheet_beside(working: Path) -> Path:
    """Return the one `.given` in a working's folder; raises `UsageError` for none or several."""
    folder = working.parent
    try:
        sheets = sorted(entry for entry in folder.iterdir() if entry.suffix.lower() == ".given")
    except OSError as error:
        raise FileError(str(folder), f"cannot be opened ({_said(error)})") from None
    where = f"beside {working}"
    if not sheets:
        raise UsageError(
            f"there is no .given sheet {where}", "name it with --given, or check with --alone"
        )
    if len(sheets) > 1:
        names = ", ".join(sheet.name for sheet in sheets[:4]) + (", …" if sheets[4:] else "")
        raise UsageError(
            f"there are several .given sheets {where} ({names})", "say which with --given"
        )
    return sheets[0]


def _must_be_text(path: Path, kind: str, limit: int) -> None:
    must_exist(path)
    if kind == "sheet" and is_picture(path):
        raise FileError(str(path), "is a picture, not a givens sheet")
    try:
        size = path.stat().st_size
    except OSError as error:
        raise FileError(str(path), f"cannot be opened ({_said(error)})") from None
    if size > limit:
        raise FileError(
            str(path), f"{size:,} bytes are too many for a {kind}", f"at most {limit:,} are read"
        )


def _said(error: OSError) -> str:
    return (error.strerror or type(error).__name__).lower()
