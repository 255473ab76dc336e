"""The forms of inspection: readings, looks, damage, verdicts, limits, instruments, money."""

from __future__ import annotations

from casewright.job.instruments import has_marks, place_names, places_of
from casewright.job.sizes import WARMED
from casewright.phases.inspect import FeatureLine, InspectView, PieceLine
from casewright.tables.damage import damage_for
from casewright.voice.document import Ask, Field
from casewright.voice.quantities import Style
from casewright.voice.say_inspect_gauged import asks_gauged, gauged_fields, how_gauged
from casewright.voice.say_inspect_words import LOOKS, window_words

DECISIONS = tuple((word, word) for word in ("use again", "rework", "read again", "replace"))
SEVERITIES = tuple((word, word) for word in ("trace", "moderate", "severe", "destroyed"))
REPEATS = 3
# What can be measured on a piece that the sheet has no feature for.
KINDS = (
    ("wear", "wear: a groove, a spline, a dog's edge"),
    ("thickness", "thickness: of a plate, a washer, a wall"),
    ("length", "a length, end float, a stand height"),
    ("diameter", "a diameter"),
    ("bore", "a bore"),
    ("ovality", "ovality"),
    ("run-out", "run-out at one place"),
    ("flatness", "flatness"),
    ("squareness", "squareness"),
    ("twist", "twist of a shaft"),
    ("hardness", "hardness"),
    ("look", "a look, by eye"),
)


def ask_feature(
    piece: PieceLine, line: FeatureLine, style: Style, *, brief: bool = False, of: str = "",
    occasion: str = "as-found",
) -> Ask:  # fmt: skip
    """The form for a feature: a look is one touch, a reading has its boxes."""
    if line.is_look:
        return _ask_look(piece, line, of, occasion)
    fields = [_values(line, style), *gauged_fields(line, style), *_instrument(line)]
    if line.feature.kind in WARMED:
        fields += _temperatures()
    if not brief:
        fields += _circumstances()
    fixed = {"target": line.feature.key, "occasion": occasion}
    return Ask(
        "reading", f"Read: {line.feature.name}", "Record", tuple(fields),
        fixed | ({"piece": of} if of else {}),
    )  # fmt: skip


def _ask_look(piece: PieceLine, line: FeatureLine, of: str, occasion: str) -> Ask:
    fields = (
        Field("words", "In words", "text", hint="only if there is something to say"),
        Field("look", "How is it?", "tap", choices=LOOKS, needed=True),
    )
    fixed = {"feature": line.feature.key, "position": piece.position, "occasion": occasion}
    return Ask(
        "finding", f"Look at: {line.feature.name}", "Record", fields,
        fixed | ({"piece": of} if of else {}),
    )  # fmt: skip


def _values(line: FeatureLine, style: Style) -> Field:
    places = places_of(line.feature)
    one = places == 1
    hint = f"{window_words(line, style)}; {_how(line)}"
    return Field(
        "values", "Read", "quantity", line.limits.dimension, style.unit(line.limits.dimension),
        needed=True, boxes=REPEATS if one else places, hint=hint, labels=_labels(line),
        places=place_names(line.feature) if has_marks(line.feature) else (),
    )  # fmt: skip


def _how(line: FeatureLine) -> str:
    feature = line.feature
    if places_of(feature) == 1:
        return "one reading will do, repeats tell how far it can be trusted"
    if feature.kind == "tooth":
        return how_gauged(feature)
    if feature.along:
        held = "in V-blocks" if feature.held != "centres" else "between centres"
        return f"{held}; one mark for 0° at every place; zero the dial at it, read once round"
    if feature.kind == "run-out":
        return "zero the dial at the mark, read once round; or one box: all that it moved"
    heights = f" at each of {feature.heights} heights" if feature.heights > 1 else ""
    return f"{feature.directions} directions{heights}"


def _labels(line: FeatureLine) -> tuple[str, ...]:
    repeats = tuple(f"repeat {k}" if k > 1 else "reading" for k in range(1, REPEATS + 1))
    return place_names(line.feature) or repeats


