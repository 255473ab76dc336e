"""The same rooms as commands. Heavy packages are imported by the command that needs them."""

from __future__ import annotations

import sys

import typer

from casewright.cli import jobs, measuring, rooms, sheets, shop, sums

EPILOG = (
    "Exit codes: 0 done · 1 any other problem · 2 something typed can't be taken · 3 a sheet has "
    "mistakes · 4 a log can't be read or taken further · 5 locked · 6 nothing satisfies what was "
    "asked · 7 a computation did not converge."
)
app = typer.Typer(
    help="The thinking and the arithmetic of rebuilding a damaged drive leg, beside the bench.",
    epilog=EPILOG,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)
sheet_app = typer.Typer(help="Drive sheets: list, check, start one, schema.", no_args_is_help=True)
for _part in (rooms, sums, jobs, measuring, shop):
    _part.register(app)
sheets.register(sheet_app)
app.add_typer(sheet_app, name="sheet")


def main() -> None:
    """Run; every error of ours is one line and an exit code."""
    from casewright.errors import CasewrightError

    try:
        app()
    except CasewrightError as error:
        typer.echo(f"casewright: {error}", err=True)
        sys.exit(error.exit_code)
