"""What a reader hands on: plain data, blind to statics."""

from dataclasses import dataclass, field, replace

Box = tuple[int, int, int, int]


@dataclass(frozen=True)
class ReadLine:
    """One line of a page: the likeliest text, where it stands, and what else it may be.

    `page` counts from 1 and `box` is (x, y, width, height) in pixels of the page as photographed,
    upright by its EXIF note; both are None for a reading that came back as text. `char_boxes` has
    one box (or None) for each character of `text`; `alternatives` are other whole readings with
    their probabilities, likeliest first; `confidence` is the probability that `text` is right, 0
    to 1, and `certainties`, where the reader can tell, that of each of its characters. `reader`
    says who read it: 'print', 'hand' or '' for text.
    """

    text: str
    page: int | None
    box: Box | None
    confidence: float
    alternatives: tuple[tuple[str, float], ...] = ()
    char_boxes: tuple[Box | None, ...] = ()
    reader: str = ""
    certainties: tuple[float, ...] = ()

    def saying(
        self, text: str, confidence: float, alternatives: tuple[tuple[str, float], ...]
    ) -> "ReadLine":
        """Return the line read as another of its readings: what was told of its characters goes."""
        if text == self.text:
            return replace(self, confidence=confidence, alternatives=alternatives)
        boxes = self.char_boxes if len(text) == len(self.text) else ()
        return replace(
            self, text=text, confidence=confidence, alternatives=alternatives, char_boxes=boxes,
            certainties=(),
        )  # fmt: skip


@dataclass(frozen=True)
class Reading:
    """The pages of one working, read: lines from top to bottom, page after page."""

    path: str
    lines: tuple[ReadLine, ...]
    notes: tuple[str, ...] = field(default=())