def _instrument(line: FeatureLine) -> tuple[Field, ...]:
    """The suggested instrument first, the sheet's among the rest."""
    names = list(dict.fromkeys([one.instrument for one in line.tools] + [line.feature.instrument]))
    shown = [name for name in names if name][:6]
    if not shown:
        return (Field("instrument", "Instrument", "text"),)
    return (
        Field(
            "instrument", "Instrument", "choice", choices=tuple((name, name) for name in shown),
            value=shown[0],
        ),
    )  # fmt: skip


def _temperatures() -> list[Field]:
    return [
        Field("temperature", "The part's temperature", "text",
              hint="like 34 °C or 93 °F, where it isn't near 20 °C: the size is brought to 20 °C"),
        Field("gauge_temperature", "The gauge's temperature", "text",
              hint="like 18 °C; empty: 20 °C ± 4 K is taken"),
    ]  # fmt: skip


def _circumstances() -> list[Field]:
    return [
        Field("hours", "Hours run at this reading", "text",
              hint="for one of long ago; say below when it happened"),
        Field("words", "In words", "text"),
    ]  # fmt: skip


def ask_limit(line: FeatureLine, style: Style) -> Ask:
    """A limit typed at the bench."""
    unit = style.unit(line.limits.dimension)
    return Ask(
        "limit-added", f"Limit for {line.feature.name}", "Add the limit",
        (
            Field("low", "At least", "text", hint=f"with its unit, like 29.97 {unit}"),
            Field("high", "At most", "text", hint=f"with its unit, like 30.00 {unit}"),
            Field("source", "Where it is from", "text"),
        ),
        {"target": line.feature.key},
    )  # fmt: skip


def ask_damage(piece: PieceLine, photos: tuple[tuple[str, str], ...] = ()) -> Ask:
    """Damage in the vocabulary's words, or in one's own."""
    offered = damage_for(piece.kind)
    choices = tuple((one.key, f"{one.name}: {one.looks}") for one in offered)
    shown = (Field("photo", "Its photograph", "choice", choices=photos),) if photos else ()
    return Ask(
        "finding", f"Damage on the {piece.name}", "Record",
        (
            *shown,
            Field("damage", "What it is", "choice", choices=choices),
            Field("severity", "How bad", "choice", choices=SEVERITIES,
                  hint="destroyed condemns the piece at once"),
            Field("words", "Where and how much, in words", "words"),
        ),
        {"position": piece.position, "occasion": "as-found"},
    )  # fmt: skip


def ask_verdict(piece: PieceLine, of: str = "") -> Ask:
    """A person's word on a piece; it stands above the tool's."""
    advised = piece.tool.decision if piece.tool and not of else ""
    fields = [
        Field("reason", "Why", "text", needed=True),
        Field("decision", "Decision", "choice", choices=DECISIONS, needed=True, value=advised),
    ]
    offers = {
        offer.key: offer.label
        for line in piece.features
        if line.verdict
        for offer in line.verdict.reworks
        if not offer.barred
    }
    if offers and not of:
        fields.append(Field("rework", "Rework", "choice", choices=tuple(offers.items())))
    fixed = {"position": piece.position} | ({"piece": of} if of else {})
    title = f"Your word on {of or f'the {piece.name}'}"
    return Ask("verdict", title, "Record with my name", tuple(fields), fixed)


def ask_other_verdict(positions: tuple[tuple[str, str], ...]) -> Ask:
    """A person's word on a piece that has nothing to measure in the sheet."""
    return Ask(
        "verdict", "Your word on another piece", "Record with my name",
        (
            Field("position", "Which", "choice", choices=positions, needed=True),
            Field("reason", "Why", "text", needed=True),
            Field("decision", "Decision", "tap", choices=DECISIONS, needed=True),
        ),
    )  # fmt: skip


def ask_reworked(piece: PieceLine) -> Ask:
    """The reworked piece comes back under its own name, so that its readings are its own."""
    short = piece.position.replace(".", "-")[-150:]
    return Ask(
        "piece-known", f"The {piece.name} is reworked", "It is done",
        (
            Field("piece", "Call it", "text", value=f"{short}-reworked", needed=True),
            Field("words", "What was done", "text"),
        ),
        {"position": piece.position, "part": piece.part, "origin": "reworked", "was": piece.piece},
    )  # fmt: skip


