"""The table of criteria of failure: code, function, whether a verdict may go by it, and what it rests on.

The name of a criterion is the text "criterion.<code>". The check, the search, the hold, the form, the file format and
the sources of the wall read this table. It stands below the wall and names its functions, so that a file of a design
is read without loading any of them.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

from polewright.conventions.sources import Source, cited
from polewright.conventions.works import Work

__all__ = ["CRITERIA", "NAMING_CRITERIA", "Criterion", "CriterionKind", "NamingCriterion"]


@dataclass(frozen=True, slots=True)
class CriterionKind:
    """One criterion of failure.

    function : room first, as "wall.criteria.hashin_reserve"; takes load, strength and cure, gives the `Reserve`.
    names_fibre : its modes tell fibre from resin, so that a verdict may go by it.
    takes_elastic : whether the function needs the elastic constants of the plies as well.
    """

    function: str
    source: Source
    names_fibre: bool = True
    takes_elastic: bool = False


CRITERIA: Mapping[str, CriterionKind] = MappingProxyType(
    {
        "maximum_strain": CriterionKind(
            "wall.criteria.maximum_strain_reserve", cited("jones-1999", "section 2.9.2"), takes_elastic=True
        ),
        "maximum_stress": CriterionKind("wall.criteria.maximum_stress_reserve", cited("jones-1999", "section 2.9.1")),
        "tsai_wu": CriterionKind(
            "wall.criteria.tsai_wu_reserve",
            cited(
                Work(
                    "S. W. Tsai, E. M. Wu",
                    "A general theory of strength for anisotropic materials",
                    "J. Composite Materials 5",
                    1971,
                )
            ),
            names_fibre=False,
        ),
        "hashin": CriterionKind(
            "wall.criteria.hashin_reserve",
            cited(
                Work(
                    "Z. Hashin", "Failure criteria for unidirectional fiber composites", "J. Applied Mechanics 47", 1980
                ),
                "329-334",
            ),
        ),
        "action_plane": CriterionKind(
            "wall.action_plane.action_plane_reserve",
            cited(
                Work(
                    "A. Puck, J. Kopp, M. Knops",
                    "Guidelines for the determination of the parameters in Puck's action plane strength criterion",
                    "Composites Science and Technology 62",
                    2002,
                ),
                "371-378",
            )
            + cited(
                Work(
                    "A. Puck, H. Schürmann",
                    "Failure analysis of FRP laminates by means of physically based phenomenological models",
                    "Composites Science and Technology 58",
                    1998,
                ),
                "1045-1067",
            ),
        ),
        "hashin_rotem": CriterionKind(
            "wall.hashin_rotem.hashin_rotem_reserve",
            cited(
                Work(
                    "Z. Hashin, A. Rotem",
                    "A fatigue failure criterion for fiber reinforced materials",
                    "J. Composite Materials 7",
                    1973,
                ),
                "448-464",
            ),
        ),
    }
)
NAMING_CRITERIA: tuple[str, ...] = tuple(code for code, kind in CRITERIA.items() if kind.names_fibre)
"""Those that tell fibre from resin, by which a verdict may go."""

Criterion = str
"""One of `CRITERIA`."""
if TYPE_CHECKING:
    NamingCriterion = str
else:
    NamingCriterion = Literal[NAMING_CRITERIA]
