"""The working from prepreg to cured ply, figure by figure on a ledger: contents, constants, strengths, weave."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from polewright.codes import Message
from polewright.materials import content
from polewright.materials.constituents import ASSUMED_NU23, FibreConstants, ResinConstants
from polewright.materials.entries import Fibre, Resin
from polewright.materials.expansion import ExpansionModel
from polewright.materials.formulas import CONTENT, ELASTIC, EXPANSION, FIBRE_MIX, STRENGTH, WEAVE
from polewright.materials.ledger import Formula, Ledger
from polewright.materials.micromechanics import MODELS, Model, ply_elastic
from polewright.materials.numbers import one_of
from polewright.materials.origin import Origin
from polewright.materials.ply import Elastic, Strength
from polewright.materials.weave import cross_ply_modulus, woven

__all__ = [
    "ELASTIC_NAMES",
    "STRENGTH_NAMES",
    "Models",
    "design_strength",
    "elastic_of",
    "fibre_and_resin",
    "make_up",
    "strength_of",
    "unidirectional",
    "unidirectional_strength",
    "weave",
    "weave_strength",
]

ELASTIC_NAMES = ("E1", "E2", "E3", "G12", "G13", "G23", "nu12", "nu13", "nu23", "alpha1", "alpha2", "alpha3", "density")
STRENGTH_NAMES = ("Xt", "Xc", "Yt", "Yc", "S")
UNITS = {
    "E1": "Pa",
    "E2": "Pa",
    "G12": "Pa",
    "nu12": "-",
    "own_nu23": "-",
    "density": "kg/m3",
    "alpha1": "1/K",
    "alpha2": "1/K",
    "strength": "Pa",
    "Xc_ref": "Pa",
    "Xt_transfer": "-",
    "Yt_ref": "Pa",
    "Yc_ref": "Pa",
    "S_ref": "Pa",
    "E": "Pa",
    "nu": "-",
    "alpha": "1/K",
}
NEEDED = ("E1", "E2", "G12", "nu12", "alpha1", "alpha2", "density")
AVERAGED = ("E1", "E2", "G12", "nu12", "own_nu23", "alpha2", "Xc_ref", "Yt_ref", "Yc_ref", "S_ref")
OF_FIBRE = ("E1", "E2", "G12", "nu12", "own_nu23", "alpha1", "alpha2")


@dataclass(frozen=True, slots=True)
class Models:
    """Which stated models make the ply: elastic, and expansion (None: the partner of the elastic one)."""

    elastic: Model = "square_root"
    expansion: ExpansionModel | None = None

    def __post_init__(self) -> None:
        one_of("model", self.elastic, MODELS)
        if self.expansion is not None:
            one_of("expansion model", self.expansion, EXPANSION)

    @property
    def swelling(self) -> ExpansionModel:
        """The expansion model in use."""
        return self.expansion or ("square_root" if self.elastic == "square_root" else "cylinders")


def fibre_and_resin(sheet: Ledger, fibres: tuple[Fibre, ...], mass_shares: tuple[float, ...], resin: Resin) -> None:
    """Enter the constants of the fibre (of several: of their mix) and of the resin, as fibre.E1, resin.nu, ...

    Parameters
    ----------
    fibres : one, or several that share the prepreg.
    mass_shares : (n_fibre,) [-] share of each fibre in the mass of all; not used for one fibre.

    Source
    ------
    `FIBRE_MIX` of `formulas`: density by mass, all else by volume, axial expansion by volume and modulus.
    """
    for name in ("E", "nu", "alpha", "density"):
        sheet.enter(f"resin.{name}", resin.provenance.origin(getattr(resin, name), UNITS[name]))
    if len(fibres) == 1:
        _enter_fibre(sheet, "fibre", fibres[0])
        return
    for fibre, share in zip(fibres, mass_shares, strict=True):
        _enter_fibre(sheet, fibre.id, fibre)
        sheet.enter(f"{fibre.id}.mass_share", Origin("default", share, "-", Message("origin.fibre_mix")))
    _mix(sheet, tuple(f.id for f in fibres))


def _enter_fibre(sheet: Ledger, label: str, fibre: Fibre) -> None:
    for name in (*NEEDED, "strength", "Xc_ref", "Xt_transfer", "Yt_ref", "Yc_ref", "S_ref"):
        value = getattr(fibre, name)
        if value is not None:
            sheet.enter(f"{label}.{name}", fibre.provenance.origin(value, UNITS[name]))
    if fibre.own_nu23 is not None or not fibre.is_alike_all_round:
        if fibre.own_nu23 is not None:
            own = Origin("default", fibre.own_nu23, "-", Message("origin.entered"))
        else:
            own = Origin("default", ASSUMED_NU23, "-", Message("origin.assumed"), "low")
        sheet.enter(f"{label}.own_nu23", own)
    else:
        same = Formula("formula.fibre.own_nu23", "-", Message("origin.alike_every_way"))
        sheet.derive(f"{label}.own_nu23", same, (f"{label}.nu12",), lambda nu: nu)


def _mix(sheet: Ledger, ids: tuple[str, ...]) -> None:
    """Fibre constants of a mix: density by mass, the rest by volume, axial expansion by volume and modulus."""
    masses, densities = tuple(f"{i}.mass_share" for i in ids), tuple(f"{i}.density" for i in ids)
    n = len(ids)
    sheet.derive(
        "fibre.density",
        FIBRE_MIX["density"],
        masses + densities,
        lambda *v: 1.0 / sum(m / r for m, r in zip(v[:n], v[n:], strict=True)),
    )
    for i in ids:
        sheet.derive(
            f"{i}.volume_share",
            FIBRE_MIX["volume_share"],
            (f"{i}.mass_share", f"{i}.density", "fibre.density"),
            lambda m, r, rf: m * rf / r,
        )
    shares = tuple(f"{i}.volume_share" for i in ids)
    for name in AVERAGED:
        figures = tuple(f"{i}.{name}" for i in ids)
        if sheet.has(*figures):
            by_volume = Formula(FIBRE_MIX["by_volume"].code, UNITS[name], FIBRE_MIX["by_volume"].source)
            sheet.derive(
                f"fibre.{name}",
                by_volume,
                shares + figures,
                lambda *v: sum(s * f for s, f in zip(v[:n], v[n:], strict=True)),
            )
    stiff, swell = tuple(f"{i}.E1" for i in ids), tuple(f"{i}.alpha1" for i in ids)
    sheet.derive(
        "fibre.alpha1",
        FIBRE_MIX["alpha1"],
        shares + stiff + swell,
        lambda *v: (
            sum(s * e * a for s, e, a in zip(v[:n], v[n : 2 * n], v[2 * n :], strict=True))
            / sum(s * e for s, e in zip(v[:n], v[n : 2 * n], strict=True))
        ),
    )


def make_up(sheet: Ledger, *, fibre_area_mass: Origin, resin_share: Origin, void_share: Origin, bleed: Origin) -> None:
    """Write down areal masses, shares, thickness and density; what was weighed or measured decides the others."""
    given = sheet.given
    sheet.enter("void_share", void_share)
    sheet.enter("bleed", bleed)
    if "area_mass" in given and "resin_share" in given and "fibre_area_mass" not in given:
        sheet.enter("area_mass", given["area_mass"])
        sheet.enter("resin_share", resin_share)
        sheet.derive(
            "fibre_area_mass", CONTENT["fibre_area_mass"], ("area_mass", "resin_share"), lambda m, w: m * (1.0 - w)
        )
    elif "area_mass" in given:
        sheet.enter("area_mass", given["area_mass"])
        sheet.enter("fibre_area_mass", fibre_area_mass)
        sheet.derive(
            "resin_share",
            CONTENT["resin_share"],
            ("area_mass", "fibre_area_mass"),
            lambda m, f: float(content.lot_resin_share(m, fibre_area_mass=f)),
        )
    else:
        sheet.enter("fibre_area_mass", fibre_area_mass)
        sheet.enter("resin_share", resin_share)
        sheet.derive(
            "area_mass",
            CONTENT["area_mass"],
            ("fibre_area_mass", "resin_share"),
            lambda f, w: float(content.prepreg_area_mass(f, w)),
        )
    sheet.derive(
        "cured_resin_share",
        CONTENT["cured_resin_share"],
        ("resin_share", "bleed"),
        lambda w, b: float(content.resin_share_after_bleed(w, b)),
    )
    _cured(sheet)


def _cured(sheet: Ledger) -> None:
    if "thickness" in sheet.given:
        sheet.enter("thickness", sheet.given["thickness"])
        sheet.derive(
            "Vf",
            CONTENT["Vf_of_thickness"],
            ("fibre_area_mass", "fibre.density", "thickness"),
            lambda f, rho, t: float(content.fibre_share_of_thickness(t, fibre_area_mass=f, fibre_density=rho)),
        )
    else:
        sheet.derive(
            "Vf",
            CONTENT["Vf"],
            ("cured_resin_share", "fibre.density", "resin.density", "void_share"),
            lambda w, f, r, v: float(content.fibre_volume_share(w, fibre_density=f, resin_density=r, void=v)),
        )
        sheet.derive(
            "thickness",
            CONTENT["thickness"],
            ("fibre_area_mass", "Vf", "fibre.density"),
            lambda f, vf, rho: float(content.cured_thickness(f, vf=vf, fibre_density=rho)),
        )
    content.refuse_unpackable(sheet["Vf"], sheet["void_share"])
    sheet.derive(
        "density",
        CONTENT["density"],
        ("Vf", "void_share", "fibre.density", "resin.density"),
        lambda vf, v, f, r: float(content.cured_density(vf, fibre_density=f, resin_density=r, void=v)),
    )


def unidirectional(sheet: Ledger, models: Models, *, nu23: Origin | None, label: str = "") -> Elastic:
    """Write down the constants of the unidirectional ply under `label` and give them as a value."""
    whole = _by_models(sheet, models, nu23=None if nu23 is None else nu23.value)
    inputs = _inputs(models)
    elastic, swelling = ELASTIC[models.elastic], EXPANSION[models.swelling]
    for name, names in inputs.items():
        formula = swelling[name] if name.startswith("alpha") else elastic[name]
        sheet.derive(f"{label}{name}", formula, names, _fixed(whole, name))
    if nu23 is not None:
        sheet.enter(f"{label}nu23", nu23)
    else:
        sheet.derive(
            f"{label}nu23",
            elastic["nu23"],
            (f"{label}E1", f"{label}E2", f"{label}nu12", "Vf", "fibre.E2", "fibre.own_nu23", "resin.E", "resin.nu"),
            _fixed(whole, "nu23"),
        )
    sheet.derive(f"{label}G23", elastic["G23"], (f"{label}E2", f"{label}nu23"), lambda E2, nu: E2 / (2.0 * (1.0 + nu)))
    for name, twin in (("E3", "E2"), ("G13", "G12"), ("nu13", "nu12"), ("alpha3", "alpha2")):
        sheet.derive(f"{label}{name}", elastic[name], (f"{label}{twin}",), lambda v: v)
    return elastic_of(sheet, label)


def _inputs(models: Models) -> dict[str, tuple[str, ...]]:
    """Which figures each constant is worked out from, by the models in use."""
    axial = ("Vf", "void_share", "fibre.E1", "resin.E")
    full = ("Vf", "fibre.E1", "fibre.E2", "fibre.nu12", "fibre.own_nu23", "resin.E", "resin.nu")
    inputs = {
        "E1": axial,
        "E2": ("Vf", "fibre.E2", "resin.E"),
        "G12": ("Vf", "fibre.G12", "resin.E", "resin.nu"),
        "nu12": ("Vf", "fibre.nu12", "resin.nu"),
    }
    if models.elastic == "cylinders":
        inputs |= {"E1": (*full, "void_share"), "E2": full, "nu12": full}
    if models.swelling == "cylinders":
        both = (*full, "fibre.alpha1", "fibre.alpha2", "resin.alpha")
        return inputs | {"alpha1": both, "alpha2": both}
    across = (*axial, "fibre.alpha2", "resin.nu", "resin.alpha")
    more = ("fibre.alpha1", "fibre.nu12") if models.swelling == "schapery" else ()
    return inputs | {"alpha1": (*axial, "fibre.alpha1", "resin.alpha"), "alpha2": (*across, *more)}


def _by_models(sheet: Ledger, models: Models, *, nu23: float | None) -> Elastic:
    fibre = FibreConstants(*(sheet[f"fibre.{n}"] for n in (*OF_FIBRE, "density")))  # type: ignore[arg-type]
    resin = ResinConstants(*(sheet[f"resin.{n}"] for n in ("E", "nu", "alpha", "density")))  # type: ignore[arg-type]
    return ply_elastic(
        fibre, resin, sheet["Vf"], void=sheet["void_share"], nu23=nu23, model=models.elastic, expansion=models.swelling
    )


def _fixed(whole: Elastic, name: str) -> Callable[..., float]:
    """A figure of a whole set of constants worked out at once from the named inputs."""
    return lambda *_: float(getattr(whole, name))


def elastic_of(sheet: Ledger, label: str = "") -> Elastic:
    """The constants written down under `label`, as a value."""
    return Elastic(**{n: sheet["density" if n == "density" else f"{label}{n}"] for n in ELASTIC_NAMES})  # type: ignore[arg-type]


def weave(sheet: Ledger, ud: Elastic, *, crimp: Origin) -> Elastic:
    """Write down the constants of the balanced weave of the plies `ud` (its figures stand as ud.E1, ...)."""
    sheet.enter("crimp_E", crimp)
    pair = woven(ud, crimp=sheet["crimp_E"])
    plane = ("ud.E1", "ud.E2", "ud.nu12")
    through = (*plane, "ud.E3", "ud.nu13", "ud.nu23")
    for name, names in {
        "E1": (*plane, "crimp_E"),
        "nu12": plane,
        "G12": ("ud.G12",),
        "E3": through,
        "nu13": (*through, "crimp_E"),
        "G13": ("ud.G13", "ud.G23"),
        "alpha1": (*plane, "ud.alpha1", "ud.alpha2"),
        "alpha3": (*through, "ud.alpha1", "ud.alpha2", "ud.alpha3"),
    }.items():
        sheet.derive(name, WEAVE[name], names, _fixed(pair, name))
    for name, twin in (("E2", "E1"), ("nu23", "nu13"), ("G23", "G13"), ("alpha2", "alpha1")):
        sheet.derive(name, WEAVE[name], (twin,), lambda v: v)
    sheet.derive(
        "ud.Ex", Formula("formula.weave.Ex", "Pa", WEAVE["E1"].source), plane, lambda *_: float(cross_ply_modulus(ud))
    )
    return elastic_of(sheet)


def unidirectional_strength(sheet: Ledger, ids: tuple[str, ...], *, label: str = "") -> None:
    """Write down the lab-mean strengths of the unidirectional ply, as far as the fibre's are known."""
    if len(ids) == 1 and sheet.has("fibre.strength", "fibre.Xt_transfer"):
        sheet.derive(
            f"{label}Xt", STRENGTH["Xt"], ("fibre.Xt_transfer", "Vf", "fibre.strength"), lambda x, v, s: x * v * s
        )
    elif len(ids) > 1 and sheet.has(*(f"{i}.{n}" for i in ids for n in ("strength", "Xt_transfer"))):
        n = len(ids)
        names = tuple(f"{i}.{figure}" for figure in ("Xt_transfer", "strength", "E1") for i in ids)
        sheet.derive(
            f"{label}Xt",
            STRENGTH["Xt_mixed"],
            (f"{label}E1", *names),
            lambda E1, *v: E1 * min(x * s / e for x, s, e in zip(v[:n], v[n : 2 * n], v[2 * n :], strict=True)),
        )
    if sheet.has("fibre.Xc_ref"):
        sheet.derive(f"{label}Xc", STRENGTH["Xc"], ("fibre.Xc_ref", "Vf"), lambda x, v: x * v / 0.60)
    for name in ("Yt", "Yc", "S"):
        if sheet.has(f"fibre.{name}_ref"):
            sheet.derive(f"{label}{name}", STRENGTH[name], (f"fibre.{name}_ref",), lambda v: v)
    _enter_given(sheet, label)


