"""Changes to a design as a person makes them: each gives a new design, checked anew; the old one stays as it was.

Sections count from 0 at the tip and plies from 0 at the bore, as in the paths of a document's fields.
"""

import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from polewright.codes import Message
from polewright.documents.design import Design, JointData
from polewright.documents.files import DocumentError, Fault
from polewright.documents.paths import no_place, put
from polewright.documents.stock import MandrelDocument, MaterialDocument
from polewright.workshop.kinds import design_of
from polewright.workshop.mandrels import put_mandrel
from polewright.workshop.prepregs import put_prepreg

__all__ = [
    "Edits",
    "add_ply",
    "move_ply",
    "remove_ply",
    "retype_ply",
    "rotate_ply",
    "set_field",
    "set_joint_stiffness",
    "set_turns",
    "take_stock",
]

_NEEDED = ("prepreg", "angle_deg", "turns")  # of a ply


def add_ply(design: Design, section: int, at: int | None, ply: Mapping[str, Any], *, end: str | None = None) -> Design:
    """The design with a ply put in so that it stands at place `at`, or at the "bore" or "skin" by `end`.

    `ply` has prepreg, angle_deg [degrees from the pole's axis], turns [-].

    Raises
    ------
    DocumentError : no such place, a field of the ply left empty, or the design cannot be so.
    """
    plain, stack = _stack(design, section)
    want = Message("want.figure_not_nothing")
    empty = [name for name in _NEEDED if isinstance(value := ply.get(name, 0), str) and not value.strip()]
    if empty:
        raise DocumentError([Fault((name, Message("given.empty"), want)) for name in empty])
    place = at
    if at is None and end in ("bore", "skin"):
        place = 0 if end == "bore" else len(stack)
    if place is None or (at is not None and end is not None):
        raise DocumentError.at("end", "" if end is None else repr(end), Message("want.bore_skin_or_place"))
    if not 0 <= place <= len(stack):
        raise no_place(f"sections[{section}].stack[{place}]", Message("want.place_in_list", most=len(stack)))
    stack.insert(place, dict(ply))
    return _checked(plain)


def remove_ply(design: Design, section: int, ply: int) -> Design:
    """The design without a ply; the last ply of a section stays."""
    plain, stack = _stack(design, section)
    _ply(stack, section, ply)
    if len(stack) == 1:
        raise DocumentError.at(f"sections[{section}].stack", "", Message("want.one_ply_left"))
    del stack[ply]
    return _checked(plain)


def move_ply(design: Design, section: int, ply: int, to: int) -> Design:
    """The design with a ply taken out and put back so that it stands at place `to` of the same section."""
    plain, stack = _stack(design, section)
    moved = _ply(stack, section, ply)
    _ply(stack, section, to)
    del stack[ply]
    stack.insert(to, moved)
    return _checked(plain)


def retype_ply(design: Design, section: int, ply: int, prepreg: str) -> Design:
    """The design with another material in a ply, one that the design lists.

    Raises
    ------
    DocumentError : the design does not list this material.
    """
    listed = [material.id for material in design.materials]
    if prepreg not in listed:
        raise DocumentError.at(
            f"sections[{section}].stack[{ply}].prepreg",
            repr(prepreg),
            Message("want.material_of_design", choices=tuple(listed)),
        )
    return _with_ply(design, section, ply, prepreg=prepreg)


def rotate_ply(design: Design, section: int, ply: int, angle_deg: float | str) -> Design:
    """The design with a ply at another angle [degrees from the pole's axis]."""
    return _with_ply(design, section, ply, angle_deg=angle_deg)


def set_turns(design: Design, section: int, ply: int, turns: float | str) -> Design:
    """The design with a ply of so many turns [-]."""
    return _with_ply(design, section, ply, turns=turns)


def set_field(design: Design, path: str, value: Any) -> Design:
    """The design with one field set, by its path ("joints[0].overlap_mm"); None takes an optional field out.

    Raises
    ------
    DocumentError : no such place, or the value cannot stand there.
    """
    plain = design.plain()
    put(plain, path, value)
    return _checked(plain)


def set_joint_stiffness(design: Design, joint: int, stiffness_kN_m_rad: float | str, overlap_mm: float | str) -> Design:
    """The design with the stiffness of a joint as it was measured here, at the overlap it had then.

    Raises
    ------
    DocumentError : no such joint, or a figure that cannot be.
    """
    plain = design.plain()
    if not 0 <= joint < len(plain["joints"]):
        raise no_place(f"joints[{joint}]", Message("want.place_in_list", most=len(plain["joints"]) - 1))
    for field, value in JointData.fields_of_measured(stiffness_kN_m_rad, overlap_mm).items():
        put(plain, f"joints[{joint}].{field}", value)
    return _checked(plain)


def take_stock(design: Design, entry: int, stocked: MaterialDocument | MandrelDocument) -> Design:
    """The design with the thing of entry `entry` of the workshop's shelf, in place of the one of the same name."""
    del entry
    if isinstance(stocked, MandrelDocument):
        return put_mandrel(design, stocked.mandrel)
    return put_prepreg(design, stocked.material)


@dataclass(frozen=True, slots=True)
class Edits:
    """The design at hand with what can be undone and redone; a value, `most` steps deep.

    A step is kept as compressed text, a thirtieth of what the design takes as a value.
    """

    now: Design
    past: tuple[bytes, ...] = ()
    future: tuple[bytes, ...] = ()
    most: int = 200

    def with_edit(self, design: Design) -> "Edits":
        """After an edit; what was undone before it can no longer be redone. An edit that changes nothing is none."""
        if design == self.now:
            return self
        return replace(self, now=design, past=(*self.past, _packed(self.now))[-self.most :], future=())

    def undone(self) -> "Edits":
        """One edit back; the same where there is none."""
        if not self.past:
            return self
        future = (_packed(self.now), *self.future)
        return replace(self, now=_unpacked(self.past[-1]), past=self.past[:-1], future=future)

    def redone(self) -> "Edits":
        """One undone edit forward; the same where there is none."""
        if not self.future:
            return self
        past = (*self.past, _packed(self.now))
        return replace(self, now=_unpacked(self.future[0]), past=past, future=self.future[1:])


def _packed(design: Design) -> bytes:
    return zlib.compress(json.dumps(design.plain(), separators=(",", ":")).encode("utf-8"))


def _unpacked(step: bytes) -> Design:
    return design_of(json.loads(zlib.decompress(step)))


def _stack(design: Design, section: int) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    plain = design.plain()
    if not 0 <= section < len(plain["sections"]):
        raise no_place(f"sections[{section}]", Message("want.place_from_tip", most=len(plain["sections"]) - 1))
    return plain, plain["sections"][section]["stack"]


def _ply(stack: list[dict[str, Any]], section: int, ply: int) -> dict[str, Any]:
    if not 0 <= ply < len(stack):
        raise no_place(f"sections[{section}].stack[{ply}]", Message("want.place_from_bore", most=len(stack) - 1))
    return stack[ply]


def _with_ply(design: Design, section: int, ply: int, **fields: Any) -> Design:
    plain, stack = _stack(design, section)
    _ply(stack, section, ply).update(fields)
    return _checked(plain)


def _checked(plain: dict[str, Any]) -> Design:
    if plain.get("document") != "pole-design":
        raise DocumentError.at("document", repr(plain.get("document")), Message("want.document_stays_pole"))
    return design_of(plain)
