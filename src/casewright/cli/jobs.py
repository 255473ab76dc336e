"""Jobs: open, add, log, book, papers, export, import."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from casewright.cli.common import (
    JOBS,
    Broken,
    Folder,
    JobArgument,
    Json,
    database,
    pairs_typed,
    print_json,
    read_job,
    settings_of_job,
    settings_of_today,
    sheet_text,
    store_of,
)


def open_job(
    job: JobArgument,
    sheet: Annotated[str, typer.Option(help="A sheet's file, or the key of a shipped one.")],
    title: Annotated[str, typer.Option(help="What the job is called.")],
    who: Annotated[str, typer.Option(help="Your name or initials.")],
    scope: Annotated[str, typer.Option(help="How much of the leg.")] = "whole rebuild",
    rooms: Annotated[str, typer.Option(help="Rooms used, comma separated.")] = "",
    duty: Annotated[str, typer.Option(help="What the leg does for work.")] = "",
    folder: Folder = JOBS,
) -> None:
    """Open a job from a drive sheet.

    Example: casewright open launch-4 --sheet winkle-3 --title "Launch 4, starboard" --who AB
    """
    from casewright.drive.load import load

    text, name = sheet_text(sheet)
    loaded = load(text, name)
    opened: dict[str, Any] = {"title": title, "scope": scope, "duty": duty}
    if rooms:
        opened["rooms"] = [room.strip() for room in rooms.split(",")]
    adopted = {"name": name, "text": loaded.text, "digest": loaded.digest}
    for kind, body in (("job-opened", opened), ("sheet-adopted", adopted)):
        append(job, folder, kind, body, who)
    typer.echo(f"opened {job} from {loaded.sheet.sheet.name}")


def append(
    job: str,
    folder: Path,
    kind: str,
    body: dict[str, Any],
    who: str,
    happened_at: str = "",
    supersedes: str = "",
    confirm: bool = True,
) -> str:
    """Check an entry against the job and take it into its log; the id that it got."""
    import uuid

    from casewright.errors import InputError
    from casewright.job.entry import Entry
    from casewright.job.fold import fold
    from casewright.job.rules import check_entry
    from casewright.store.files import now

    store, name = store_of(job, folder)
    log = store.read(name).entries if store.path(name).exists() else ()
    if kind == "reading" and confirm:
        body = {**body, "confirmed": True}
    moment = happened_at or now()
    entry = Entry(str(uuid.uuid4()), kind, body, who, moment, supersedes=supersedes or None)
    questions = check_entry(fold(log), entry, settings_of_today())
    if questions:
        asked = questions[0]
        raise InputError(asked.field, asked.given, "an answer", asked.because + " (--confirm)")
    store.append(name, entry)
    return entry.id


def add(
    job: JobArgument,
    kind: Annotated[str, typer.Argument(help="Kind of entry; `casewright kinds` lists them.")],
    fields: Annotated[list[str] | None, typer.Argument(help="name=value; names repeat.")] = None,
    who: Annotated[str, typer.Option(help="Your name or initials.")] = "",
    at: Annotated[str, typer.Option(help="When it happened, if earlier: 2026-03-04T15:20")] = "",
    corrects: Annotated[str, typer.Option(help="Id of the entry that this one corrects.")] = "",
    confirm: Annotated[bool, typer.Option("--confirm", help="It is right as typed.")] = False,
    folder: Folder = JOBS,
    as_json: Json = False,
) -> None:
    """Add an entry to a job's log.

    Example: casewright add launch-4 reading target=ahead-lash values=0.41mm --who AB
    """
    from casewright.errors import InputError
    from casewright.job.kinds import BODIES
    from casewright.voice.forms import body_from

    if kind not in BODIES:
        raise InputError("kind", kind, f"one of {', '.join(sorted(BODIES))}")
    posted = pairs_typed(fields or [])
    made = append(job, folder, kind, body_from(kind, posted), who, _moment(at), corrects, confirm)
    if as_json:
        print_json({"id": made})
    else:
        typer.echo(f"taken as {made}")


def _moment(text: str) -> str:
    from datetime import datetime

    from casewright.errors import InputError

    if not text:
        return ""
    try:
        return datetime.fromisoformat(text).astimezone().isoformat(timespec="seconds")
    except ValueError:
        raise InputError("at", text, "a date and time like 2026-03-04T15:20") from None


def kinds(as_json: Json = False) -> None:
    """List the kinds of entries with their fields."""
    from casewright.job.kinds import BODIES

    listed = {
        kind: {"says": (body.__doc__ or "").splitlines()[0], "fields": list(body.model_fields)}
        for kind, body in sorted(BODIES.items())
    }
    if as_json:
        print_json(listed)
        return
    for kind, about in listed.items():
        typer.echo(f"{kind:18s} {about['says']}\n{'':18s} {', '.join(about['fields'])}")


def show_log(
    job: JobArgument, folder: Folder = JOBS, as_json: Json = False, broken: Broken = False
) -> None:
    """Show a job's log: every entry, what counts, conflicts, the head of the hash chain.

    Example: casewright log demo/oyster-boat.jsonl
    """
    from rich.console import Console

    from casewright.voice.logbook import logbook
    from casewright.voice.plain import as_plain
    from casewright.voice.terminal import show

    state, log = read_job(job, folder, broken)
    said = logbook(log, state)
    if as_json:
        print_json(as_plain(said))
    else:
        show(said, Console(), asks=False)


def book(
    job: JobArgument,
    out: Annotated[Path, typer.Option(help="File to write; .pdf or .html.")] = Path("book.pdf"),
    owner: Annotated[str, typer.Option(help="Owner's name to print; never kept.")] = "",
    folder: Folder = JOBS,
    as_json: Json = False,
) -> None:
    """Write the rebuild book.

    Example: casewright book demo/oyster-boat.jsonl --out oyster-boat.pdf
    """
    from datetime import date

    from casewright.book.book import book as make
    from casewright.book.pdf import pdf
    from casewright.book.self_contained import self_contained
    from casewright.errors import InputError

    state, _ = read_job(job, folder)
    made = make(state, settings_of_job(job, folder, state), owner)
    if out.suffix not in (".pdf", ".html"):
        raise InputError("out", str(out), "a file that ends in .pdf or .html")
    out.parent.mkdir(parents=True, exist_ok=True)
    if out.suffix == ".pdf":
        out.write_bytes(pdf(made, date.today()))
    else:
        out.write_text(self_contained(made), "utf-8")
    if as_json:
        print_json({"file": str(out), "head": made.head, "entries": made.count})
    else:
        typer.echo(f"wrote {out} ({made.count} entries, head {made.head[:16]})")


def papers(
    job: JobArgument,
    out: Annotated[Path, typer.Option(help="Folder to write them into.")] = Path("papers"),
    folder: Folder = JOBS,
    as_json: Json = False,
) -> None:
    """Write the order room's papers that stand: quote, purchase orders, pick list, goods checks.

    Example: casewright papers demo/oyster-boat.jsonl --out papers
    """
    from datetime import date

    from casewright.book.papers import make_paper, standing_papers

    state, _ = read_job(job, folder)
    settings = settings_of_job(job, folder, state)
    names = standing_papers(state, settings)
    written = []
    for name in names:
        out.mkdir(parents=True, exist_ok=True)
        content, _ = make_paper(name, state, settings, date.today())
        (out / name).write_bytes(content)
        written.append(str(out / name))
    if as_json:
        print_json({"files": written})
    elif not written:
        typer.echo("no paper stands: no prices or no drive sheet, nothing to order, none placed")
    for path in () if as_json else written:
        typer.echo(f"wrote {path}")


def export_log(
    job: Annotated[str, typer.Argument(help="Id of a job in the shop's database.")],
    out: Annotated[Path, typer.Option(help="File to write.")],
    home: Annotated[Path, typer.Option(help="The shop's folder.")] = Path("casewright-data"),
) -> None:
    """Write a job of the shop's database as a .jsonl file, with the same hashes."""
    from casewright.job.log import write_log

    store = database(home)
    log = store.read(job)
    out.write_text(write_log(log.entries), "utf-8", newline="\n")
    typer.echo(f"wrote {out} ({len(log.entries)} entries, head {log.head[:16]})")


def import_log(
    file: Annotated[Path, typer.Argument(help="A job's .jsonl file.")],
    home: Annotated[Path, typer.Option(help="The shop's folder.")] = Path("casewright-data"),
    job: Annotated[str, typer.Option(help="Id to give it; the file's name if empty.")] = "",
) -> None:
    """Bring a .jsonl file into the shop's database; the hashes stay the same."""
    from casewright.job.log import read_log

    log = read_log(file.read_bytes().decode("utf-8"))
    database(home).bring_in(job or file.stem, log)
    typer.echo(f"brought in {job or file.stem} ({len(log.entries)} entries, head {log.head[:16]})")


def register(app: typer.Typer) -> None:
    """Add these commands to the program."""
    app.command("open", rich_help_panel="Jobs")(open_job)
    app.command("add", rich_help_panel="Jobs")(add)
    app.command("kinds", rich_help_panel="Jobs")(kinds)
    app.command("log", rich_help_panel="Jobs")(show_log)
    app.command("book", rich_help_panel="Jobs")(book)
    app.command("papers", rich_help_panel="Jobs")(papers)
    app.command("export", rich_help_panel="Jobs")(export_log)
    app.command("import", rich_help_panel="Jobs")(import_log)
