"""Published works that several formulas rest on: key -> author, title, place and year; one entry a work."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

__all__ = ["WORKS", "Work"]


@dataclass(frozen=True, slots=True)
class Work:
    """A book, paper or report. place: edition, or journal and volume, or report number."""

    author: str
    title: str
    place: str
    year: int

    @property
    def text(self) -> str:
        """Author, title, place and year as a list of references has them."""
        return ", ".join(part for part in (self.author, self.title, self.place, str(self.year)) if part)


WORKS: Mapping[str, Work] = MappingProxyType(
    {
        "abramowitz-1964": Work("M. Abramowitz, I. A. Stegun", "Handbook of Mathematical Functions", "", 1964),
        "axelrad-1987": Work("E. L. Axelrad", "Theory of Flexible Shells", "", 1987),
        "brazier-1927": Work(
            "L. G. Brazier",
            'On the flexure of thin cylindrical shells and other "thin" sections',
            "Proc. Royal Society A 116",
            1927,
        ),
        "greenhill-1881": Work(
            "A. G. Greenhill",
            "Determination of the greatest height consistent with stability that a vertical pole or mast can be made",
            "Proc. Cambridge Phil. Soc. 4",
            1881,
        ),
        "hetenyi-1946": Work("M. Hetenyi", "Beams on Elastic Foundation", "", 1946),
        "hoerner-1965": Work("S. F. Hoerner", "Fluid-Dynamic Drag", "", 1965),
        "jones-1999": Work("R. M. Jones", "Mechanics of Composite Materials", "2nd ed.", 1999),
        "lekhnitskii-1968": Work("S. G. Lekhnitskii", "Anisotropic Plates", "2nd ed.", 1968),
        "lekhnitskii-1981": Work("S. G. Lekhnitskii", "Theory of Elasticity of an Anisotropic Body", "", 1981),
        "love-1927": Work("A. E. H. Love", "A Treatise on the Mathematical Theory of Elasticity", "4th ed.", 1927),
        "maslov-1981": Work(
            "V. P. Maslov, M. V. Fedoriuk", "Semi-Classical Approximation in Quantum Mechanics", "", 1981
        ),
        "nasa-1968": Work("NASA", "Buckling of Thin-Walled Circular Cylinders", "SP-8007 rev.", 1968),
        "parlett-1998": Work("B. N. Parlett", "The Symmetric Eigenvalue Problem", "SIAM", 1998),
        "sanders-1963": Work(
            "J. L. Sanders", "Nonlinear theories for thin shells", "Quarterly of Applied Mathematics 21", 1963
        ),
        "seide-1961": Work(
            "P. Seide, V. I. Weingarten",
            "On the buckling of circular cylindrical shells under pure bending",
            "J. Applied Mechanics 28",
            1961,
        ),
        "simo-1985": Work(
            "J. C. Simo", "A finite strain beam formulation, part I", "Comput. Methods Appl. Mech. Eng. 49", 1985
        ),
        "timoshenko-1925": Work(
            "S. P. Timoshenko", "Analysis of bi-metal thermostats", "J. Optical Society of America 11", 1925
        ),
        "timoshenko-1937": Work("S. P. Timoshenko", "Vibration Problems in Engineering", "2nd ed.", 1937),
        "timoshenko-1940": Work("S. P. Timoshenko", "Strength of Materials, part I", "2nd ed.", 1940),
        "timoshenko-1961": Work("S. P. Timoshenko, J. M. Gere", "Theory of Elastic Stability", "2nd ed.", 1961),
        "young-2002": Work("W. C. Young, R. G. Budynas", "Roark's Formulas for Stress and Strain", "7th ed.", 2002),
    }
)
