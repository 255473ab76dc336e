"""What every command needs: options, the job's store, settings; heavy packages stay inside."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from casewright.job.log import Log
    from casewright.job.settings import Settings
    from casewright.job.state import State

JobArgument = Annotated[str, typer.Argument(help="A job's .jsonl file, or its id in --folder.")]
Folder = Annotated[Path, typer.Option("--folder", help="Folder of the jobs' logs.")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")]
Broken = Annotated[bool, typer.Option("--broken-chain", help="Read on although a hash is broken.")]
JOBS = Path("casewright-jobs")


def store_of(job: str, folder: Path) -> tuple[Any, str]:
    """The store and id that a job argument means: a path to a file, or an id."""
    from casewright.store.files import FileStore

    path = Path(job)
    if path.suffix == ".jsonl":
        return FileStore(path.parent), path.stem
    return FileStore(folder), job


def read_job(job: str, folder: Path, broken: bool = False) -> tuple[State, Log]:
    """The state and log of a job."""
    from casewright.job.fold import fold

    store, name = store_of(job, folder)
    log = store.read(name, allow_broken=broken)
    return fold(log.entries), log


def settings_of_job(job: str, folder: Path, state: State) -> Settings:
    """Today's settings with what other jobs in the folder tell of this leg and its family."""
    from casewright.job.fold import fold
    from casewright.store.earlier import with_memory

    store, name = store_of(job, folder)

    def state_of(other: str) -> State:
        return fold(store.read(other, allow_broken=True).entries)

    return with_memory(settings_of_today(), store, name, state, state_of)


def settings_of_today() -> Settings:
    """Today's settings with the supplied family file."""
    import tomllib
    from datetime import date
    from importlib import resources

    from casewright.job.settings import Settings

    text = resources.files("casewright.tables.data").joinpath("causes-drive-leg.toml")
    family = tomllib.loads(text.read_text("utf-8"))
    return Settings(today=date.today().isoformat(), cause_family=family)


def pairs_typed(given: list[str]) -> dict[str, list[str]]:
    """name=value pairs as a form would post them; a name given again is one more value."""
    from casewright.errors import InputError

    typed: dict[str, list[str]] = {}
    for pair in given:
        name, equals, value = pair.partition("=")
        if not equals:
            raise InputError("field", pair, "name=value")
        typed.setdefault(name.strip(), []).append(value)
    return typed


def print_json(item: object) -> None:
    """Print data as JSON."""
    typer.echo(json.dumps(item, indent=2, ensure_ascii=False))


def sheet_text(sheet: str) -> tuple[str, str]:
    """The text and name of a sheet's file or of a shipped sheet."""
    from casewright.errors import InputError
    from casewright.store.shipped import shipped_sheets

    path = Path(sheet)
    if path.suffix == ".toml":
        if not path.exists():
            raise InputError("sheet", sheet, "a file that exists")
        return path.read_text("utf-8"), path.stem
    shipped = shipped_sheets()
    if sheet not in shipped:
        raise InputError("sheet", sheet, f"a .toml file or one of {', '.join(shipped)}")
    return shipped[sheet], sheet


def database(home: Path, **more: str) -> Any:
    """The shop's database store, its tables made where they aren't yet."""
    import os

    os.environ["CASEWRIGHT_HOME"] = str(home)
    os.environ.update(more)
    os.environ["DJANGO_SETTINGS_MODULE"] = "casewright.shop.settings"
    import django
    from django.core.management import call_command

    django.setup()
    call_command("migrate", verbosity=0, interactive=False)
    from casewright.shop.store import DatabaseStore

    return DatabaseStore()
