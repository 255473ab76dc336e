"""What the latest entry changed in the strip-down: the state without it, and it in words.

An entry is a step, a report of sticking, a try, a verdict, something found destroyed, a joint or a
part added at the bench, a price list, or a setting that the plans stand on.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from casewright.job.kinds import SheetAdded
from casewright.job.state import Kept, State
from casewright.job.strip_state import PHOTO, READ

PLANS = ("chance.", "minutes.", "ladder.", "price.", "abandon.", "hire.")
SETTINGS = {
    "protect": "what is protected", "strip-wanted": "what has to come out",
    "waiting-per-day": "what a day of waiting costs", "hourly-rate": "the price of an hour",
    "tools-missing": "tools that the shop doesn't own",
    "tool-change-minutes": "minutes to change a tool",
    "posture-change-minutes": "minutes to turn the leg",
    "calling-minutes": "minutes to call a hand",
    "pack-minutes": "minutes to measure a pack", "photo-minutes": "minutes for a photograph",
}  # fmt: skip


def before_last(state: State) -> tuple[State, str]:
    """The state without its latest strip event, and that event in words; "" where there is none.

    Plans made from both are compared to mark what has changed.
    """
    events: list[tuple[int, str, str]] = [
        (kept.sequence, "steps", key) for key, kept in state.steps.items()
    ]
    events += [(k.sequence, "stuck", key) for key, all_ in state.stuck.items() for k in all_]
    events += [(k.sequence, "attempts", key) for key, all_ in state.attempts.items() for k in all_]
    events += [(kept.sequence, "verdicts", key) for key, kept in state.verdicts.items()]
    events += [
        (k.sequence, "findings", k.body.position) for k in state.findings
        if k.body.severity == "destroyed"
    ]  # fmt: skip
    events += [(k.sequence, "added", str(k.body.item.get("key", ""))) for k in state.added]
    events += [(k.sequence, "offers", "") for k in state.offers]
    events += [
        (k.sequence, "settings", k.body.name) for k in state.settings_made
        if k.body.name in SETTINGS or k.body.name.startswith(PLANS)
    ]  # fmt: skip
    if not events:
        return state, ""
    sequence, table, key = max(events)
    return _without(state, sequence, table, key), _words(state, sequence, table, key)


def _without(state: State, sequence: int, table: str, key: str) -> State:
    """The state without one event."""
    if table in ("findings", "offers"):
        left = tuple(k for k in getattr(state, table) if k.sequence != sequence)
        return replace(state, **{table: left})  # type: ignore[arg-type]
    if table == "settings":
        return _unset(state, sequence, key)
    if table == "added":
        return _taken_off(state, next(k for k in state.added if k.sequence == sequence))
    kept: dict[str, Any] = dict(getattr(state, table))
    if table in ("stuck", "attempts"):
        kept = {
            one: tuple(report for report in all_ if report.sequence != sequence)
            for one, all_ in kept.items()
        }
        kept = {one: all_ for one, all_ in kept.items() if all_}
    else:
        kept = {one: answer for one, answer in kept.items() if answer.sequence != sequence}
    changed: dict[str, Any] = {table: kept}
    return replace(state, **changed)


def _unset(state: State, sequence: int, name: str) -> State:
    """The state with a setting as it was before an entry."""
    made = tuple(k for k in state.settings_made if k.sequence != sequence)
    before = [k.body.value for k in made if k.body.name == name]
    values = {key: value for key, value in state.settings.items() if key != name}
    return replace(
        state, settings_made=made, settings=values | ({name: before[-1]} if before else {})
    )


def _taken_off(state: State, kept: Kept[SheetAdded]) -> State:
    """The state without an item that was added to the sheet at the bench."""
    if state.sheet is None:
        return state
    table, key = kept.body.table, kept.body.item.get("key")
    items = list(getattr(state.sheet, table))
    last = max((n for n, one in enumerate(items) if getattr(one, "key", None) == key), default=None)
    if last is not None:
        del items[last]
    sheet = state.sheet.model_copy(update={table: tuple(items)})
    added = tuple(k for k in state.added if k.sequence != kept.sequence)
    return replace(state, sheet=sheet, added=added)


def _words(state: State, sequence: int, table: str, key: str) -> str:
    if table == "offers":
        return "a price list"
    if table == "settings":
        return f"set: {_setting(state, key)}"
    if table == "added":
        item = next(k.body.item for k in state.added if k.sequence == sequence)
        return f"{item.get('name') or key}: added at the bench"
    name = state.lookup.name_of(key.removeprefix("in:").removeprefix(READ).removeprefix(PHOTO))
    if table == "attempts":
        return f"{name}: {state.attempts[key][-1].body.outcome}"
    if table == "steps":
        more = sum(one.sequence == sequence for one in state.steps.values()) - 1
        others = f" and {more} more" if more else ""
        return f"{name}{others}: {state.steps[key].body.outcome}"
    return f"{name}: {'stuck' if table == 'stuck' else 'verdict'}"


def _setting(state: State, name: str) -> str:
    """A setting in words."""
    if name in SETTINGS:
        return SETTINGS[name]
    kind, _, about = name.partition(".")
    if kind == "price" and about in state.lookup.parts:
        return f"price of the {state.lookup.parts[about].name}"
    joint = next((key for key in state.lookup.joints if about in (key,) or
                  about.startswith(f"{key}.")), "")  # fmt: skip
    words = {"chance": "chance of a method", "minutes": "minutes of a method",
             "ladder": "kind of ladder", "abandon": "cost of stopping"}  # fmt: skip
    if kind in words and joint:
        return f"{words[kind]}, {state.lookup.joints[joint].name}"
    return f"hire of {about}" if kind == "hire" else f"{kind} {about}"
