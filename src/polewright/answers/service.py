"""The pole in service: as warm as it is, and in the wind that blows."""

from dataclasses import dataclass, replace
from functools import lru_cache

from polewright.codes import Message
from polewright.documents.design import Design
from polewright.documents.files import DocumentError, Fault
from polewright.documents.material import Material, ResinData
from polewright.documents.values import Workpiece
from polewright.errors import DesignError
from polewright.materials.library import library
from polewright.materials.service import TESTED_AT, matrix_retention, service_limit, softened
from polewright.pole.section import Section, tube_of
from polewright.units import si
from polewright.wall.stack import Stack, StackPly

__all__ = ["Heat", "Warmth", "beaufort", "heat_of", "in_service", "warmth_of"]


@dataclass(frozen=True, slots=True)
class Heat:
    """How much of its resin's stiffness [-] a pole keeps when warm and wet, the least of its materials.

    limit [K] is how warm it may be used, 20 below the first wet glass transition.
    """

    retention: float
    limit: float


def _transitions(material: Material) -> tuple[float, float]:
    """Dry and wet glass transition [K] of a material's resin."""
    given = material.resin
    if isinstance(given, ResinData):
        return si("Tg_dry_C", given.Tg_dry_C), si("Tg_wet_C", given.Tg_wet_C)
    shelf = library()
    resin = shelf.resin(given if given is not None else shelf.prepreg(str(material.prepreg)).resin_id)
    dry = resin.Tg_dry if resin.Tg_dry is not None else float("nan")
    return dry, resin.Tg_wet if resin.Tg_wet is not None else dry


def _retention(material: Material, temperature: float) -> float:
    dry, wet = _transitions(material)
    try:
        return min(float(matrix_retention(temperature, Tg_dry=dry, Tg_wet=wet)), 1.0)
    except DesignError as fault:
        given = Message("given.temperature", temperature=temperature)
        wanted = Message(
            "want.below_wet_glass_transition", most=wet, use=float(service_limit(wet)), material=material.id
        )
        raise DocumentError([Fault(("temperature_C", given, wanted))]) from fault


def heat_of(design: Design, temperature: float) -> Heat:
    """What a temperature [K] leaves of the resin.

    Raises
    ------
    DocumentError : at or above a resin's wet glass transition.
    """
    used = _used(design)
    return Heat(
        min(_retention(m, temperature) for m in used), min(float(service_limit(_transitions(m)[1])) for m in used)
    )


def _used(design: Design) -> tuple[Material, ...]:
    names = {w.prepreg for s in design.sections for w in s.stack}
    return tuple(m for m in design.materials if m.id in names)


@lru_cache(maxsize=16)
def in_service(design: Design, work: Workpiece, temperature_C: float | None) -> Workpiece:
    """The pole as warm as that, wet: resin softened, fibre and fits as made. None: as tested, dry at 23 degrees.

    Raises
    ------
    DocumentError : at or above a resin's wet glass transition.
    """
    if temperature_C is None:
        return work
    kept = {m.id: _retention(m, si("temperature_C", temperature_C)) for m in _used(design)}
    sections = tuple(
        _soft(s, tuple(kept[w.prepreg] for w in d.stack)) for s, d in zip(work.sections, design.sections, strict=True)
    )
    tubes = tuple(_tube(s) for s in sections)
    return replace(work, sections=sections, pole=replace(work.pole, tubes=tubes))


@lru_cache(maxsize=96)
def _soft(section: Section, kept: tuple[float, ...]) -> Section:
    plies = tuple(
        StackPly(softened(w.ply, k), w.angle, w.turns) for w, k in zip(section.stack.plies, kept, strict=True)
    )
    return section.in_service(Stack(plies))


_tube = lru_cache(maxsize=96)(tube_of)


@dataclass(frozen=True, slots=True)
class Warmth:
    """How warm the pole is taken to be [K], wet, and what that leaves; as tested and dry where heat is None."""

    temperature: float
    heat: Heat | None = None

    @property
    def is_too_warm(self) -> bool:
        """Whether it is warmer than a pole should still be used."""
        return self.heat is not None and self.temperature > self.heat.limit


def warmth_of(design: Design, temperature_C: float | None) -> Warmth:
    """How warm the pole is, and what that does to the resin.

    Raises
    ------
    DocumentError : at or above a resin's wet glass transition.
    """
    if temperature_C is None:
        return Warmth(TESTED_AT)
    temperature = si("temperature_C", temperature_C)
    return Warmth(temperature, heat_of(design, temperature))


def beaufort(speed: float) -> int:
    """The Beaufort number of a wind [m/s]."""
    return int([row for row in library().table("beaufort") if round(speed, 1) >= float(row["v_low"])][-1]["force"])
