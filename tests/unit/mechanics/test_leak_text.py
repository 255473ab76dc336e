"""Pasted logs: what is understood, and a clear answer to what isn't."""

import numpy as np
import pytest

from casewright.errors import FormErrors, MissingError, RangeError
from casewright.mechanics.leak_log import gaps, leak_log
from casewright.mechanics.leak_text import parse_leak_log

CSV = """time [s],pressure [kPa gauge],wall [degC],turned
0,69.0,20.0,
10,68.9,20.0,
20,68.8,19.9,yes
30,68.7,19.9,
"""


def test_a_csv_with_its_header_becomes_si():
    log = parse_leak_log(CSV)
    assert log.time.tolist() == [0, 10, 20, 30]
    assert log.pressure[0] == pytest.approx(101_325 + 69_000)
    assert log.temperature[2] == pytest.approx(293.05)
    assert log.turned.tolist() == [False, False, True, False]


def test_tabs_and_decimal_commas_are_understood():
    text = "minutes\tpressure (psi abs)\ttemp (F)\n0\t24,7\t68\n1,5\t24,6\t68\n3\t24,5\t68\n"
    log = parse_leak_log(text, time_unit="min")
    assert log.time[1] == 90
    assert log.pressure[0] == pytest.approx(24.7 * 6894.757293168)
    assert log.temperature[0] == pytest.approx(293.15)


def test_bare_columns_take_their_units_from_the_caller():
    log = parse_leak_log(
        "0 12 20\n30 11.9 20\n60 11.9 20", "vacuum", "inHg", "C", atmosphere=100_000
    )
    assert log.pressure[0] == pytest.approx(100_000 - 12 * 3386.389)


def test_clock_times_and_stamps_count_from_the_first():
    rows = "10:56:25,50.6,20\n10:57:00,50.6,20\n10:57:35,50.6,20"
    assert parse_leak_log(rows, "absolute", "kPa", "C").time.tolist() == [0, 35, 70]
    rows = "2031-03-01 23:59:30,50.6,20\n2031-03-02T00:00:00,50.6,20\n2031-03-02 00:00:30Z,50.6,20"
    assert parse_leak_log(rows, "absolute", "kPa", "C").time.tolist() == [0, 30, 60]


def test_gauge_or_absolute_must_be_said():
    with pytest.raises(MissingError, match="gauge, absolute or vacuum"):
        parse_leak_log(CSV.replace("kPa gauge", "kPa"))
    with pytest.raises(MissingError, match="gauge, absolute or vacuum"):
        leak_log([0, 1, 2], [170e3] * 3, [293.0] * 3)


def test_the_units_trade_letters_say_gauge_or_absolute():
    for unit, first in (("psig", 101_325 + 10 * 6894.757293168), ("psia", 68947.57293168)):
        text = f"time [s],pressure [{unit}],temp [C]\n0,10,20\n1,10,20\n2,10,20"
        assert parse_leak_log(text).pressure[0] == pytest.approx(first)


def test_celsius_said_to_be_kelvin_is_answered():
    with pytest.raises(RangeError, match="looks like degrees Celsius"):
        parse_leak_log(CSV.replace("degC", "K"))
    with pytest.raises(RangeError, match="looks like degrees Celsius"):
        leak_log([0, 1, 2], [170e3] * 3, [20.0] * 3, pressure_kind="absolute")


def test_kelvin_said_to_be_celsius_is_answered():
    with pytest.raises(RangeError, match="looks like kelvin"):
        parse_leak_log("0,170,293\n1,170,293\n2,170,293", "absolute", "kPa", "C")


def test_a_missing_temperature_column_is_answered_and_can_be_waived():
    text = "time [s],pressure [kPa gauge]\n0,69\n10,69\n20,69\n"
    with pytest.raises(MissingError, match="temperature column"):
        parse_leak_log(text)
    log = parse_leak_log(text, without_temperature=True)
    assert log.temperature is None
    assert "drift" in log.notes[0]


def test_time_running_backwards_names_its_row():
    with pytest.raises(RangeError, match="row 3 time"):
        parse_leak_log(CSV.replace("20,68.8", "5,68.8"))


def test_time_standing_still_is_refused():
    with pytest.raises(RangeError, match="stands still"):
        parse_leak_log(CSV.replace("20,68.8", "10,68.8"))


def test_all_cells_that_cannot_be_read_are_named_in_one_pass():
    bad = CSV.replace("68.9", "low").replace("19.9,yes", "?,perhaps")
    with pytest.raises(FormErrors) as caught:
        parse_leak_log(bad)
    assert set(caught.value.by_field()) == {
        "row 2 pressure",
        "row 3 temperature",
        "row 3 turned",
    }


def test_a_short_row_is_named():
    with pytest.raises(FormErrors, match="row 2 pressure"):
        parse_leak_log(CSV.replace("10,68.9,20.0,", "10"))


def test_nan_is_not_a_reading():
    with pytest.raises(Exception, match="row 2 pressure"):
        parse_leak_log(CSV.replace("68.9", "nan"))


def test_missing_units_are_named_together():
    with pytest.raises(FormErrors) as caught:
        parse_leak_log("0,69,20\n1,69,20\n2,69,20")
    assert {"pressure unit", "temperature unit", "pressure kind"} <= set(caught.value.by_field())


def test_an_empty_paste_is_answered():
    with pytest.raises(MissingError, match="leak log"):
        parse_leak_log("  \n# a remark\n")


def test_a_gauge_pressure_below_full_vacuum_is_answered():
    with pytest.raises(RangeError, match="full vacuum"):
        parse_leak_log(CSV.replace("68.8", "-150"))


def test_a_gap_is_noted_and_cut():
    time = np.concatenate([np.arange(0, 100, 10.0), np.arange(400, 500, 10.0)])
    assert np.flatnonzero(gaps(time)).tolist() == [10]
    log = leak_log(time, [170e3] * 20, [293.0] * 20, pressure_kind="absolute")
    assert "Gap of 310 s before row 11" in log.notes[0]


def test_a_log_below_ambient_said_to_be_absolute_is_remarked_on():
    log = leak_log([0, 1, 2], [69e3] * 3, [293.0] * 3, pressure_kind="absolute")
    assert "vacuum test" in log.notes[0]
