"""The walk through doubtful lines in the terminal: one line a screen, one key a decision."""

from collections.abc import Callable
from dataclasses import dataclass, field

from rich.console import Console
from rich.text import Text

from verifier.errors import CounterpoiseError
from verifier.findings import LineVerdict
from verifier.marking.book import Entry
from verifier.marking.confirming import Confirming, Place
from verifier.marking.deciding import checked
from verifier.marking.options import Override
from verifier.reporting.colours import console
from verifier.reporting.complaints import complaint
from verifier.reporting.marks_strips import Strips, escape_for, shows_pictures
from verifier.reporting.words import spoken

KEYS = (
    "Enter as read · 1-9 that reading · c type what it says · s skip · b back · "
    "m set marks · q leave (all is kept)"
)


@dataclass
class Walk:
    """What the walk has done so far."""

    confirmed: int = 0
    skipped: int = 0
    left: bool = False
    changed: bool = False
    history: list[tuple[str, int]] = field(default_factory=list)
    finished: set[str] = field(default_factory=set)


def walk(
    session: Confirming,
    strips: Strips | None,
    ask: Callable[[str], str] = input,
    where: Console | None = None,
) -> Walk:
    """Walk through every line to confirm; returns what was done. `ask` reads one answer.

    The end of input and Ctrl-C leave like `q`; what was said until then is kept.
    """
    screen = where or console()
    done = Walk()
    order = session.order()
    if not order:
        screen.print(Text(spoken().text("No line waits to be confirmed.")))
        return done
    waiting = spoken().many(
        len(order),
        "{count} script has lines to confirm.",
        "{count} scripts have lines to confirm.",
    )
    screen.print(Text(f"{waiting} {spoken().text(KEYS)}"))
    skipped: set[tuple[str, int]] = set()
    try:
        while not done.left and (place := _next(session, order, skipped, done)) is not None:
            _show(place, strips, screen)
            _answer(session, place, ask, screen, done, skipped)
    except (EOFError, KeyboardInterrupt):
        done.left = True
        screen.print()
    tell = spoken().text
    said = tell("{some} confirmed, {more} skipped", some=done.confirmed, more=done.skipped)
    screen.print(Text(said + (tell("; run confirm again to go on") if done.left else "")))
    return done


def _next(
    session: Confirming, order: list[str], skipped: set[tuple[str, int]], done: Walk
) -> Place | None:
    for script in order:
        if script in done.finished:
            continue
        past = frozenset(line for name, line in skipped if name == script)
        if (place := session.first(script, past)) is not None:
            return place
        done.finished.add(script)
    return None


def _answer(
    session: Confirming,
    place: Place,
    ask: Callable[[str], str],
    screen: Console,
    done: Walk,
    skipped: set[tuple[str, int]],
) -> None:
    answer = ask("> ").strip()
    here = (place.script, place.line.line)
    match answer.casefold():
        case "q":
            done.left = True
        case "s":
            skipped.add(here)
            done.skipped += 1
            done.history.append(here)
        case "b":
            _back(session, skipped, done, screen)
        case "m":
            done.changed |= _set_marks(session, place, ask, screen)
        case _:
            text = _text(place, answer, ask)
            if text is None:
                screen.print(Text(spoken().text(KEYS), "open"))
            elif _say(session, place, text, screen):
                done.confirmed += 1
                done.changed = True
                done.history.append(here)


def _text(place: Place, answer: str, ask: Callable[[str], str]) -> str | None:
    """Return what the line says by an answer, None where the answer is none."""
    if not answer:
        return place.line.text
    if answer.casefold() == "c":
        typed = ask(spoken().text("it says: "))
        return typed if typed.strip() else None
    if answer.isdecimal() and 1 <= int(answer) <= len(place.alternatives):
        return place.alternatives[int(answer) - 1]
    return None


def _say(session: Confirming, place: Place, text: str, screen: Console) -> bool:
    before = place.entry
    try:
        after = session.say(place, text)
    except CounterpoiseError as error:
        screen.print(_not_kept(error))
        return False
    screen.print(Text(_change(before, after), "title"))
    return True


