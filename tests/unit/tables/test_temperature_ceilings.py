"""Ceilings, releases, coolants and cautions."""

import pytest

from casewright.errors import RangeError
from casewright.tables.temperature_ceilings import (
    CAUTIONS,
    CEILINGS,
    COOLANTS,
    HOUR,
    RELEASES,
    allowed_temperature,
    ceiling,
    coolant,
    temper_life,
)


def allowed(key: str, hours: float) -> float:
    return allowed_temperature(ceiling(key), hours * HOUR) - 273.15


# 93 for 24 h, 121 for 8 h; precision 66: a bearing maker's guideline (read).
@pytest.mark.parametrize(
    ("key", "hours", "celsius"),
    [
        ("bearing", 24, 93),
        ("bearing", 8.1, 93),
        ("bearing", 8, 121),
        ("bearing", 0.5, 121),
        ("precision-bearing", 1, 66),
        ("ring-sn", 1, 120),
        ("ring-s3", 1, 300),
        ("nbr", 1, 100),
        ("hnbr", 1, 150),
        ("fkm", 1, 200),
        ("t6-casting", 1, 170),
        ("t6-casting", 2, 149),
    ],
)
def test_a_ceiling_is_a_pair_of_temperature_and_time(
    key: str, hours: float, celsius: float
) -> None:
    assert allowed(key, hours) == pytest.approx(celsius)


@pytest.mark.parametrize("key", CEILINGS)
def test_every_ceiling_names_its_source_and_never_rises_with_time(key: str) -> None:
    one = ceiling(key)
    assert one.known.split(":")[0] in {"read", "memory", "own", "memory, read"}
    hours = [0.1, 1, 2, 8, 9, 24, 25, 1000]
    found = [allowed(key, hour) for hour in hours]
    assert found == sorted(found, reverse=True)


# 6061-T6 extrusion (read): not in 64 h at 177 °C; the line through 199 and 218 °C must agree.
def test_temper_line_agrees_with_the_third_published_point() -> None:
    assert temper_life(450.15) > 64 * HOUR


def test_an_hour_at_the_t6_ceiling_is_a_small_part_of_the_tempers_life() -> None:
    assert 0.01 * temper_life(170 + 273.15) > HOUR


def test_a_compound_lets_go_only_above_every_lasting_casting_ceiling() -> None:
    assert RELEASES["anaerobic"].low > allowed_temperature(ceiling("t6-casting"), HOUR)


def test_cold_baths_carry_their_cautions() -> None:
    for key in ("dry-ice", "nitrogen"):
        text = " ".join(coolant(key).cautions)
        assert "displaces air" in text
        assert "burn skin" in text
        assert "Never close" in text
    assert all("not to be dipped" in " ".join(one.cautions) for one in COOLANTS.values())
    assert "hydrogen fluoride" in ceiling("fkm").note
    assert "come first" in CAUTIONS["standing"]


def test_unknown_keys_and_negative_times_are_refused() -> None:
    with pytest.raises(RangeError, match="nbr"):
        ceiling("chewing-gum")
    with pytest.raises(RangeError, match="freezer"):
        coolant("snow")
    with pytest.raises(RangeError, match="seconds"):
        allowed_temperature(ceiling("nbr"), -1)
    with pytest.raises(RangeError, match="Convert"):
        temper_life(177)
