"""A ply in service: softened by heat and water, heated by the sun, and as stiff as its cure made it.

The resin softens toward its wet glass transition; the fibre does not. All temperatures in kelvin.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any, overload

import numpy as np
from numpy.typing import ArrayLike

from polewright.arrays import FloatArray
from polewright.codes import Message
from polewright.errors import DesignError
from polewright.materials.numbers import above_zero, finite, fit_each_other, from_zero, share
from polewright.materials.ply import Elastic, Ply, Strength

__all__ = [
    "SERVICE_MARGIN",
    "TESTED_AT",
    "cure_of_glass_transition",
    "glass_transition_of_cure",
    "matrix_retention",
    "service_limit",
    "softened",
    "sun_warmed",
    "wet_glass_transition",
]

TESTED_AT = 296.15  # [K] laboratory temperature of the figures, 23 °C
SERVICE_MARGIN = 20.0  # [K] below the wet glass transition
SUNNY_SIDE = (20.0, 40.0)  # [K] how much warmer than its mean the sunny side of a black pole is


def matrix_retention(
    temperature: ArrayLike, *, Tg_dry: ArrayLike, Tg_wet: ArrayLike, tested_at: float = TESTED_AT
) -> FloatArray:
    """Share [-] of the resin's stiffness and strength left at a temperature [K]; any broadcastable shapes.

    sqrt((Tg_wet - T) / (Tg_dry - T0)), T0 where the lab figures were taken; above 1 when colder and drier than that.

    Raises
    ------
    DesignError : at or above the wet glass transition, where the ply carries no load; or Tg_wet above Tg_dry.

    Source
    ------
    C. C. Chamis, R. F. Lark, J. H. Sinclair, Integrated Theory for Predicting the Hygrothermomechanical Response of
    Advanced Composite Structural Components, ASTM STP 658, 1978; again in C. C. Chamis, Simplified Composite
    Micromechanics Equations for Strength, Fracture Toughness, Impact Resistance and Environmental Effects, 1984.
    """
    T, dry, wet = (_kelvin(*v) for v in (("temperature", temperature), ("Tg_dry", Tg_dry), ("Tg_wet", Tg_wet)))
    _kelvin("tested_at", tested_at)
    fit_each_other(temperature=T, Tg_dry=dry, Tg_wet=wet)
    if np.any(wet > dry):
        raise DesignError("Tg_wet", float(np.max(wet)), Message("want.at_most_dry_transition"))
    if np.any(dry <= tested_at):
        raise DesignError("Tg_dry", float(np.min(dry)), Message("want.above_test_temperature", tested_at=tested_at))
    if np.any(wet <= T):
        raise DesignError(
            "temperature",
            float(np.max(T)),
            Message("want.below_wet_transition", limit=float(np.min(wet)), margin=SERVICE_MARGIN),
        )
    return np.asarray(np.sqrt((wet - T) / (dry - tested_at)))


def wet_glass_transition(moisture: ArrayLike, *, Tg_dry: ArrayLike, Tg_wet: ArrayLike) -> FloatArray:
    """Glass transition [K] at a share of full moisture [-] (0 dry, 1 saturated), linear between the two.

    Any broadcastable shapes. Raises DesignError for a share outside 0 to 1.
    """
    m = share("moisture", moisture, want=Message("want.share_of_moisture"))
    dry, wet = _kelvin("Tg_dry", Tg_dry), _kelvin("Tg_wet", Tg_wet)
    fit_each_other(moisture=m, Tg_dry=dry, Tg_wet=wet)
    return np.asarray(dry * (1.0 - m) + wet * m)


def service_limit(Tg_wet: ArrayLike) -> FloatArray:
    """Highest temperature [K] to use or store a pole at: 20 K below the wet glass transition; any shape."""
    return np.asarray(_kelvin("Tg_wet", Tg_wet) - SERVICE_MARGIN)


@overload
def softened(ply: Ply, retention: float, *, push_share: float = 0.5) -> Ply: ...


@overload
def softened(ply: Ply, retention: Sequence[float] | FloatArray, *, push_share: float = 0.5) -> tuple[Ply, ...]: ...


def softened(ply: Ply, retention: Any, *, push_share: float = 0.5) -> Any:
    """The ply with its resin at `retention` [-]; its fibre as before. Several retentions, (n_case,), give a ply each.

    Times retention: E2, E3 and shear moduli, Yt, Yc, S. Xc keeps 1 - push_share + push_share * retention [-]: the
    resin holds the fibre straight for part of it. E1, Xt, Poisson's ratios, expansion and density stay. A weave is
    fibre both ways: its E1, E2, Xt, Yt stay, Xc and Yc go together. Design values are scaled like the lab means; where
    their knock-down holds an allowance for heat and water already, the two multiply, to the safe side.

    Raises
    ------
    DesignError : retention not above zero, or push_share outside 0 to 1.
    """
    left = above_zero("retention", retention, want=Message("want.share_above_zero"))
    if left.ndim:
        return tuple(softened(ply, float(r), push_share=push_share) for r in left.ravel())
    retention = float(left)
    share("push_share", push_share)
    push = 1.0 - push_share + push_share * retention
    return replace(
        ply,
        elastic=_softened_elastic(ply, retention),
        strength=_softened_strength(ply.strength, ply.is_woven, retention, push),
        design=_softened_strength(ply.design, ply.is_woven, retention, push),
    )


def _softened_elastic(ply: Ply, retention: float) -> Elastic:
    e = ply.elastic
    across = e.E2 if ply.is_woven else e.E2 * retention
    return replace(
        e, E2=across, E3=e.E3 * retention, G12=e.G12 * retention, G13=e.G13 * retention, G23=e.G23 * retention
    )


def _softened_strength(strength: Strength | None, is_woven: bool, retention: float, push: float) -> Strength | None:
    if strength is None:
        return None
    if is_woven:
        return strength.scaled(Xt=1.0, Xc=push, Yt=1.0, Yc=push, S=retention)
    return strength.scaled(Xt=1.0, Xc=push, Yt=retention, Yc=retention, S=retention)


def sun_warmed(air: ArrayLike, *, sun: ArrayLike, film: ArrayLike, absorbed: ArrayLike = 0.9) -> FloatArray:
    """Mean temperature [K] of a pole in the sun: T = T_air + a I / (pi h); any broadcastable shapes.

    The pole takes in a I D of every metre and gives off h pi D: sun I [W/m2] on its shadow, film h [W/(m2 K)]
    (10 to 25 from still air to a breeze), absorbed a [-] (0.9 black). The sunny side is 20 to 40 K above this mean.

    Raises
    ------
    DesignError : film not above zero, sun or absorbed share negative.

    Source
    ------
    Steady balance of heat: what the shadow takes in equals what the whole surface gives off.
    """
    T, I = _kelvin("air", air), from_zero("sun", sun)  # noqa: E741 - I is the sun's intensity
    h, a = above_zero("film", film, most=1e30), share("absorbed", absorbed)
    fit_each_other(air=T, sun=I, film=h, absorbed=a)
    return np.asarray(T + a * I / (np.pi * h))


def glass_transition_of_cure(
    degree: ArrayLike, *, Tg0: ArrayLike, Tg_inf: ArrayLike, dibenedetto: ArrayLike
) -> FloatArray:
    """Glass transition [K] of a resin cured to `degree` [-]; any broadcastable shapes.

    (Tg - Tg0)/(Tg_inf - Tg0) = lambda a / (1 - (1 - lambda) a).

    Raises
    ------
    DesignError : degree outside 0 to 1, or lambda not above zero.

    Source
    ------
    A. T. DiBenedetto, Prediction of the Glass Transition Temperature of Polymers: A Model Based on the Principle of
    Corresponding States, J. Polymer Science B 25, 1987; in this form J. P. Pascault, R. J. J. Williams, 1990.
    """
    a, low, high, lam = _cure_inputs(degree, Tg0, Tg_inf, dibenedetto)
    if not np.all((a >= 0.0) & (a <= 1.0)):
        raise DesignError("degree of cure", float(np.max(a)), Message("want.share_from_0_1"))
    return np.asarray(low + (high - low) * lam * a / (1.0 - (1.0 - lam) * a))


def cure_of_glass_transition(Tg: ArrayLike, *, Tg0: ArrayLike, Tg_inf: ArrayLike, dibenedetto: ArrayLike) -> FloatArray:
    """Degree of cure [-] that shows a glass transition Tg [K]: the same curve read backward; any broadcastable shapes.

    Raises
    ------
    DesignError : Tg outside Tg0 to Tg_inf.

    Source
    ------
    As glass_transition_of_cure.
    """
    T, low, high, lam = _cure_inputs(Tg, Tg0, Tg_inf, dibenedetto)
    if not np.all((low <= T) & (high >= T)):
        raise DesignError("Tg", float(np.max(T)), Message("want.between_uncured_and_cured"))
    x = (T - low) / (high - low)
    return np.asarray(x / (lam + (1.0 - lam) * x))


def _cure_inputs(first: ArrayLike, Tg0: ArrayLike, Tg_inf: ArrayLike, lam: ArrayLike) -> tuple[FloatArray, ...]:
    names = ("degree of cure or Tg", "Tg0", "Tg_inf", "dibenedetto")
    values = tuple(finite(name, v) for name, v in zip(names, (first, Tg0, Tg_inf, lam), strict=True))
    fit_each_other(**dict(zip(names, values, strict=True)))
    if np.any(values[3] <= 0.0) or np.any(values[2] <= values[1]):
        raise DesignError("glass transition curve", None, Message("want.transition_curve"))
    return values


def _kelvin(field: str, value: ArrayLike) -> FloatArray:
    """A temperature [K], any shape."""
    return above_zero(field, value, want=Message("want.kelvin_above_zero"))
