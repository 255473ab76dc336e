"""What every body has: frozen, strict keys, and the questions that it answers once."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

from pydantic import BaseModel, ConfigDict, StringConstraints

Occasion = Annotated[
    str, StringConstraints(pattern=r"^(as-received|as-found|trial-[1-9]\d*|final|after-run)$")
]
Short = Annotated[str, StringConstraints(strip_whitespace=True, max_length=200)]
Needed = Annotated[str, StringConstraints(strip_whitespace=True, min_length=1, max_length=200)]
Words = Annotated[str, StringConstraints(strip_whitespace=True, max_length=4000)]
Reason = Annotated[str, StringConstraints(strip_whitespace=True, min_length=3, max_length=2000)]
Decision = Literal["use again", "rework", "read again", "replace"]
ROOMS = ("takein", "strip", "inspect", "cause", "order", "setup", "proof", "handover")
Slot = tuple[str, ...]


class Body(BaseModel):
    """Base of every body: frozen, strict keys; `slots` are the questions that the entry answers."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    KIND: ClassVar[str] = ""
    VERSION: ClassVar[int] = 1

    def slots(self) -> tuple[Slot, ...]:
        """Questions to which there is one answer; empty where several may stand side by side."""
        return ()

    def as_answered(self) -> Body:
        """The body as it answers its slots: without what was only on the page beside the answer."""
        return self
