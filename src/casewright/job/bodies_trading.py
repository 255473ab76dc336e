"""Bodies of buying: price lists, quotes, the owner's word, orders, goods."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field

from casewright.job.bodies_base import (
    Body,
    Needed,
    Short,
    Words,
)


class OffersImported(Body):
    """A price list as pasted: its text, who it is from and when it was dated."""

    KIND = "offers-imported"
    text: str
    dated: Short = ""
    replaces: bool = True


class Quoted(Body):
    """A quote as told to the owner: the stage and the figures, kept as a plain snapshot."""

    KIND = "quoted"
    stage: Literal["take-in", "after strip", "after inspection"]
    choice: Needed
    likely: Needed
    one_in_ten: Needed
    currency: Short = "EUR"
    ready_by: Short = ""
    snapshot: dict[str, Any] = Field(default_factory=dict)


class OwnerSaid(Body):
    """The owner's yes (or no): who, when, how, for what, up to what sum."""

    KIND = "owner-said"
    who: Needed
    how: Needed
    plan: Short = ""
    up_to: Short = ""
    currency: Short = "EUR"
    yes: bool = True
    old_parts: Literal["", "keep for the owner", "may be scrapped"] = ""
    deposit: Short = ""
    words: Words = ""


class OrderLine(BaseModel):
    """One line of an order: offer, number, how many, price each."""

    model_config = ConfigDict(frozen=True, extra="forbid")
    number: Needed
    count: Annotated[int, Field(ge=1)]
    price: Short = ""
    part: Short = ""
    words: Short = ""


class Ordered(Body):
    """An order to one supplier, by the digest of the plan it came from."""

    KIND = "ordered"
    order: Needed
    supplier: Needed
    lines: Annotated[tuple[OrderLine, ...], Field(min_length=1)]
    plan: Short = ""
    returnable: bool = True


class Received(Body):
    """Goods that came in against an order."""

    KIND = "received"
    order: Needed
    lines: Annotated[tuple[OrderLine, ...], Field(min_length=1)]
    words: Words = ""


class PartsShelved(Body):
    """Parts on the shop's shelf that this job may use, or that it puts there."""

    KIND = "parts-shelf"
    lines: tuple[OrderLine, ...]
    moves: Literal["counted", "taken", "put back"] = "counted"
