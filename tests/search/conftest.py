"""The plain twins and the shop of these tests stand beside them."""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
