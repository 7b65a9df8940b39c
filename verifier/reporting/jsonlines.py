"""One JSON object a line, and nothing else: what programs read."""

import json
from collections.abc import Mapping
from typing import IO, Any

from verifier.findings import Result

_BREAKS = "\x7f\x85\u2028\u2029"
"""What JSON leaves as it is though some programs end a line there, or a terminal acts on it."""


def json_line(fields: Mapping[str, Any]) -> str:
    """Return one JSON object on one line; a value that is not finite becomes null."""
    text = json.dumps(_finite(fields), ensure_ascii=False, allow_nan=False)
    for char in _BREAKS:
        text = text.replace(char, f"\\u{ord(char):04x}")
    return text


def write_result(result: Result, to: IO[str]) -> None:
    """Write a result as one line."""
    to.write(json_line(result.to_json()) + "\n")


def _finite(value: Any) -> Any:
    match value:
        case float() if value != value or value in (float("inf"), float("-inf")):
            return None
        case dict():
            return {str(key): _finite(entry) for key, entry in value.items()}
        case list() | tuple():
            return [_finite(entry) for entry in value]
    return value
