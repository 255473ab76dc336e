"""Drive sheets: list, check, start one, schema."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from casewright.cli.common import (
    Json,
    print_json,
    sheet_text,
)


def sheet_list(as_json: Json = False) -> None:
    """List the sheets that come with Casewright; all of them invented."""
    from casewright.drive.load import load
    from casewright.store.shipped import shipped_sheets

    named = {key: load(text, key).sheet.sheet.name for key, text in shipped_sheets().items()}
    if as_json:
        print_json(named)
        return
    for key, name in named.items():
        typer.echo(f"{key:24s} {name}")


def sheet_check(
    file: Annotated[Path, typer.Argument(help="A sheet's .toml file.")], as_json: Json = False
) -> None:
    """Check a sheet: every mistake in one pass, with its line.

    Example: casewright sheet check my-leg.toml
    """
    from casewright.drive.load import check
    from casewright.errors import InputError

    if not file.exists():
        raise InputError("file", str(file), "a sheet's file that exists")
    _, findings = check(file.read_text("utf-8"))
    mistakes = [found for found in findings if found.weight == "mistake"]
    if as_json:
        print_json(
            [
                {"line": f.line, "where": f.where, "message": f.message, "weight": f.weight}
                for f in findings
            ]
        )
    else:
        for found in findings:
            typer.echo(f"{found.weight}: {found}")
        typer.echo(f"{len(mistakes)} to mend, {len(findings) - len(mistakes)} warnings")
    if mistakes:
        raise typer.Exit(3)


def sheet_schema() -> None:
    """Print the JSON Schema of a sheet, for editors."""
    from casewright.drive.load import json_schema

    typer.echo(json_schema())


def sheet_start(
    key: Annotated[str, typer.Argument(help="A family skeleton or sheet to start from.")],
    out: Annotated[Path, typer.Option(help="File to write.")],
) -> None:
    """Start a sheet of your own from a family skeleton.

    Example: casewright sheet start skeleton-twin-gear-leg --out my-leg.toml
    """
    from casewright.errors import InputError

    text, _ = sheet_text(key)
    if out.exists():
        raise InputError("out", str(out), "a file that isn't there yet")
    out.write_text(text, "utf-8")
    typer.echo(f"wrote {out}; check it with `casewright sheet check {out}`")


def register(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.command("list")(sheet_list)
    app.command("check")(sheet_check)
    app.command("schema")(sheet_schema)
    app.command("start")(sheet_start)
