"""What a check of a sheet found: one line each, with key, what was given, what is expected."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """One mistake or warning in a sheet; `line` is 0 where no line can be named."""

    line: int
    where: str
    message: str
    weight: Literal["mistake", "warning"] = "mistake"

    def __str__(self) -> str:
        place = f"line {self.line}" if self.line else "somewhere"
        return f"{place}, {self.where}: {self.message}"
