"""Measuring from the terminal: a serial instrument's readings, and those of an earlier job."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from casewright.cli.common import JOBS, Folder, JobArgument, database, store_of

Home = Annotated[
    Path | None, typer.Option(help="The shop's folder, for a job of its database instead.")
]


def _store(job: str, folder: Path, home: Path | None) -> tuple[Any, str]:
    return (database(home), job) if home else store_of(job, folder)


def read_feature(
    job: JobArgument,
    feature: Annotated[str, typer.Argument(help="Key of the feature that is read.")],
    port: Annotated[str, typer.Option(help="Serial port of the instrument, or a pyserial URL.")],
    who: Annotated[str, typer.Option(help="Your name or initials.")],
    instrument: Annotated[str, typer.Option(help="Its name; the sheet's if empty.")] = "",
    unit: Annotated[
        str, typer.Option(help="What a bare number is in; empty: the sheet's lengths.")
    ] = "",
    repeats: Annotated[int, typer.Option(help="Readings where the feature has one place.")] = 3,
    occasion: Annotated[str, typer.Option(help="as-found, trial-1, final …")] = "as-found",
    temperature: Annotated[str, typer.Option(help="The part's, where it isn't near 20 °C.")] = "",
    at_height: Annotated[str, typer.Option(help="A tooth: where the calliper stands.")] = "",
    tip_low: Annotated[str, typer.Option(help="A tooth: how much lower than new its tip is.")] = "",
    wire: Annotated[
        str, typer.Option(help="A thread: diameter of the wires it is read over.")
    ] = "",
    silence: Annotated[float, typer.Option(help="Seconds of silence that end it.")] = 120.0,
    baud: Annotated[int, typer.Option(help="Baud rate.")] = 9600,
    home: Home = None,
    folder: Folder = JOBS,
) -> None:
    """Take a feature's readings from a serial calliper, micrometer or indicator, place by place.

    Press the instrument's button at each place; the next place is named each time. It ends when
    all are read or the instrument falls silent; what was read until then is kept.

    Example: casewright read launch-4 drive-shaft-journal --port /dev/ttyUSB0 --who AB
    """
    from casewright.job.fold import fold
    from casewright.job.instruments import has_marks, place_names, places_of
    from casewright.job.limits import dimension_of
    from casewright.shop.gauges import open_port
    from casewright.shop.instruments import Readings

    store, name = _store(job, folder, home)
    state = fold(store.read(name).entries)
    known = _feature(state, feature)
    names = place_names(known) or tuple(f"repeat {k}" for k in range(1, repeats + 1))
    wanted = places_of(known) if places_of(known) > 1 else repeats
    dimension = dimension_of(state, feature) or "length"
    bare = unit or (state.lookup.sheet.sheet.lengths_in if dimension == "length" else "")
    stream = Readings(wanted, dimension, bare or "mm", silence)
    typer.echo(f"{known.name}: now {names[0]}")
    for value in stream.follow(open_port(port, baud)):
        after = names[len(stream.values)] if len(stream.values) < wanted else "done"
        typer.echo(f"  {names[len(stream.values) - 1]}: {value}   now {after}")
    typer.echo(f"ended: {stream.ended}; {len(stream.values)} readings")
    # Round a turn that was left half read, the marks tell where the readings stand.
    marks = names[: len(stream.values)] if has_marks(known) else ()
    body = {
        "target": feature, "values": stream.values, "at": marks, "occasion": occasion,
        "instrument": instrument, "temperature": temperature,
        "at_height": at_height, "tip_low": tip_low, "wire": wire,
    }  # fmt: skip
    _keep(store, name, state, "reading", {k: v for k, v in body.items() if v}, who)


def _feature(state: Any, key: str) -> Any:
    from casewright.errors import InputError

    if key not in state.lookup.features:
        raise InputError("feature", key, f"one of {', '.join(state.lookup.features)}")
    return state.lookup.features[key]


def _keep(store: Any, job: str, state: Any, kind: str, body: dict[str, Any], who: str) -> None:
    """Check and append one entry; what is odd about it is said and not swallowed."""
    import uuid

    from casewright.job.entry import Entry
    from casewright.job.rules import check_entry
    from casewright.store.files import now

    entry = Entry(str(uuid.uuid4()), kind, body, who, now())
    for asked in check_entry(state, entry):
        typer.echo(f"odd, but kept: {asked.because}", err=True)
    store.append(job, entry)


def earlier(
    job: JobArgument,
    source: Annotated[str, typer.Option("--from", help="The earlier job on this leg.")],
    who: Annotated[str, typer.Option(help="Your name or initials.")],
    home: Home = None,
    folder: Folder = JOBS,
) -> None:
    """Bring the last readings of an earlier job on this leg in, with their dates and hours.

    Two readings of one piece, some service apart, tell its wear and the hours to its limit.

    Example: casewright earlier launch-4-2027 --from launch-4 --who AB
    """
    from casewright.job.earlier import earlier_readings
    from casewright.job.fold import fold

    store, name = _store(job, folder, home)
    there, other = _store(source, folder, home)
    log = store.read(name)
    mine, theirs = fold(log.entries), fold(there.read(other).entries)
    found = earlier_readings(mine, theirs, other, who)
    here = {one.entry.id for one in log.entries}
    new = [entry for entry in found.entries if entry.id not in here]
    for entry in new:
        store.append(name, entry)
    typer.echo(f"{found.readings} readings of {other}; {len(new)} entries were new")


def register(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.command("read", rich_help_panel="Jobs")(read_feature)
    app.command("earlier", rich_help_panel="Jobs")(earlier)
