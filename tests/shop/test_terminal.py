"""The commands as typed: open, add, correct, export, import, gauge; errors are one line and a code."""

from __future__ import annotations

import itertools
import json
import os
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest

from casewright.job.fold import fold
from casewright.store.files import FileStore


def run(*words: str, folder: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "casewright", *words], capture_output=True, text=True, cwd=folder
    )


@pytest.fixture
def job(tmp_path: Path) -> Path:
    done = run(
        "open", "launch.jsonl", "--sheet", "winkle-3", "--title", "Launch 4", "--who", "AB",
        folder=tmp_path,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    return tmp_path


def test_an_entry_is_added_and_corrected_and_the_room_says_it(job: Path) -> None:
    first = run(
        "add", "launch.jsonl", "complaint", "words=hums", "--who", "AB", "--json", folder=job
    )
    made = json.loads(first.stdout)["id"]
    run(
        "add",
        "launch.jsonl",
        "complaint",
        "words=howls",
        "--who",
        "AB",
        "--corrects",
        made,
        folder=job,
    )
    shown = run("takein", "launch.jsonl", folder=job).stdout
    assert "howls" in shown
    assert "hums" not in shown
    plain = json.loads(run("takein", "launch.jsonl", "--json", folder=job).stdout)
    assert plain["block"] == "Document"


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (
            ("add", "launch.jsonl", "reading", "target=ahead-lash", "values=5 N", "--who", "AB"),
            2,
            "unit of force",
        ),
        (
            (
                "add",
                "launch.jsonl",
                "reading",
                "target=ahead-lash",
                "values=0.018",
                "unit=mm",
                "--who",
                "AB",
            ),
            2,
            "0.018 in",
        ),
        (("add", "launch.jsonl", "hologram", "--who", "AB"), 2, "one of"),
        (("add", "launch.jsonl", "note", "words", "--who", "AB"), 2, "name=value"),
        (("strip", "nothing.jsonl"), 4, "no job"),
        (("sheet", "check", "bad.toml"), 3, ""),
        (("book", "launch.jsonl", "--out", "book.txt"), 2, ".pdf or .html"),
        (("open", "x.jsonl", "--sheet", "moon", "--title", "x", "--who", "AB"), 2, "winkle-3"),
    ],
)
def test_problems_are_one_line_and_a_documented_code(
    job: Path, words: tuple[str, ...], code: int, says: str
) -> None:
    (job / "bad.toml").write_text("[sheet\n", "utf-8")
    done = run(*words, folder=job)
    assert done.returncode == code, done.stderr
    assert says in done.stderr
    assert "Traceback" not in done.stderr


LIST = (
    "supplier,number,price,currency\nQuay Stores,pinion-nut,12.50,EUR\n"
    "Quay Stores,ring-nut,80,EUR\n\nname,freight\nQuay Stores,9\n\nnumber,quantity\ntab-washer,3\n"
)


def test_all_papers_that_stand_are_written_and_listed(job: Path) -> None:
    nothing = run("papers", "launch.jsonl", "--out", "none", "--json", folder=job)
    assert nothing.returncode == 0 and not (job / "none").exists()
    for kind, *fields in (
        ("offers-imported", f"text={LIST}"),
        ("verdict", "position=lower.pinion-nut", "decision=replace", "reason=used once"),
        ("ordered", "order=Q-7", "supplier=Quay Stores", "lines.0.number=ring-nut",
         "lines.0.count=2", "lines.0.price=80"),
        ("received", "order=Q-7", "lines.0.number=ring-nut", "lines.0.count=1"),
    ):  # fmt: skip
        done = run("add", "launch.jsonl", kind, *fields, "--who", "AB", folder=job)
        assert done.returncode == 0, done.stderr
    done = run("papers", "launch.jsonl", "--out", "out", "--json", folder=job)
    names = sorted(Path(one).name for one in json.loads(done.stdout)["files"])
    assert names == [
        "goods--q-7.pdf", "order--q-7.csv", "order--q-7.pdf", "order--quay-stores.csv",
        "order--quay-stores.pdf", "quote.html", "quote.pdf",
    ]  # fmt: skip
    assert (job / "out" / "quote.pdf").read_bytes().startswith(b"%PDF")
    assert "pinion-nut,pinion nut,1,12.50" in (job / "out" / "order--quay-stores.csv").read_text()
    assert "ring-nut" in (job / "out" / "order--q-7.csv").read_text()
    assert "<h1>Quote</h1>" in (job / "out" / "quote.html").read_text("utf-8")


def test_a_price_list_with_mistakes_is_refused_with_all_of_them(job: Path) -> None:
    text = "text=supplier,number,price,currency\nQ,a,-1,EUR\nQ,b,2,USD\n"
    done = run("add", "launch.jsonl", "offers-imported", text, "--who", "AB", folder=job)
    assert done.returncode == 2
    assert "line 2" in done.stderr and "line 3" in done.stderr and "USD" in done.stderr


def test_a_job_goes_into_the_shop_and_out_again_with_the_same_bytes(job: Path) -> None:
    text = (job / "launch.jsonl").read_bytes()
    assert run("import", "launch.jsonl", "--home", "shop", folder=job).returncode == 0
    assert (
        run("export", "launch", "--out", "back.jsonl", "--home", "shop", folder=job).returncode == 0
    )
    assert (job / "back.jsonl").read_bytes() == text


def test_beyond_this_machine_the_shop_opens_only_with_someone_who_may_log_in(
    tmp_path: Path,
) -> None:
    done = run("serve", "--host", "0.0.0.0", "--home", "shop", folder=tmp_path)
    assert done.returncode == 2
    assert "casewright user NAME" in done.stderr


def test_a_serial_gauge_is_followed_and_its_log_kept(job: Path) -> None:
    import pty

    ours, theirs = pty.openpty()

    def send() -> None:
        for pressure in itertools.cycle((69.99, 69.98, 69.97, 69.95, 69.94)):
            if process.poll() is not None:
                return
            os.write(ours, f"{pressure:.2f} kPa 21.4 C\r\n".encode())
            time.sleep(0.2)

    command = [
        sys.executable, "-m", "casewright", "gauge", "launch.jsonl", "--port", os.ttyname(theirs),
        "--circuit", "gear-oil", "--test", "full", "--relative-to", "gauge", "--who", "AB",
        "--minutes", "0.05",
    ]  # fmt: skip
    process = subprocess.Popen(command, cwd=job, stdout=subprocess.PIPE, text=True)
    thread = threading.Thread(target=send)
    thread.start()
    out, _ = process.communicate(timeout=60)
    thread.join()
    assert "ended: " in out
    state = fold(FileStore(job).read("launch").entries)
    (log,) = state.leak_logs
    assert "69.94" in log.body.text
    assert log.body.relative_to == "gauge"
