"""Documents as HTML: one set of macros for the pages of the shop and for the book."""

from __future__ import annotations

import itertools
import json
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import Any
from urllib.parse import urlencode

from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from casewright.units import DIMENSIONS
from casewright.voice.document import Ask, Document, Fold, Link

# An id within a drawing, or a place that names it.
OWN_NAME = re.compile(r"""(?<=\sid=")[^"]+|(?<=url\(#)[^)]+|(?<=href="#)[^"]+""")


@dataclass(frozen=True)
class Trouble:
    """What was wrong with a posted form: message, errors by field, and all that was typed."""

    message: str = ""
    errors: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, Sequence[str]] = field(default_factory=dict)
    questions: bool = False
    fixed: str = "{}"


@dataclass
class Troubles:
    """The trouble of the one form that was posted; every other form has none."""

    kind: str = ""
    trouble: Trouble = field(default_factory=Trouble)

    def get(self, kind: str, fixed: Mapping[str, object]) -> Trouble:
        """The trouble of the form with this kind and these fixed parts."""
        same = kind == self.kind and _loaded(self.trouble.fixed) == _plain(fixed)
        return self.trouble if same else Trouble()


def _loaded(text: str) -> Any:
    """What a form's fixed parts say; None where they aren't what a page made."""
    try:
        return json.loads(text or "{}")
    except json.JSONDecodeError:
        return None


def _plain(fixed: Mapping[str, object]) -> Any:
    return json.loads(json.dumps(fixed))


@dataclass
class Page:
    """What blocks need to know of the page that they stand on."""

    room: str = ""
    action: str = ""
    who: str = ""
    seen: int = 0
    can_ask: bool = False
    csrf: Markup = field(default_factory=Markup)
    trouble: Troubles = field(default_factory=Troubles)
    new_id: Callable[[], str] = lambda: ""
    link_to: Callable[[Link], str] = lambda link: "#"
    opened: str = ""
    counter: Any = field(default_factory=lambda: itertools.count(1))

    def next(self) -> int:
        """A number that differs for every form of the page."""
        return int(next(self.counter))

    def drawing(self, svg: str) -> Markup:
        """A drawing of `voice`, which escaped every text in it; its ids made unlike all others.

        Two drawings share the names of their hatchings, and a page may hold many of each.
        """
        number = self.next()
        return Markup(OWN_NAME.sub(rf"\g<0>-{number}", svg))

    def holds(self, fold: Fold) -> bool:
        """Whether a fold is part of this page; else the page carries only the way to it."""
        asked = not fold.key or not self.can_ask or fold.key == self.opened
        return asked or self._is_troubled(fold)

    def _is_troubled(self, fold: Fold) -> bool:
        """Whether the form that was posted stands in it, with what was wrong."""
        return any(
            self._is_troubled(one)
            if isinstance(one, Fold)
            else isinstance(one, Ask) and bool(self.trouble.get(one.kind, one.fixed).message)
            for one in fold.blocks
        )

    def address_of(self, fold: Fold) -> str:
        """This page with the fold in it, and open."""
        return f"{self.link_to(Link('', self.room))}?{urlencode({'open': fold.key})}#{fold.key}"

    def link(self, one: Link) -> str:
        """Where a link goes."""
        return self.link_to(one)


def unit_signs(dimension: str) -> tuple[str, ...]:
    """The first units of a dimension, as buttons."""
    return DIMENSIONS[dimension].signs[:4] if dimension in DIMENSIONS else ()


@cache
def environment() -> Environment:
    """The templates; autoescaped, undefined names are errors."""
    made = Environment(
        loader=PackageLoader("casewright.book", "templates"),
        autoescape=select_autoescape(["html"], default=True),
        undefined=StrictUndefined,
        trim_blocks=False,
    )
    install(made)
    return made


def install(made: Environment) -> None:
    """Give an environment the filters that the block macros need."""
    made.filters["block_kind"] = lambda block: type(block).__name__
    made.filters["plain_json"] = lambda fixed: json.dumps(fixed, sort_keys=True, ensure_ascii=False)
    made.filters["drawn"] = Markup
    made.globals["unit_signs"] = unit_signs


def render_document(document: Document, page: Page) -> Markup:
    """A document's blocks as HTML."""
    module = environment().get_template("blocks.html").module
    return Markup(module.document(document, page))  # type: ignore[attr-defined]
