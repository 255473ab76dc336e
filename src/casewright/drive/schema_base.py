"""What every table of a sheet is made from: frozen items with strict keys, and keys themselves."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

Key = Annotated[str, Field(pattern=r"^[a-z0-9]+([.\-][a-z0-9]+)*$", max_length=80)]
Chance = (
    Annotated[float, Field(ge=0, le=1)]
    | Literal["never", "seldom", "now and then", "half", "usually", "nearly always", "always"]
)


def _sign(given: object) -> object:
    """A sign as a form posts it."""
    return int(given) if given in ("1", "+1", "-1") else given


Sign = Annotated[Literal[1, -1], BeforeValidator(_sign)]


class Item(BaseModel):
    """Base of every table in a sheet: frozen, strict keys."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


class Keyed(Item):
    """An item with a key, a name in words and the page it comes from."""

    key: Key
    name: str
    source: str = ""
