"""What a room says, as blocks. Page, terminal and book are three renderings of one document.

Texts are plain (no markup); numbers stand in them already written by `quantities`. A block says
what it is, not how it looks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

Tone = Literal["plain", "lead", "estimate", "gap", "good", "bad", "unsure"]
# Each has its own word and hatching on the page; never colour alone.
Hatch = Literal["", "good", "bad", "unsure", "gap", "locked", "done", "next"]


@dataclass(frozen=True, slots=True)
class Say:
    """A paragraph. `gap` says what is not in the sheet and what that costs; `estimate` says so."""

    text: str
    tone: Tone = "plain"


@dataclass(frozen=True, slots=True)
class Caution:
    """A danger, shown before the button that records the step; it can't be clicked away."""

    text: str
    title: str = "Caution"


@dataclass(frozen=True, slots=True)
class Facts:
    """Label and text, row by row."""

    rows: tuple[tuple[str, str], ...]
    title: str = ""


@dataclass(frozen=True, slots=True)
class Cell:
    """A table cell; `hatch` marks a verdict beside its word."""

    text: str
    hatch: Hatch = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table with its caption; `empty` is said where there are no rows."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell | str, ...], ...]
    empty: str = "nothing yet"


@dataclass(frozen=True, slots=True)
class Picture:
    """An SVG drawing with the words that say the same to whoever can't see it."""

    svg: str
    alt: str
    title: str = ""


@dataclass(frozen=True, slots=True)
class TapCell:
    """A cell of a picture to tap: value, words, and its box in per cent of the picture."""

    value: str
    label: str
    left: float
    top: float
    wide: float
    tall: float


@dataclass(frozen=True, slots=True)
class TapPicture:
    """A picture in cells to tick, drawn behind them.

    `ratio` height over width as drawn to scale; `least` px of height that leave every cell big
    enough for a glove; `edges` words at top, right, bottom and left.
    """

    cells: tuple[TapCell, ...]
    svg: str
    ratio: float
    least: int
    edges: tuple[str, str, str, str]
    to_scale: bool = True


@dataclass(frozen=True, slots=True)
class Field:
    """One field of a form. `kind` tells how it is drawn; names are those of the entry's body.

    quantity  a number with unit buttons (`dimension`, `unit` preferred); `boxes` > 1 gives several
    measure   one number with a list of its own units (`choices`), sent as `NAME.unit`
    text, words (several lines), number (a plain count), date
    choice    one of `choices` (value, label); yes (a tick)
    ticks     several of `choices`
    tap       one of `choices` as buttons that record at once: one touch with a glove
    patch     several cells of `picture`, ticked by tapping or by drawing over them

    `places` name the boxes where one that is left empty mustn't move the others.
    """

    name: str
    label: str
    kind: Literal[
        "quantity",
        "measure",
        "text",
        "words",
        "number",
        "choice",
        "ticks",
        "tap",
        "yes",
        "date",
        "patch",
    ] = "text"
    dimension: str = ""
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    needed: bool = False
    hint: str = ""
    value: str = ""
    boxes: int = 1
    labels: tuple[str, ...] = ()
    places: tuple[str, ...] = ()
    picture: TapPicture | None = None


@dataclass(frozen=True, slots=True)
class Ask:
    """A form that records one entry of a kind; `fixed` are parts of its body already known."""

    kind: str
    title: str
    button: str
    fields: tuple[Field, ...] = ()
    fixed: Mapping[str, object] = field(default_factory=dict)
    caution: str = ""
    quiet: bool = False


@dataclass(frozen=True, slots=True)
class Fold:
    """Blocks that unfold: the working behind a number, the runner-ups, the whole list.

    One that is open and `wide` stands open where there is room, and closed on a telephone. One with
    a `key` is fetched when it is asked for: a page that would carry a hundred forms stays light.
    """

    title: str
    blocks: tuple[Block, ...]
    open: bool = False
    wide: bool = False
    key: str = ""


@dataclass(frozen=True, slots=True)
class Card:
    """The bench card: the next thing, why, the danger, and what to record.

    `position` is what in the sheet it is about, shown on the bench schematic: a position's key, or
    that of a joint, an adjuster or a response, which stand for the place where they are.
    """

    title: str
    blocks: tuple[Block, ...]
    where: str = ""
    position: str = ""


@dataclass(frozen=True, slots=True)
class Link:
    """A way to another page of the job, by room and anchor, or to a file to fetch.

    `room` may be "sum:KEY": a bench sum, with what is `given` filled in.
    """

    label: str
    room: str
    anchor: str = ""
    given: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Section:
    """A titled part of a room; `key` is its anchor.

    With `fold` it is folded on a page, the cell saying in a word what is inside.
    """

    key: str
    title: str
    blocks: tuple[Block, ...]
    fold: Cell | None = None


Block: TypeAlias = Say | Caution | Facts | Table | Picture | Ask | Fold | Card | Link


@dataclass(frozen=True, slots=True)
class Document:
    """What a room says: its card first, then its sections.

    `map` and `beside` stand with the card; `tags` are words for positions on the map.
    """

    room: str
    title: str
    card: Card | None
    sections: tuple[Section, ...]
    map: Picture | None = None
    beside: Picture | None = None
    tags: Mapping[str, str] = field(default_factory=dict)
