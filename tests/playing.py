"""The shipped cases for tests. `lampwright kb cases NAME` tells how one of them ends, and why."""

from __future__ import annotations

from pathlib import Path

import kb
from engine.cases import answer_of, failings, play, told
from engine.cases import dialogue as lines

__all__ = ["SHIPPED", "answer_of", "failings", "lines", "play", "told"]

SHIPPED = Path(kb.__file__).parent
