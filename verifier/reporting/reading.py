"""A reading as text that `check` takes, doubtful places as `⟦likeliest|other⟧`."""

from verifier.reading.lines import Reading, ReadLine


def reading_text(reading: Reading) -> str:
    """Return the lines of a reading, notes first as comments of the text."""
    return "".join(f"{doubt_marked(line)}\n" for line in reading.lines)


def doubt_marked(line: ReadLine) -> str:
    """Return a line in which every place with another reading stands in doubt brackets.

    Readings that differ from the likeliest in one place share that place's brackets; where they
    differ in several, the span from first to last difference is one place.
    """
    spans = sorted({_difference(line.text, other) for other, _ in line.alternatives})
    merged: list[tuple[int, int]] = []
    for start, end in spans:
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        else:
            merged.append((start, end))
    text, at = "", 0
    for start, end in merged:
        choices = _choices(line, start, end)
        text += line.text[at:start] + "⟦" + "|".join(choices) + "⟧"
        at = end
    return text + line.text[at:]


def _choices(line: ReadLine, start: int, end: int) -> list[str]:
    choices = [line.text[start:end]]
    tail = len(line.text) - end
    for other, _ in line.alternatives:
        low, high = _difference(line.text, other)
        if start <= low and high <= end:
            piece = other[start : len(other) - tail]
            if piece not in choices:
                choices.append(piece)
    return choices


def _difference(text: str, other: str) -> tuple[int, int]:
    start = 0
    while start < min(len(text), len(other)) and text[start] == other[start]:
        start += 1
    end = 0
    while end < min(len(text), len(other)) - start and text[-1 - end] == other[-1 - end]:
        end += 1
    return start, len(text) - end
