"""What one pass over a working takes for granted: senses, names, units, angles not believed."""

from dataclasses import dataclass, replace

_FLIP_PRICE = 0.3
_ASKEW = 0.05
_PARTED, _ASUNDER = 0.3, 11.0
"""The price of R_x and R_y that are no parts of one force, and of those at two joints."""


@dataclass(frozen=True)
class Choice:
    """What one pass takes for granted."""

    senses: tuple[tuple[str, float], ...] = ()
    aliases: tuple[tuple[str, tuple[str, float]], ...] = ()
    distrust: tuple[tuple[str, tuple[float, bool]], ...] = ()
    plain: float = 1.0
    long: float = 1.0

    @property
    def price(self) -> float:
        """What its assumptions cost when two passes are equally good."""
        flips = sum(1 for v, sense in self.senses if sense < 0 and not v.startswith("pin "))
        turned = sum(1 for _, (_, sign) in self.aliases if sign < 0)
        return (
            _FLIP_PRICE * flips
            + 0.01 * turned
            + _ASKEW * self._askew()
            + self._parted()
            + sum(-0.4 if sure else 0.1 for _, (_, sure) in self.distrust)
        )

    def _parted(self) -> float:
        """Return the price of names such as R_x and R_y whose forces act at different joints."""
        given = dict(self.aliases)
        pairs = (
            (given[key][0].split()[:2], given[f"{key[:-1]}y"][0].split()[:2])
            for key in given
            if key[-1:] == "x" and f"{key[:-1]}y" in given
        )
        return sum(
            _ASUNDER if len(mine) == len(other) == 2 and mine[-1] != other[-1] else _PARTED
            for mine, other in pairs
            if mine != other
        )

    def _askew(self) -> int:
        """Count the pins whose parts along x and y are drawn against each other.

        A part with a name of the writer's own says nothing while the other part has none.
        """
        named = {variable for _, (variable, _) in self.aliases}
        drawn = dict(self.senses)
        for _, (variable, sign) in self.aliases:
            drawn[variable] = drawn.get(variable, 1.0) * sign
        pairs = set()
        for one in (variable for variable in drawn if variable.startswith("pin ")):
            x, y = one.replace(" y on ", " x on "), one.replace(" x on ", " y on ")
            if one not in named or {x, y} <= drawn.keys():
                pairs.add((x, y))
        return sum(1 for x, y in pairs if drawn.get(x, 1.0) != drawn.get(y, 1.0))


def called(choice: Choice, names: dict[str, tuple[str, float]]) -> Choice:
    """Return a choice with names given to forces beside those that it gives."""
    return replace(choice, aliases=tuple(sorted({**dict(choice.aliases), **names}.items())))