def _back(session: Confirming, skipped: set[tuple[str, int]], done: Walk, screen: Console) -> None:
    if not done.history:
        screen.print(Text(spoken().text("nothing to go back to")))
        return
    last = done.history.pop()
    done.finished.discard(last[0])
    if last in skipped:
        skipped.discard(last)
        done.skipped -= 1
        return
    session.take_back(*last)
    done.confirmed -= 1


def _set_marks(
    session: Confirming, place: Place, ask: Callable[[str], str], screen: Console
) -> bool:
    for item in place.entry.final.marks.items if place.entry.final else ():
        most = item.method_of + item.answer_of
        name = spoken().phrase(item.item)
        screen.print(Text(f"  {name}: {_of(item.total, most)}"))
    wanted = ask(spoken().text("item (or total): ")).strip()
    marks = ask(spoken().text("marks: ")).strip().replace(",", ".")
    why = ask(spoken().text("why: ")).strip()
    try:
        decision = Override(place.script, wanted, "", float(marks), session.who, why)
        entry = session.decide(place.script, checked(decision, session.job.scheme))
    except (ValueError, CounterpoiseError) as error:
        screen.print(_not_kept(error))
        return False
    screen.print(Text(_change(place.entry, entry), "title"))
    return True


def _show(place: Place, strips: Strips | None, screen: Console) -> None:
    line = place.line
    screen.print()
    tell = spoken().text
    left = tell(", {count} lines to go", count=place.left) if place.left > 1 else ""
    screen.print(Text(f"{place.shown} ({_state(place.entry)}{left})", "title"))
    where = tell("page {page}, line {line}", page=line.page or 1, line=line.line)
    if line.confidence is not None:
        sure = round(100 * line.confidence)
        where += tell(", read with confidence {percent}%", percent=sure)
    screen.print(Text(f"{where}: {tell(_WHY.get(line.status, 'may be misread'))}"))
    _picture(place, strips, screen)
    shown = False
    for near in sorted((*place.around, line), key=lambda one: one.line):
        shown = shown or near.line == line.line
        screen.print(_row(near, near.line == line.line))
    for number, other in enumerate(place.alternatives[:9], 1):
        screen.print(Text(f"    {number}  {_inert(pointed(other, line.text))}", "open"))


def pointed(other: str, text: str) -> str:
    """Return a reading with the part in brackets in which it differs from the likeliest.

    >>> pointed("S = 16.1 kN", "S = 16.7 kN")
    'S = 16.⟦1⟧ kN'
    """
    most = min(len(other), len(text))
    start = next((at for at in range(most) if other[at] != text[at]), most)
    ends = range(most - start)
    end = next((at for at in ends if other[-1 - at] != text[-1 - at]), most - start)
    stop = len(other) - end
    return f"{other[:start]}⟦{other[start:stop]}⟧{other[stop:]}"


def _picture(place: Place, strips: Strips | None, screen: Console) -> None:
    strip = strips.strip(place) if strips else None
    if strips is None or strip is None:
        return
    protocol = shows_pictures() if screen.is_terminal else ""
    if protocol:
        screen.file.write(escape_for(protocol, strip))
    else:
        said = spoken().text("picture: {file}", file=strips.save(place, strip))
        screen.print(Text(said), soft_wrap=True)


def _row(line: LineVerdict, here: bool) -> Text:
    mark = ">" if here else " "
    return Text(f"{mark} {line.line:3}  {_inert(line.text)}", "mark" if here else "quiet")


def _change(before: Entry, after: Entry) -> str:
    was, now = _state(before), _state(after)
    return spoken().text("unchanged: {now}", now=now) if was == now else f"{was} -> {now}"


def _state(entry: Entry) -> str:
    verdict = spoken()(f"marks.verdict.{entry.verdict}")
    if entry.final is None:
        return verdict
    return f"{verdict}, {_of(entry.final.total, entry.out_of)}"


def _of(marks: float, most: float) -> str:
    return spoken().text("{marks:g} of {most:g}", marks=marks, most=most)


def _not_kept(error: Exception) -> Text:
    told = complaint(error, spoken()) if isinstance(error, CounterpoiseError) else str(error)
    return Text(spoken().text("not kept: {why}", why=told), "wrong")


def _inert(text: str) -> str:
    return "".join(letter if letter.isprintable() else "�" for letter in text)


_WHY = {
    "doubtful": "may be misread, and it matters",
    "unread": "could not be understood",
    "undecided": "could not be decided",
}
