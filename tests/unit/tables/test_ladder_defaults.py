"""The family defaults hold together, say how they are known, and warn where it is dangerous."""

from __future__ import annotations

from dataclasses import fields

import pytest

from casewright.errors import RangeError
from casewright.reasoning.ladder import Abandon, Piece, Worth, check_ladder
from casewright.reasoning.ladder_build import ladder_of_family
from casewright.reasoning.ladder_plan import plan_ladder
from casewright.tables.ladder_defaults import (
    FAMILIES,
    GRADES,
    INVENTED,
    PRACTICE,
    DefaultPairCaution,
    DefaultRung,
    Family,
    origin,
)

WORTH, STOP = Worth(1.4, 0.03), Abandon(1500)


def pieces_of(family: Family, cost: float = 200.0) -> dict[str, Piece]:
    return {role: Piece(role, words, cost) for role, words in family.roles.items()}


def test_the_seven_families_are_there() -> None:
    assert set(FAMILIES) == {
        "press-fit", "ring-nut", "carrier", "tapered-hub", "splined-shaft", "screw", "stud",
    }  # fmt: skip


@pytest.mark.parametrize("family", FAMILIES.values(), ids=lambda family: family.id)
def test_a_family_makes_a_ladder_that_can_be_planned(family: Family) -> None:
    ladder = ladder_of_family(family.id, pieces_of(family), WORTH, STOP)
    check_ladder(ladder)
    plan = plan_ladder(ladder)
    assert plan.steps
    assert plan.outlook.mean < STOP.cost


@pytest.mark.parametrize("family", FAMILIES.values(), ids=lambda family: family.id)
def test_harm_follows_the_load_path_or_the_heat_and_cut(family: Family) -> None:
    for rung in family.rungs:
        assert set(rung.harm) <= set(family.roles), rung.id
        assert set(rung.path) <= set(family.roles), rung.id
        if not {"flame", "heat", "sparks", "blow"} & set(rung.marks):
            reached = set(rung.path) | {"housing", "thread", "carrier", "bearing"}
            assert set(rung.harm) <= reached, rung.id


@pytest.mark.parametrize("family", FAMILIES.values(), ids=lambda family: family.id)
def test_the_worse_the_grade_the_lower_the_chance(family: Family) -> None:
    for rung in family.rungs:
        assert list(rung.chances) == sorted(rung.chances, reverse=True)
        assert len(rung.chances) in (0, len(GRADES))


@pytest.mark.parametrize("family", FAMILIES.values(), ids=lambda family: family.id)
def test_what_can_hurt_carries_a_caution(family: Family) -> None:
    for rung in family.rungs:
        if {"flame", "heat", "sparks", "cold", "penetrant"} & set(rung.marks):
            assert rung.cautions, rung.id
        if any(word in rung.name for word in ("press", "hammer", "drill", "cut", "puller")):
            assert rung.cautions, rung.id


def test_every_value_says_how_it_is_known() -> None:
    used = {f.name for kind in (Family, DefaultRung, DefaultPairCaution) for f in fields(kind)}
    known = {name: origin(name) for name in used - {"id", "rungs"}}
    assert set(known.values()) == {PRACTICE, INVENTED}
    assert known["chances"] == known["minutes"] == known["harm"] == INVENTED
    assert known["cautions"] == known["words"] == PRACTICE


def test_penetrant_then_a_torch_is_warned_of() -> None:
    carrier = FAMILIES["carrier"]
    ladder = ladder_of_family("carrier", pieces_of(carrier), WORTH, STOP)
    torch = next(rung for rung in ladder.rungs if "flame" in rung.marks)
    assert any(
        pair.first == "penetrant" and pair.second in torch.marks for pair in ladder.pair_cautions
    )


def test_the_job_overrides_the_family() -> None:
    carrier = pieces_of(FAMILIES["carrier"])
    ladder = ladder_of_family(
        "carrier", {"carrier": carrier["carrier"]}, WORTH, STOP,
        tools_missing={"boring set-up": None, "torch": 15.0},
        overrides={"relief": {"minutes": 11.0}}, prior=(0.0, 0.0, 1.0),
    )  # fmt: skip
    assert ladder.rung("relief").minutes == 11.0
    assert ladder.rung("relief").harm == {"carrier": 1.0}
    assert (ladder.rung("heat").owned, ladder.rung("heat").hire) == (False, 15.0)
    assert [bar.rung for bar in plan_ladder(ladder).bars] == ["bore"]
    assert ladder.prior == (0.0, 0.0, 1.0)


def test_names_that_point_at_nothing_are_refused() -> None:
    with pytest.raises(RangeError, match="family"):
        ladder_of_family("moon", {}, WORTH, STOP)
    with pytest.raises(RangeError, match="pieces"):
        ladder_of_family("screw", {"moon": Piece("moon", "moon", 1)}, WORTH, STOP)
    with pytest.raises(RangeError, match="overrides"):
        ladder_of_family("screw", {}, WORTH, STOP, overrides={"moon": {}})
