"""Figures worked out one after the other, each with the chain that led to it.

A figure that was given (measured, certified) stands in for the formula's result, and everything further down uses it.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from polewright.codes import Message
from polewright.materials.origin import Origin

__all__ = ["Formula", "Ledger"]


@dataclass(frozen=True, slots=True)
class Formula:
    """A relation by the code of its text, the SI unit of its result, and who says so."""

    code: str
    unit: str
    source: Message | str


@dataclass(slots=True)
class Ledger:
    """The working sheet of one ply: `given` figures take the place of derived ones of the same name."""

    given: Mapping[str, Origin]
    confidence: str = ""
    known: dict[str, Origin] = field(default_factory=dict)

    def enter(self, name: str, origin: Origin) -> float:
        """Enter an input; returns its value [SI unit of the origin], or the given one of the same name."""
        self.known[name] = self.given.get(name, origin)
        return self.known[name].value

    def derive(self, name: str, formula: Formula, inputs: tuple[str, ...], worked_out: Callable[..., float]) -> float:
        """Derive a figure from inputs already entered; returns the given or the derived value [SI unit of the formula].

        Raises
        ------
        KeyError : an input that is not entered yet.
        """
        if name in self.given:
            return self.enter(name, self.given[name])
        value = float(worked_out(*(self.known[i].value for i in inputs)))
        return self.enter(
            name,
            Origin(
                "derived",
                value,
                formula.unit,
                formula.source,
                self.confidence,
                (),
                formula.code,
                {i: self.known[i] for i in inputs},
            ),
        )

    def __getitem__(self, name: str) -> float:
        return self.known[name].value

    def has(self, *names: str) -> bool:
        """True when every one of the figures is written down."""
        return all(n in self.known for n in names)
