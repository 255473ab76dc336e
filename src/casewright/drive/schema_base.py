"""What every table of a sheet is made of: strict keys, a key that never changes, a name."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field

Key = Annotated[str, Field(pattern=r"^[a-z0-9]+([.\-][a-z0-9]+)*$", max_length=80)]


class Item(BaseModel):
    """Base of every table in a sheet: frozen, strict keys."""

    model_config = ConfigDict(frozen=True, extra="forbid", arbitrary_types_allowed=True)


class Keyed(Item):
    """An item with a key, a name in words and the page it comes from."""

    key: Key
    name: str
    source: str = ""
