"""Bench sums from the terminal: list them, see what one asks, work it out, keep it with a job."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from casewright.cli.common import JOBS, Folder, Json, pairs_typed, print_json

if TYPE_CHECKING:
    from casewright.sums import Sum, Worked


def sums(
    key: Annotated[str, typer.Argument(help="Which sum; nothing lists them.")] = "",
    given: Annotated[list[str] | None, typer.Argument(help="name=value, with its unit.")] = None,
    keep: Annotated[str, typer.Option(help="Job whose log keeps the answer.")] = "",
    who: Annotated[str, typer.Option(help="Your name or initials, to keep it.")] = "",
    folder: Folder = JOBS,
    as_json: Json = False,
) -> None:
    """Bench sums: fits, heat, torque, leak, anodes, oil; no job is needed.

    Example: casewright sums press-fit shaft=40.051mm bore=40.018mm length=20mm
    """
    from casewright.sums import sum_named, work_out

    if not key:
        return _list(as_json)
    one = sum_named(key)
    if not given:
        return _asked(one, as_json)
    worked = work_out(key, pairs_typed(given))
    _show(worked, as_json)
    if keep:
        _keep(worked, keep, who, folder)


def _list(as_json: bool) -> None:
    from casewright.sums import SUMS

    if as_json:
        return print_json({one.key: {"title": one.title, "asks": one.question}
                           for one in SUMS.values()})  # fmt: skip
    group = ""
    for one in SUMS.values():
        if one.group != group:
            group = one.group
            typer.echo(group)
        typer.echo(f"  {one.key:14s} {one.title}: {one.question}")


def _asked(one: Sum, as_json: bool) -> None:
    """What a sum asks for."""
    if as_json:
        return print_json(
            {a.name: {"label": a.label, "needed": a.needed, "otherwise": a.value, "unit": a.unit,
                      "choices": [value for value, _ in a.choices], "hint": a.hint}
             for a in one.asks}
        )  # fmt: skip
    typer.echo(f"{one.title}: {one.question}")
    for ask in one.asks:
        about = [ask.label + (f" [{ask.unit}]" if ask.unit else "")]
        about += ["needed"] if ask.needed and not ask.value else []
        about += [f"otherwise {ask.value}"] if ask.value else []
        about += [", ".join(value for value, _ in ask.choices)] if ask.choices else []
        about += [ask.hint] if ask.hint else []
        typer.echo(f"  {ask.name:16s} {'; '.join(about)}")


def _show(worked: Worked, as_json: bool) -> None:
    from casewright.voice.plain import as_plain
    from casewright.voice.quantities import Style
    from casewright.voice.say_sums import answer_document, as_data

    document = answer_document(worked, Style())
    if as_json:
        return print_json({**as_data(worked), "document": as_plain(document)})
    from rich.console import Console

    from casewright.voice.terminal import show

    show(document, Console())


def _keep(worked: Worked, job: str, who: str, folder: Path) -> None:
    from casewright.cli.jobs import append
    from casewright.voice.quantities import Style
    from casewright.voice.say_sums import snapshot

    made = append(job, folder, "calculation", snapshot(worked, Style()), who)
    typer.echo(f"kept with {job} as {made}", err=True)


def register(app: typer.Typer) -> None:
    """Add the command to the program."""
    app.command("sums", rich_help_panel="Bench")(sums)
