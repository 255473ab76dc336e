"""The shop: serve its pages, its people, the demo."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from casewright.cli.common import (
    JOBS,
    Folder,
    JobArgument,
    Json,
    database,
    read_job,
    settings_of_today,
)


def serve(
    home: Annotated[Path, typer.Option(help="The shop's folder.")] = Path("casewright-data"),
    host: Annotated[str, typer.Option(help="Address to listen on.")] = "127.0.0.1",
    port: Annotated[int, typer.Option(help="Port to listen on.")] = 8613,
    demo: Annotated[bool, typer.Option("--demo", help="Bring the demo jobs in first.")] = False,
) -> None:
    """Open the shop's pages. Beyond this machine every page needs a login.

    Example: casewright serve --demo
    """
    local = host in ("127.0.0.1", "localhost", "::1")
    more = {} if local else {"CASEWRIGHT_LOGIN": "1", "CASEWRIGHT_HOSTS": _names(host)}
    store = database(home, **more)
    if not local:
        _need_a_user()
    if demo:
        _bring_demo(store)
    from waitress import create_server

    from casewright.shop.wsgi import application

    server = create_server(application, host=host, port=port, threads=6)
    typer.echo(f"Casewright is open at http://{host}:{server.effective_port}/  (Ctrl-C ends it)")
    server.run()


def _names(host: str) -> str:
    import socket

    return ",".join(
        filter(None, ["*" if host in ("0.0.0.0", "::") else host, socket.gethostname()])
    )


def _need_a_user() -> None:
    from django.contrib.auth import get_user_model

    from casewright.errors import MissingError

    if not get_user_model().objects.exists():
        raise MissingError(
            "user", "someone who may log in", "Run `casewright user NAME` first, then serve again."
        )


def _bring_demo(store: Any) -> None:
    from casewright.job.log import read_log
    from casewright.store.shipped import demo_logs

    here = set(store.jobs())
    for name, text in demo_logs().items():
        if name not in here:
            store.bring_in(name, read_log(text))


def user(
    name: Annotated[str, typer.Argument(help="Name to log in with.")],
    home: Annotated[Path, typer.Option(help="The shop's folder.")] = Path("casewright-data"),
    password: Annotated[str, typer.Option(prompt=True, hide_input=True)] = "",
) -> None:
    """Add someone who may log in, or give them a new password."""
    database(home)
    from django.contrib.auth import get_user_model

    account, _ = get_user_model().objects.get_or_create(username=name)
    account.set_password(password)
    account.save()
    typer.echo(f"{name} may log in")


def demo(
    out: Annotated[Path, typer.Option(help="Folder for the book.")] = Path("out"),
    as_json: Json = False,
) -> None:
    """Run the main job on the demo: strip list, verdicts, packs, checked build, the book."""
    from casewright.demo import run

    run(out, settings_of_today(), as_json=as_json)


def gauge(
    job: JobArgument,
    port: Annotated[str, typer.Option(help="Serial port of the gauge, or a pyserial URL.")],
    circuit: Annotated[str, typer.Option(help="Circuit of the sheet.")],
    test: Annotated[str, typer.Option(help="low, full or vacuum.")],
    relative_to: Annotated[str, typer.Option(help="gauge or absolute; never guessed.")],
    who: Annotated[str, typer.Option(help="Your name or initials.")],
    pressure_unit: Annotated[str, typer.Option(help="Unit that the gauge shows.")] = "kPa",
    temperature: Annotated[bool, typer.Option(help="Does it send a temperature too?")] = True,
    minutes: Annotated[float, typer.Option(help="Longest hold.")] = 60.0,
    baud: Annotated[int, typer.Option(help="Baud rate.")] = 9600,
    folder: Folder = JOBS,
) -> None:
    """Follow a serial pressure gauge through a sealing test and keep its log.

    The stream ends by itself above the circuit's ceiling, when the gauge falls silent, or when the
    time is up. Air stores energy: drained case, regulator and relief, stand aside of plugs.

    Example: casewright gauge launch-4 --port /dev/ttyUSB0 --circuit gear-oil --test full
    --relative-to gauge --who AB
    """
    import time

    from casewright.cli.jobs import append
    from casewright.shop.gauges import Layout, StopRules, Stream, open_port

    state, _ = read_job(job, folder)
    ceiling = next((c.ceiling for c in state.lookup.sheet.circuits if c.key == circuit), None)
    layout = Layout(
        temperature=1 if temperature else None, pressure_unit=pressure_unit, relative_to=relative_to
    )
    rules = StopRules(ceiling=ceiling.value if ceiling else None, longest=60.0 * minutes)
    stream = Stream(layout, rules)
    for reading in stream.follow(open_port(port, baud), time.monotonic):
        typer.echo(f"{reading.seconds:7.1f} s  {reading.pressure:9.3f} {pressure_unit}")
    typer.echo(f"ended: {stream.ended}; {len(stream.readings)} readings")
    body = {
        "circuit": circuit,
        "test": test,
        "relative_to": relative_to,
        "text": stream.text(),
        "pressure_unit": pressure_unit,
        "without_temperature": not temperature,
    }
    append(job, folder, "leak-log", body, who)


def register(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.command("serve", rich_help_panel="Shop")(serve)
    app.command("user", rich_help_panel="Shop")(user)
    app.command("demo", rich_help_panel="Shop")(demo)
    app.command("gauge", rich_help_panel="Shop")(gauge)
