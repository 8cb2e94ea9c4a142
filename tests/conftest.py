"""Makes what several tests share importable by name, and keeps Hypothesis free of clocks and chance."""

import sys
from pathlib import Path

from hypothesis import settings

sys.path.append(str(Path(__file__).parent / "bench"))

settings.register_profile("shopday", deadline=None, derandomize=True, database=None)
settings.load_profile("shopday")
