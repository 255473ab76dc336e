"""Used bearings and gears by their ratings: the estimate in words, and the forms for figures."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.phases.inspect import PairDuty, PieceLine, UsedBearing, UsedGear
from casewright.voice.document import Ask, Block, Facts, Field, Fold, Say
from casewright.voice.quantities import Style, say, working_rows
from casewright.voice.say_ratings import ask_rating, given_words


def used(piece: PieceLine, style: Style) -> Iterator[Block]:
    """What ratings say of the piece, labelled as estimates."""
    if piece.bearing is not None:
        yield Say(_bearing(piece.name, piece.bearing), "estimate")
    for gear in piece.gears:
        yield Say(_gear(gear), "estimate")
        if gear.workings:
            rows = tuple(Facts(working_rows(one, style), one.method) for one in gear.workings)
            yield Fold(f"The working: {gear.mesh} by its rating", rows)


def hours(seconds: float) -> str:
    """A span of service in words."""
    found = seconds / 3600
    return f"{found:.0f} h" if found < 20000 else f"{found / 8766:.0f} years of running"


def _bearing(name: str, one: UsedBearing) -> str:
    said = f"{name[:1].upper()}{name[1:]} by its rating"
    if one.life is None:
        return f"{said}: {one.trouble}."
    said += f": nine in ten new ones reach {hours(one.life)}"
    if one.run is None or one.nine_in_ten is None or one.even is None:
        return f"{said}; {one.trouble}.{given_words(one.given)}"
    return (
        f"{said}. This one has run {hours(one.run)}: if it is sound, nine in ten like it go on for "
        f"{hours(one.nine_in_ten)}, even chance for {hours(one.even)}. Fatigue only: dirt, water "
        "and rust end most of them earlier, so what the eye finds comes first."
        f"{given_words(one.given)}"
    )


def _gear(one: UsedGear) -> str:
    said = f"{one.mesh[:1].upper()}{one.mesh[1:]} by a textbook rating"
    if one.bending is None or one.wear is None:
        return f"{said}: {one.trouble}."
    least = min(one.bending, one.wear)
    word = "carries the load" if least >= 1 else "doesn't carry the load by the book"
    taken = f" Taken as usual: {', '.join(one.assumed)}." if one.assumed else ""
    return (
        f"{said} {word} for {hours(one.wanted)} more: {one.bending:.1f} times it by bending at the "
        f"root, {one.wear:.1f} times by wear of the flank, as if the teeth were straight, "
        f"through-hardened and sound.{taken} A sanity check; the maker's limits rule."
    )


def asks_used(piece: PieceLine, style: Style) -> Iterator[Ask]:
    """The figures that an estimate needs, on the pieces that it is for."""
    if piece.rating is not None:
        title = f"How long may the used {piece.name} go on? By its rating"
        yield ask_rating(title, piece.position, piece.rating, style)
    for pair in piece.meshes:
        yield _ask_gear(pair, style)


def _ask_gear(pair: PairDuty, style: Style) -> Ask:
    mesh, data = pair.mesh, pair.mesh.gear_data
    shape = []
    if data.outer_pitch_diameter is None:
        shape.append(Field("inputs.module", "Module at the outer end", "text", needed=True,
                           hint="outer pitch diameter by teeth, like 2.8 mm"))  # fmt: skip
    if data.face_width is None:
        shape.append(Field("inputs.face_width", "Face width", "text", needed=True,
                           hint="like 14 mm"))  # fmt: skip
    torque, speed = (
        f"empty: {say(known, dimension, style)}, by the sheet's duty" if known else f"like {usual}"
        for known, dimension, usual in (
            (pair.torque, "torque", "60 N·m"), (pair.speed, "speed", "2800 rpm"),
        )
    )  # fmt: skip
    return Ask(
        "calculation", f"Does the used {mesh.name} carry its load? By a textbook rating", "Reckon",
        (
            Field("inputs.torque", "Torque on the pinion's shaft", "text",
                  needed=pair.torque is None, hint=torque),
            Field("inputs.speed", "Speed of the pinion", "text", needed=pair.speed is None,
                  hint=speed),
            *shape,
            Field("inputs.wanted", "Hours wanted from now", "text", hint="empty: 1000 h"),
            Field("inputs.run", "Hours they have run", "text", hint="empty: the owner's hours"),
            Field("inputs.hardness", "Hardness HB", "number",
                  hint="empty: 300; case-hardened teeth carry more"),
        ),
        {"name": f"gear-rating:{mesh.key}", "outputs": {}, "method": "textbook bevel rating"},
    )  # fmt: skip
