"""What a working claims in words: senses, zero forces, what a name is."""

import re
from dataclasses import replace

from verifier.checking.declared import drawn_so
from verifier.checking.figure import SENSES
from verifier.checking.names import Known, Local, Unknown
from verifier.checking.quantity import Quantity
from verifier.checking.results import Results
from verifier.notation.tree import (
    Mark,
    Statement,
)

_INTRODUCED = re.compile(
    r"\b(?:is|ist|est|es|è|jest) (?:the|die|der|la|le|el|il|to)\b|\bdenotes?\b|\bbezeichnet\b"
)

_GOES_ON = re.compile(r"\b(?:and|und|et|y|e|i|oraz)\b|[,;]")


class Claims(Results):
    """Judges claims in words."""

    def _said_again(self, marks: tuple[Mark, ...]) -> None:
        """Hold the label of a value that is said again against the value said before."""
        sense = self._sense(marks, self.subject) if self.subject else 0.0
        value = self.ledger.values.get(self.subject)
        if value is not None and self.line - value.line > 1:
            return
        if self.figure.true.get(self.subject, 0.0) * sense > 0:
            return  # so it acts, whatever came out before
        if sense and value is not None and value.quantity.centre * sense < -1e-9:
            self._sense_fault(marks, self.subject, value.quantity)

    def _statement(self, statement: Statement) -> None:
        """Judge a claim in words: a sense, or a force that is zero."""
        said = self.text[statement.span[0] : statement.span[1] + 12]
        if self._introduces(statement) or _INTRODUCED.search(said):
            return
        if drawn_so(statement, self.text):
            return
        given = [isinstance(self.reader.meaning(name), Known) for name in statement.names]
        if given and all(given):
            self._said_again(statement.marks)
            return
        for name in statement.names:
            self.place = name.span[0]
            meaning = self.reader.meaning(name)
            if not isinstance(meaning, Unknown) or meaning.variable not in self.figure.true:
                continue
            variable = meaning.variable
            self.out.called.setdefault(variable, name.text)
            truth = self.figure.true[variable]
            value = self._value(variable)
            for mark in statement.marks:
                if mark.meaning == "zero-force":
                    self._zero_claim(variable, truth, replace(mark, span=name.span))
                elif mark.meaning in SENSES and variable in self.ledger.values:
                    wanted = self._sense((mark,), variable)
                    if truth * wanted < -1e-9 and value * wanted < -1e-9:
                        self._sense_fault((mark,), variable, Quantity(value))
                    else:
                        self.judged.worsen("agrees")

    def _introduces(self, statement: Statement) -> bool:
        """Take 'R is the upward reaction at A' as what the writer's own name means."""
        if len(statement.names) != 2:
            return False
        name, place = statement.names
        own = self.names.meanings(name)[-1]
        joint = self.around.joint(place.text)
        ends = [mark.span[0] for mark in statement.marks if mark.span[0] > place.span[1]]
        if ends and _GOES_ON.search(self.text[place.span[1] : min(ends)]):
            return False  # 'pulls with H at D and presses down with …'
        if not isinstance(own, Local) or joint is None or len(self.names.meanings(name)) > 1:
            return False
        meanings = [m.meaning for m in statement.marks]
        across = any(m in ("left", "right") for m in meanings)
        upright = any(m in ("up", "down") for m in meanings)
        phrase = f"{'horizontal' if across else 'vertical' if upright else ''} reaction at {joint}"
        found = self.names.in_words(phrase.lower())
        if isinstance(found, Unknown):
            sense = 1.0
            for meaning in meanings:
                sense = self.figure.claimed_sense(found.variable, meaning) or sense
            if not isinstance(self.reader.meaning(name), Unknown):
                self.reader.aliases[own.key] = (found.variable, sense)
        return True