def ask_instrument() -> Ask:
    """An instrument for the register."""
    measures = tuple((word, word) for word in ("length", "torque", "angle", "temperature", "count"))
    return Ask(
        "instrument", "An instrument", "Keep it in the register",
        (
            Field("instrument", "Its name", "text", needed=True, hint="like micrometer 25-50"),
            Field("measures", "Measures", "choice", choices=measures, value="length"),
            Field("resolution", "Step of its display", "text", hint="like 0.001 mm"),
            Field("uncertainty", "± on its certificate", "text",
                  hint="as printed, for k = 2, like 0.002 mm"),
            Field("due", "Next calibration", "date"),
            Field("wear", "Wear allowed since", "text", hint="like 0.002 mm; empty for none"),
            Field("suits", "Only for", "text", hint="like bore, ovality; empty: told by its name"),
        ),
    )  # fmt: skip


def asks_money(view: InspectView) -> tuple[Ask, ...]:
    """What a come-back costs; with a part's price, verdicts weigh money."""
    known = dict(view.costs)
    comeback = Ask(
        "setting", "What a come-back costs", "Set",
        (Field("value", "Cost", "number", value=known.get("comeback-cost", ""), needed=True,
               hint="rebuild, tow and lost days, in the job's currency"),),
        {"name": "comeback-cost"},
    )  # fmt: skip
    parts = {
        piece.part: piece.name
        for piece in view.pieces
        if any(not line.is_look for line in piece.features)
    }
    prices = tuple(
        Ask(
            "setting", f"Price of {name}", "Set",
            (Field("value", "Price", "number", value=known.get(f"price:{part}", ""), needed=True),),
            {"name": f"price:{part}"}, quiet=True,
        )
        for part, name in parts.items()
    )  # fmt: skip
    return (comeback, *prices)


def asks_new(piece: PieceLine) -> tuple[Ask, ...]:
    """A feature that the sheet doesn't list; a tooth, a thread; a shaft's bend, read along it."""
    fixed = {"key": piece.new_key, "position": piece.position}
    feature = Ask(
        "sheet-added", f"Something more to measure on the {piece.name}", "Put it on the list",
        (
            Field("item.name", "What", "text", needed=True, hint="like spline, worn flank"),
            Field("item.kind", "Kind", "choice", choices=KINDS, needed=True),
            Field("item.low", "At least", "text", hint="with its unit; empty: not known"),
            Field("item.high", "At most", "text", hint="with its unit; empty: not known"),
            Field("item.source", "Where the limit is from", "text"),
            Field("item.directions", "Directions round", "number", hint="3 or more tell ovality"),
            Field("item.heights", "Heights", "number", hint="2 or more tell taper"),
            Field("item.instrument", "Instrument", "text", hint="like bore gauge 50-150"),
        ),
        {"table": "features", "item": fixed},
    )  # fmt: skip
    bend = (_ask_bend(piece, fixed),) if piece.kind == "shaft" else ()
    return (feature, *bend, *asks_gauged(piece, fixed))


def _ask_bend(piece: PieceLine, fixed: dict[str, str]) -> Ask:
    held = (("v-blocks", "in V-blocks"), ("centres", "between centres"))
    name = f"{piece.name}, bend along its length"
    return Ask(
        "sheet-added", f"Is the {piece.name} bent? Read along it", "Put it on the list",
        (
            Field("item.along", "Where the dial stands", "text", needed=True,
                  hint="from one end, like 20, 150, 300, 420 mm; beyond the supports too"),
            Field("item.supports", "Where the two supports are", "text",
                  hint="from the same end, like 20, 300 mm: blocks, or the bearing journals"),
            Field("item.held", "Held", "choice", choices=held, needed=True),
            Field("item.directions", "Marks round the turn", "number", value="8"),
            Field("item.high", "Run-out at most", "text", hint="with its unit; empty: not known"),
            Field("item.source", "Where the limit is from", "text"),
            Field("item.instrument", "Instrument", "text", value="indicator 0.01"),
        ),
        {"table": "features", "item": {**fixed, "name": name, "kind": "run-out"}},
    )  # fmt: skip
