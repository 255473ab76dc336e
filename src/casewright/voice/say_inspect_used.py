"""Used bearings and gears by their ratings: the estimate in words, and the forms for figures."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.drive.schema import Mesh
from casewright.job.bearing_figures import LIFE, METHOD
from casewright.phases.inspect import PieceLine, UsedBearing, UsedGear
from casewright.voice.document import Ask, Block, Facts, Field, Fold, Say
from casewright.voice.quantities import Style, working_rows


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
        return f"{said}; {one.trouble}."
    return (
        f"{said}. This one has run {hours(one.run)}: if it is sound, nine in ten like it go on for "
        f"{hours(one.nine_in_ten)}, even chance for {hours(one.even)}. Fatigue only: dirt, water "
        "and rust end most of them earlier, so what the eye finds comes first."
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


def asks_used(piece: PieceLine) -> Iterator[Ask]:
    """The figures that an estimate needs, on the pieces that it is for."""
    if piece.is_bearing:
        yield _ask_bearing(piece)
    for mesh in piece.meshes:
        yield _ask_gear(mesh)


def _ask_bearing(piece: PieceLine) -> Ask:
    return Ask(
        "calculation", f"How long may the used {piece.name} go on? By its rating", "Reckon",
        (
            Field("inputs.capacity", "Dynamic load rating C", "text", needed=True,
                  hint="from the bearing maker's list, like 54 kN"),
            Field("inputs.load", "Equivalent load P", "text", needed=True, hint="like 6.2 kN"),
            Field("inputs.speed", "Speed", "text", needed=True, hint="like 1500 rpm"),
            Field("inputs.run", "Hours it has run", "text", hint="empty: the owner's hours"),
            Field("inputs.static_capacity", "Static load rating C0", "text", hint="like 62 kN"),
            Field("inputs.static_load", "Greatest static load", "text", hint="P if empty"),
        ),
        {"name": LIFE + piece.position, "outputs": {}, "method": METHOD},
    )  # fmt: skip


def _ask_gear(mesh: Mesh) -> Ask:
    data = mesh.gear_data
    shape = []
    if data.outer_pitch_diameter is None:
        shape.append(Field("inputs.module", "Module at the outer end", "text", needed=True,
                           hint="outer pitch diameter by teeth, like 2.8 mm"))  # fmt: skip
    if data.face_width is None:
        shape.append(Field("inputs.face_width", "Face width", "text", needed=True,
                           hint="like 14 mm"))  # fmt: skip
    return Ask(
        "calculation", f"Does the used {mesh.name} carry its load? By a textbook rating", "Reckon",
        (
            Field("inputs.torque", "Torque on the pinion's shaft", "text", needed=True,
                  hint="like 60 N·m"),
            Field("inputs.speed", "Speed of the pinion", "text", needed=True, hint="like 2800 rpm"),
            *shape,
            Field("inputs.wanted", "Hours wanted from now", "text", hint="empty: 1000 h"),
            Field("inputs.run", "Hours they have run", "text", hint="empty: the owner's hours"),
            Field("inputs.hardness", "Hardness HB", "number",
                  hint="empty: 300; case-hardened teeth carry more"),
        ),
        {"name": f"gear-rating:{mesh.key}", "outputs": {}, "method": "textbook bevel rating"},
    )  # fmt: skip
