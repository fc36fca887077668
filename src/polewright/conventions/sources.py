"""What the formulas of a room rest on, as data beside the docstrings: published works, derivations, other functions.

Each room keeps a table `SOURCES` in its `sources.py`: the name of a function, as "wall.membrane.tube_flexibility", or
of a file, as "pole.elastica", leads to its `Source`. The Source section of the docstring cites the same works; a test
compares the two.

A face asks for what several functions rest on together:

    basis = basis_of("wall.ring.ring_stiffness", "pole.elastica", tables=(WALL, POLE))
    basis.citations     # (Citation(WORKS["jones-1999"], "eqs. 4.22 to 4.24"), ...); `.text` is the printed reference
    basis.derivations   # (Message("derivation.closed_tube"), ...); `words` makes sentences of them

Names that a function builds on are followed, each work and derivation is given once, in the order of asking.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from polewright.codes import Message
from polewright.conventions.works import WORKS, Work

__all__ = ["Basis", "Citation", "Source", "basis_of", "cited", "derived"]


@dataclass(frozen=True, slots=True)
class Citation:
    """A place in a published work; at: equation, table, section or pages, as printed there."""

    work: Work
    at: str = ""

    @property
    def text(self) -> str:
        """The reference as printed: author, title, place, year, and where in it."""
        return f"{self.work.text}, {self.at}" if self.at else self.work.text


@dataclass(frozen=True, slots=True)
class Source:
    """What one function rests on.

    citations : published works. derivations : what was derived for it, as codes of texts. uses : names of further
    functions, room first, as "wall.membrane.tube_flexibility", whose sources are its own as well.
    """

    citations: tuple[Citation, ...] = ()
    derivations: tuple[Message, ...] = ()
    uses: tuple[str, ...] = ()

    def __add__(self, other: "Source") -> "Source":
        return Source(self.citations + other.citations, self.derivations + other.derivations, self.uses + other.uses)


@dataclass(frozen=True, slots=True)
class Basis:
    """What several functions rest on together, each work and each derivation once."""

    citations: tuple[Citation, ...]
    derivations: tuple[Message, ...]


def cited(work: str | Work, at: str = "") -> Source:
    """A source that is a published work: by its key in `WORKS`, or the work itself where one formula alone rests on it.

    Raises
    ------
    KeyError : no such work.
    """
    return Source(citations=(Citation(WORKS[work] if isinstance(work, str) else work, at),))


def derived(derivation: Message, *uses: str) -> Source:
    """A source that is a derivation of our own, and the functions it builds on."""
    return Source(derivations=(derivation,), uses=uses)


def basis_of(*names: str, tables: Sequence[Mapping[str, Source]]) -> Basis:
    """What functions rest on together.

    Parameters
    ----------
    names : functions, room first, as "wall.ring.ring_stiffness".
    tables : the `SOURCES` of the rooms that these functions and those they use stand in.

    Raises
    ------
    KeyError : a name that no table has.
    """
    known = {name: source for table in tables for name, source in table.items()}
    citations: dict[Citation, None] = {}
    derivations: dict[Message, None] = {}
    seen: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop(0)
        if name in seen:
            continue
        seen.add(name)
        source = known[name]
        citations |= dict.fromkeys(source.citations)
        derivations |= dict.fromkeys(source.derivations)
        waiting = [*source.uses, *waiting]
    return Basis(tuple(citations), tuple(derivations))
