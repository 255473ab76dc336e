"""A serial calliper or indicator, through a pseudo-terminal: each line becomes a reading."""

from __future__ import annotations

from pathlib import Path

import pytest
from typer.testing import CliRunner

from casewright.cli import app
from casewright.job.fold import fold
from casewright.shop.gauges import SILENT, open_port
from casewright.shop.instruments import ALL_READ, Readings, value_of
from casewright.store.files import FileStore
from tests.phases.gauged_cast import SHEET
from tests.shop.test_gauges import Lines, Ticking, gauge_sending


@pytest.mark.parametrize(
    ("line", "value"),
    [
        ("+29.981 mm", "29.981 mm"),
        ("1.1805 in", "1.1805 in"),
        ("01A+00029.981", "29.981 mm"),
        ("-0,012", "-0.012 mm"),
        ("0.010", "0.010 mm"),
        ("+0000.000", "0.000 mm"),
        ("ready", ""),
        ("12 kPa", ""),
    ],
)
def test_a_line_is_a_value_with_its_unit_as_it_was_shown(line: str, value: str) -> None:
    assert value_of(line, "length", "mm") == value


def test_it_ends_when_every_place_is_read_and_keeps_strange_lines_aside() -> None:
    sent = ["torn", "0.00 mm", "0.02 mm", "noise!", "0.05 mm", "0.03 mm", "0.09 mm"]
    with gauge_sending(sent) as name:
        stream = Readings(4, silence=20.0)
        got = list(stream.follow(open_port(name, timeout=0.5)))
    assert got == ["0.00 mm", "0.02 mm", "0.05 mm", "0.03 mm"]
    assert stream.ended == ALL_READ
    assert stream.strange == ["noise!"]


def test_silence_ends_it_and_what_was_read_stays() -> None:
    stream = Readings(8, silence=3.0)
    assert list(stream.follow(Lines("0.01", "0.02"), Ticking())) == ["0.01 mm", "0.02 mm"]
    assert stream.ended == SILENT


def test_the_command_walks_the_places_and_keeps_one_reading(tmp_path: Path) -> None:
    run = CliRunner()
    common = ["--folder", str(tmp_path), "--who", "AB"]
    opened = run.invoke(app, ["open", "shaft", "--sheet", "winkle-3", "--title", "Shaft", *common])
    assert opened.exit_code == 0, opened.output
    sent = ["torn", "0.00", "0.02", "0.03", "0.04", "0.05", "0.04", "0.03", "0.02"]
    with gauge_sending(sent) as name:
        answer = run.invoke(
            app,
            ["read", "shaft", "prop-shaft-run-out", "--port", name, "--silence", "20", *common],
        )
    assert answer.exit_code == 0, answer.output
    assert "45°: 0.02 mm   now 90°" in answer.output
    (reading,) = fold(FileStore(tmp_path).read("shaft").entries).readings
    assert len(reading.body.values) == 8


def test_a_serial_calliper_takes_where_it_stood_with_its_readings(tmp_path: Path) -> None:
    run = CliRunner()
    common = ["--folder", str(tmp_path), "--who", "AB"]
    sheet = tmp_path / "small.toml"
    sheet.write_text(SHEET, "utf-8")
    opened = run.invoke(app, ["open", "gear", "--sheet", str(sheet), "--title", "Gear", *common])
    assert opened.exit_code == 0, opened.output
    set_ = ["--at-height", "4.20 mm", "--tip-low", "0.10 mm"]
    with gauge_sending(["torn", "7.30", "7.31", "7.29"]) as name:
        answer = run.invoke(
            app, ["read", "gear", "no-height", "--port", name, "--silence", "20", *set_, *common]
        )
    assert answer.exit_code == 0, answer.output
    assert "tooth 1: 7.30 mm   now tooth 2" in answer.output
    (reading,) = fold(FileStore(tmp_path).read("gear").entries).readings
    assert (reading.body.at_height, reading.body.tip_low) == ("4.20 mm", "0.10 mm")


def test_an_indicator_left_half_way_round_keeps_its_marks_and_both_signs(tmp_path: Path) -> None:
    run = CliRunner()
    common = ["--folder", str(tmp_path), "--who", "AB"]
    run.invoke(app, ["open", "shaft", "--sheet", "winkle-3", "--title", "Shaft", *common])
    with gauge_sending(["torn", "0.00", "-0.02", "-0.03"]) as name:
        answer = run.invoke(
            app, ["read", "shaft", "prop-shaft-run-out", "--port", name, "--silence", "2", *common]
        )
    assert answer.exit_code == 0, answer.output
    (reading,) = fold(FileStore(tmp_path).read("shaft").entries).readings
    assert reading.body.at == ("0°", "45°", "90°")


def test_a_bare_number_of_an_inch_sheets_instrument_is_in_inches(tmp_path: Path) -> None:
    run = CliRunner()
    common = ["--folder", str(tmp_path), "--who", "AB"]
    run.invoke(app, ["open", "box", "--sheet", "whelk-4", "--title", "Box", *common])
    with gauge_sending(["torn", "1.4990", "1.4991", "1.4990"]) as name:
        answer = run.invoke(
            app, ["read", "box", "output-land", "--port", name, "--silence", "20", *common]
        )
    assert answer.exit_code == 0, answer.output
    (reading,) = fold(FileStore(tmp_path).read("box").entries).readings
    assert reading.body.values[0] == "1.4990 in"
