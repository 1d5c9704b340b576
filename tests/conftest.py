"""Lets every test import the packages `oracle`, `screens` and `tables`, which stand beside them."""

import sys
from pathlib import Path

HERE = str(Path(__file__).parent)
if HERE not in sys.path:
    sys.path.insert(0, HERE)
