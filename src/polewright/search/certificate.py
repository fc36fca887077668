"""The proof that goes with an answer: how many candidates there were and what became of each."""

from dataclasses import dataclass

from polewright.codes import Message

__all__ = ["Certificate", "Ledger"]


@dataclass(frozen=True, slots=True)
class Ledger:
    """One count of candidates: `in_all` by combinatorics, `evaluated` in full, the rest `excluded`, by name."""

    what: Message | str
    in_all: int
    evaluated: int
    excluded: tuple[tuple[Message | str, int], ...]

    @property
    def left(self) -> int:
        """Candidates not dealt with; above zero only when a run was stopped."""
        return self.in_all - self.evaluated - sum(n for _, n in self.excluded)

    @property
    def words(self) -> str:
        """One line that a person can add up."""
        parts = [f"{self.in_all:,} {self.what} in all", f"{self.evaluated:,} evaluated"]
        parts += [f"{n:,} excluded: {name}" for name, n in self.excluded if n]
        if self.left:
            parts.append(f"{self.left:,} not reached")
        return "; ".join(parts)


@dataclass(frozen=True, slots=True)
class Certificate:
    """The ledgers of a search, the gap [-] that is left (0: exact) and the model that the bounds speak of."""

    ledgers: tuple[Ledger, ...]
    gap: float = 0.0
    model: Message | str = "thin-wall tube, every layer at its own radius"

    @property
    def is_complete(self) -> bool:
        """Whether every candidate of every ledger is accounted for."""
        return all(ledger.left == 0 for ledger in self.ledgers)

    @property
    def words(self) -> str:
        """The ledgers line by line, then the gap."""
        lines = [ledger.words for ledger in self.ledgers]
        lines.append(
            "exact: nothing better exists"
            if self.gap == 0.0 and self.is_complete
            else f"nothing can be better by more than {100.0 * self.gap:.2f} %"
            if self.is_complete
            else "stopped before the end: best so far"
        )
        return "\n".join((*lines, f"model: {self.model}"))
