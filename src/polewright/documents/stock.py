"""What lies on the shelf and the rack, as documents of their own: a material, a mandrel."""

from typing import Literal

from polewright.documents.design import MandrelData
from polewright.documents.document import Document
from polewright.documents.material import Material

__all__ = ["MandrelDocument", "MaterialDocument"]


class MaterialDocument(Document):
    """A material by itself, with the figures measured on its lots."""

    document: Literal["material"] = "material"
    material: Material


class MandrelDocument(Document):
    """A mandrel by itself, as measured."""

    document: Literal["mandrel"] = "mandrel"
    mandrel: MandrelData
