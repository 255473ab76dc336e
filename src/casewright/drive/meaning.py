"""Checks of a sheet's meaning: keys exist, windows are the right way round, no graph has a loop."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping

from casewright.drive.findings import Finding
from casewright.drive.gauged import far_from_thread, wrong_gauged
from casewright.drive.graph import loop_in, never_free
from casewright.drive.lines import line_of
from casewright.drive.measures import Measure
from casewright.drive.schema import PACKED, DriveSheet, Feature

Lines = Mapping[tuple[str | int, ...], int]
RESPONSE_KIND = {
    "pinion-height": ("length",),
    "lash": ("length", "angle"),
    "end-play": ("length",),
    "preload": ("torque", "force", "length"),
    "turning-torque": ("torque",),
}
FEATURE_KIND = {
    "hardness": ("count",),
    "squareness": ("length", "angle"),
    "twist": ("angle", "length"),
}
KEYED = (
    "units", "parts", "positions", "matched_sets", "joints", "shafts", "meshes", "adjusters",
    "responses", "dry_readings", "features", "circuits", "linkages", "functional_tests", "anodes",
)  # fmt: skip


def meaning(sheet: DriveSheet, lines: Lines) -> list[Finding]:
    """Everything that reads well but can't be meant, each with its line."""
    raw = [*_doubles(sheet), *_references(sheet), *_windows(sheet), *_adjusters(sheet)]
    raw += [*_gauges(sheet), *_graph(sheet), *_counts(sheet), *_sources(sheet)]
    return [Finding(line_of(path, lines), *rest) for path, *rest in raw]  # type: ignore[arg-type]


Raw = tuple[tuple[str | int, ...], str, str, str]


def _mistake(path: tuple[str | int, ...], where: str, message: str) -> Raw:
    return (path, where, message, "mistake")


def _doubles(sheet: DriveSheet) -> Iterator[Raw]:
    for table in KEYED:
        items = getattr(sheet, table)
        twice = [key for key, count in Counter(item.key for item in items).items() if count > 1]
        for key in twice:
            index = max(i for i, item in enumerate(items) if item.key == key)
            yield _mistake((table, index, "key"), key, "this key stands twice; keys must differ")


def _references(sheet: DriveSheet) -> Iterator[Raw]:
    """Every key named somewhere exists in the table that it points into."""
    known = {table: {item.key for item in getattr(sheet, table)} for table in KEYED}
    for path, owner, key, table in _pointers(sheet):
        if key not in known[table]:
            near = _near(key, known[table])
            hint = f"; is {near} meant?" if near else f"; add it to [[{table}]] or correct it"
            yield _mistake(path, owner, f"{key!r} is not among the {table.replace('_', ' ')}{hint}")


def _near(key: str, known: Iterable[str]) -> str:
    import difflib

    found = difflib.get_close_matches(key, list(known), n=1, cutoff=0.75)
    return found[0] if found else ""


def _pointers(sheet: DriveSheet) -> Iterator[tuple[tuple[str | int, ...], str, str, str]]:
    """(path, who points, key, table pointed into) for every reference in the sheet."""
    single = {
        "positions": {"part": "parts", "unit": "units", "on": "shafts"},
        "shafts": {"unit": "units"},
        "meshes": {"pinion": "positions", "gear": "positions"},
        "adjusters": {"position": "positions", "moves": "positions", "shaft": "shafts"},
        "responses": {"mesh": "meshes", "shaft": "shafts"},
        "features": {"position": "positions"},
        "anodes": {"position": "positions"},
        "dry_readings": {"position": "positions", "adjuster": "adjusters"},
        "duties": {"mesh": "meshes"},
        "blocks": {"joint": "joints"},
        "heat_ceilings": {"unit": "units"},
        "pulls": {"response": "responses"},
    }
    many = {
        "matched_sets": {"positions": "positions"},
        "joints": {"holds": "positions"},
        "shafts": {"bearings": "positions"},
        "blocks": {"after": "joints"},
        "circuits": {"seals": "positions"},
        "linkages": {"positions": "positions"},
        "setup": {"reads": "responses", "adjusts": "adjusters"},
        "responses": {"as_found_before": "joints"},
    }
    for table, fields in single.items():
        for index, item in enumerate(getattr(sheet, table)):
            for name, target in fields.items():
                if key := getattr(item, name):
                    yield (table, index, name), _owner(item, table, index), key, target
    for table, fields in many.items():
        for index, item in enumerate(getattr(sheet, table)):
            for name, target in fields.items():
                for key in getattr(item, name):
                    yield (table, index, name), _owner(item, table, index), key, target
    yield from _nested_pointers(sheet)


