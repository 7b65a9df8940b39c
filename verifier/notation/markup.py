"""A typed line in the dress of Markdown, HTML or one-character units → plain characters."""

import re
import unicodedata
from collections.abc import Callable
from html import unescape

from verifier.notation import source as sources
from verifier.notation.source import Source

_ANY = re.compile(
    r"</?[a-zA-Z]|&#?\w{2,8};|[A-Za-z\d]~\w{1,4}~(?!~)|\\[*_#+.>|~-]|[㍱-㏟①-⑳\u0300-\u036f]"
    r"|_[A-Z]\w?,[xyhv\d]|_[xyhv],\d"
)
_RULES: tuple[tuple[str, Callable[[re.Match[str]], str]], ...] = (
    (r"<sub>(?P<sub>[^<>]{1,20})</sub>", lambda m: f"_{{{m['sub']}}}"),
    (r"<sup>(?P<sup>[^<>]{1,20})</sup>", lambda m: _raised(m["sup"])),
    (r"(?<=[A-Za-z\d])~(?P<low>\w{1,4})~(?!~)", lambda m: f"_{{{m['low']}}}"),
    (r"</?(?P<struck>s|del|strike)>", lambda _: "~~"),
    (r"</?(?P<tag>b|i|u|em|strong|p|br|hr|span|div|li|ul|ol|td|tr|th|code|math)\b[^<>]{0,80}>",
     lambda _: " "),
    (r"(?P<entity>&#?\w{2,8};)", lambda m: _one(unescape(m["entity"]), m["entity"])),
    (r"\\(?P<escaped>[*_#+.>|~-])", lambda m: m["escaped"]),
    (r"_(?P<index>[A-Z]\w?,[xyhv](?:,?\d)?|(?-i:[A-Z]|[xyhvXYHV])\w?,\d)(?![\w.,])",
     lambda m: f"_{{{m['index']}}}"),
    (r"(?P<circled>[①-⑳])", lambda m: f"  ({ord(m['circled']) - 0x245F})"),
    (r"(?P<marked>\w[\u0300-\u036f]+)", lambda m: _composed(m["marked"])),
    (r"(?P<unit>[㍱-㏟])", lambda m: unicodedata.normalize("NFKC", m["unit"])),
)  # fmt: skip
_RULE = re.compile("|".join(pattern for pattern, _ in _RULES), re.IGNORECASE)
_WRITES = {
    name: write for pattern, write in _RULES for name in re.findall(r"\(\?P<(\w+)>", pattern)
}


def _raised(text: str) -> str:
    return "°" if text in ("o", "°", "∘") else f"^({text})"


def _composed(text: str) -> str:
    """Return a letter with its accents as one character, without them where there is none."""
    one = unicodedata.normalize("NFC", text)
    return one if len(one) == 1 else text[0]


def _one(text: str, written: str) -> str:
    """Return what an entity stands for, where that is one character; else its own writing."""
    return text if len(text) == 1 else written


def typed(line: str) -> Source:
    """Return a typed line without markup, in plain characters with the map to its source.

    >>> typed("A<sub>y</sub> = 8").text
    'A_{y} = 8'
    """
    if _ANY.search(line) is None:
        return sources.plain(line)
    text: list[str] = []
    starts: list[int] = []
    ends: list[int] = []
    at = 0
    for match in _RULE.finditer(line):
        _each(line, at, match.start(), text, starts, ends)
        written = _WRITES[match.lastgroup or ""](match)
        text += written
        starts += [match.start()] * len(written)
        ends += [match.end()] * len(written)
        at = match.end()
    _each(line, at, len(line), text, starts, ends)
    plain = "".join(text).translate(sources.PLAIN)
    return sources.squeeze(Source(line, plain, tuple(starts), tuple(ends)))


def _each(
    line: str, start: int, end: int, text: list[str], starts: list[int], ends: list[int]
) -> None:
    """Take the characters from `start` to `end` as they stand."""
    text += line[start:end]
    starts += range(start, end)
    ends += range(start + 1, end + 1)
