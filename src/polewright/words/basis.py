"""What formulas rest on, as printed: published works and derivations of our own."""

from collections.abc import Mapping, Sequence

from polewright.conventions.sources import Source, basis_of
from polewright.words.reader import Reader

__all__ = ["basis_text"]


def basis_text(names: Sequence[str], tables: Sequence[Mapping[str, Source]], reader: Reader) -> str:
    """The works and derivations behind functions, by their names in the rooms' tables of sources.

    Raises
    ------
    KeyError : a name that no table has.
    """
    basis = basis_of(*names, tables=tables)
    return "; ".join([*(c.text for c in basis.citations), *(reader.text(d) for d in basis.derivations)])