def _nested_pointers(sheet: DriveSheet) -> Iterator[tuple[tuple[str | int, ...], str, str, str]]:
    for index, block in enumerate(sheet.blocks):
        for way in block.after_any:
            for key in way:
                yield ("blocks", index, "after_any"), block.joint, key, "joints"
    for index, joint in enumerate(sheet.joints):
        for keys in joint.at_risk.values():
            for key in keys:
                yield ("joints", index, "at_risk"), joint.key, key, "positions"
    for index, response in enumerate(sheet.responses):
        if response.gauge and response.gauge.etched:
            yield ("responses", index, "gauge"), response.key, response.gauge.etched, "dry_readings"
    for index, adjuster in enumerate(sheet.adjusters):
        for effect in adjuster.effects:
            yield ("adjusters", index, "effects"), adjuster.key, effect.response, "responses"


def _owner(item: object, table: str, index: int) -> str:
    return str(getattr(item, "key", "") or getattr(item, "joint", "") or f"{table} {index + 1}")


def wrong_along(feature: Feature) -> Iterator[tuple[str, str]]:
    """What can't be meant of places along a shaft: the key and why."""
    places = [place.value for place in feature.along]
    if places and (len(places) < 2 or len(set(places)) < len(places)):
        yield "along", "expected two or more places along the shaft, all different"
    if places and feature.kind != "run-out":
        yield "along", f"places along a shaft are for run-out, this is {feature.kind}"
    ends = [place.value for place in feature.supports]
    if ends and (len(ends) != 2 or ends[0] == ends[1]):
        yield "supports", "expected two places, apart, or none"


def wrong_limits(feature: Feature) -> Iterator[tuple[str, str]]:
    """What can't be meant of a feature's limits: the key and why."""
    wanted = FEATURE_KIND.get(feature.kind, ("length",))
    name = "high" if feature.high else "low"
    for _, _, words, *_ in _limits((name,), feature.key, feature.low, feature.high, wanted):
        yield name, words


def _windows(sheet: DriveSheet) -> Iterator[Raw]:
    for index, response in enumerate(sheet.responses):
        for window in response.windows:
            path = ("responses", index, "windows")
            wanted = RESPONSE_KIND[response.kind]
            yield from _limits(path, response.key, window.low, window.high, wanted)
    for index, feature in enumerate(sheet.features):
        path = ("features", index, "high" if feature.high else "low")
        if words := far_from_thread(feature):
            yield (path, feature.key, words, "warning")
        for name, words in (
            *wrong_limits(feature), *wrong_along(feature), *wrong_gauged(feature)
        ):  # fmt: skip
            yield _mistake(("features", index, name), feature.key, words)
    for index, test in enumerate(sheet.functional_tests):
        yield from _limits(("functional_tests", index, "low"), test.key, test.low, test.high, ())
    for index, joint in enumerate(sheet.joints):
        if joint.fit and joint.fit.interference_low and joint.fit.interference_high:
            low, high = joint.fit.interference_low, joint.fit.interference_high
            yield from _limits(("joints", index, "fit"), joint.key, low, high, ("length",))


def _limits(
    path: tuple[str | int, ...],
    key: str,
    low: Measure | None,
    high: Measure | None,
    wanted: tuple[str, ...],
) -> Iterator[Raw]:
    for limit in (low, high):
        if limit and wanted and limit.dimension not in wanted:
            expected = " or ".join(wanted)
            yield _mistake(path, key, f"{limit} is a {limit.dimension}, expected a {expected}")
    if low and high and low.dimension == high.dimension and low.value > high.value:
        yield _mistake(path, key, f"low {low} is above high {high}; exchange them")
    if low and high and low.dimension != high.dimension:
        yield _mistake(path, key, f"low {low} and high {high} are of different kinds")


