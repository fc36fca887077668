"""What the whole product takes as agreed, each said once: `gravity`, `angles`, `rounding`, `confidence`, `criteria`.

Names are imported from these files, so that asking for gravity loads no arrays.
"""

__all__: list[str] = []