def weave_strength(sheet: Ledger, *, crimp_Xt: Origin, crimp_Xc: Origin) -> None:
    """Write down the lab-mean strengths of the weave from those of the plies in it."""
    for name, crimp in (("Xt", crimp_Xt), ("Xc", crimp_Xc)):
        sheet.enter(f"crimp_{name}", crimp)
        if sheet.has(f"ud.{name}"):
            sheet.derive(
                name,
                WEAVE[name],
                (f"crimp_{name}", f"ud.{name}", "ud.Ex", "ud.E1"),
                lambda c, x, ex, e1: c * x * ex / e1,
            )
    if sheet.has("ud.S"):
        sheet.derive("S", WEAVE["S"], ("ud.S",), lambda s: s)
    _enter_given(sheet, "")
    for name, twin in (("Yt", "Xt"), ("Yc", "Xc")):
        if sheet.has(twin):
            sheet.derive(name, WEAVE[name], (twin,), lambda x: x)


def _enter_given(sheet: Ledger, label: str) -> None:
    for name in STRENGTH_NAMES:
        if f"{label}{name}" in sheet.given:
            sheet.enter(f"{label}{name}", sheet.given[f"{label}{name}"])


def design_strength(sheet: Ledger, factors: Mapping[str, Origin]) -> None:
    """Write down the design values: each lab mean times its knock-down, kept apart from the lab means."""
    for name, factor in factors.items():
        sheet.enter(f"knockdown.{name}", factor)
        if sheet.has(name):
            sheet.derive(f"{name}_design", STRENGTH["design"], (name, f"knockdown.{name}"), lambda x, k: x * k)


def strength_of(sheet: Ledger, ending: str = "") -> Strength | None:
    """The five strengths written down (with "_design": the design values), or None when one is unknown."""
    names = {n: f"{n}{ending}" for n in STRENGTH_NAMES}
    if not sheet.has(*names.values()):
        return None
    return Strength(**{n: sheet[full] for n, full in names.items()})  # type: ignore[arg-type]