def _adjusters(sheet: DriveSheet) -> Iterator[Raw]:
    for index, adjuster in enumerate(sheet.adjusters):
        still = adjuster.thicker_moves == "not at all" and adjuster.thicker_makes == "no change"
        if still and not adjuster.effects:
            yield _mistake(
                ("adjusters", index, "thicker_moves"),
                adjuster.key,
                "this adjuster moves nothing; say what happens when it grows "
                "(thicker_moves, thicker_makes or effects)",
            )
        if adjuster.thicker_makes != "no change" and not adjuster.shaft:
            yield _mistake(
                ("adjusters", index, "thicker_makes"),
                adjuster.key,
                "it makes a shaft tighter or looser: say which (shaft = ...)",
            )
        if adjuster.kind in PACKED and not adjuster.sizes:
            words = 'no sizes are listed, so packs can\'t be chosen; add sizes = ["0.10 mm", ...]'
            yield (("adjusters", index, "sizes"), adjuster.key, words, "warning")


def _gauges(sheet: DriveSheet) -> Iterator[Raw]:
    """An etched number says which way it counts, in the reading and in the pack."""
    etched = {dry.key for dry in sheet.dry_readings if dry.etched}
    for index, response in enumerate(sheet.responses):
        gauge, path = response.gauge, ("responses", index, "gauge")
        if gauge is None or gauge.etched is None:
            continue
        if response.kind != "pinion-height":
            yield _mistake(path, response.key, "an etched number counts in a pinion height only")
        if gauge.etched_sign is None:
            words = "say how the etched number counts: etched_sign = 1 (added) or -1 (taken off)"
            yield _mistake(path, response.key, words)
        if gauge.etched not in etched:
            words = f"{gauge.etched!r} isn't an etched number: set etched = true there"
            yield _mistake(path, response.key, words)


def _graph(sheet: DriveSheet) -> Iterator[Raw]:
    known = {joint.key for joint in sheet.joints}
    after = {
        block.joint: set(block.after) & known for block in sheet.blocks if block.joint in known
    }
    if loop := loop_in(after):
        index = next(i for i, block in enumerate(sheet.blocks) if block.joint in loop)
        words = "these wait for each other: " + " → ".join(loop)
        yield _mistake(("blocks", index), loop[0], words + "; take one 'after' out")
        return
    ways = {b.joint: [set(way) & known for way in b.after_any] for b in sheet.blocks}
    for key in sorted(never_free(known, after, ways)):
        index = next((i for i, block in enumerate(sheet.blocks) if block.joint == key), 0)
        words = "this joint can never be opened: none of its ways becomes clear"
        yield _mistake(("blocks", index), key, words)


def _counts(sheet: DriveSheet) -> Iterator[Raw]:
    for index, joint in enumerate(sheet.joints):
        fasteners = joint.fasteners
        if joint.kind == "fasteners" and fasteners is None:
            words = "a joint of fasteners needs its [joints.fasteners] with count and thread"
            yield _mistake(("joints", index), joint.key, words)
        if fasteners is None:
            continue
        path = ("joints", index, "fasteners")
        for hidden in fasteners.hidden:
            if hidden.place > fasteners.count:
                words = f"hidden place {hidden.place} is past the count of {fasteners.count}"
                yield _mistake(path, joint.key, words)
        if fasteners.order and sorted(fasteners.order) != list(range(1, fasteners.count + 1)):
            words = f"order must name each of the {fasteners.count} places once"
            yield _mistake(path, joint.key, words)


def _sources(sheet: DriveSheet) -> Iterator[Raw]:
    """A limit without a source: a warning at the bench, an error only in shipped sheets."""
    for index, feature in enumerate(sheet.features):
        if (feature.low or feature.high) and not feature.source:
            words = "this limit has no source; write the manual's page beside it"
            yield (("features", index), feature.key, words, "warning")
    for index, response in enumerate(sheet.responses):
        if any(not window.source for window in response.windows):
            words = "a window has no source; write the manual's page beside it"
            yield (("responses", index), response.key, words, "warning")
