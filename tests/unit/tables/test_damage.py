"""The vocabulary of damage: names against the standards' published lists, whole and usable."""

from __future__ import annotations

import tomllib
from importlib import resources
from typing import get_args

import pytest

from casewright.drive.schema import Part
from casewright.errors import InputError
from casewright.job.kinds import Found
from casewright.tables.damage import SEVERITIES, damage, damage_for, damages

# Names of ISO 10825:1995 as listed at werktuigbouw.nl/abc/ISO10825-1.htm (read; "tooth end
# breakage" is from memory: the page prints "tooth breakage" there).
ISO_10825 = (
    "polishing", "moderate wear", "abrasive wear", "excessive wear", "moderate scratching",
    "severe scratching", "interference wear", "chemical corrosion", "fretting corrosion",
    "scaling", "overheating", "cavitation", "hydraulic erosion", "electric erosion", "scuffing",
    "indentation", "by rolling", "tooth hammer", "rippling", "ridging", "burrs",
    "initial pitting", "progressive pitting", "micropitting", "flake pitting", "spalling",
    "case crushing", "hardening", "grinding cracks", "fatigue cracks", "brittle fracture",
    "ductile fracture", "semi-brittle fracture", "tooth shear", "smeared fracture",
    "bending fatigue", "tooth end breakage",
)  # fmt: skip
# Names of ISO 15243 as listed at nrbindustrialbearings.com/frequent-causes-of-bearing-damage
# (2004 names, read) with the 2017 names from memory.
ISO_15243 = (
    "subsurface initiated fatigue", "surface initiated fatigue", "abrasive wear", "adhesive wear",
    "moisture corrosion", "fretting corrosion", "false brinelling", "excessive current erosion",
    "current leakage erosion", "overload deformation", "indentations from particles",
    "forced fracture", "fatigue fracture", "thermal cracking",
)  # fmt: skip


@pytest.mark.parametrize("name", ISO_10825)
def test_every_name_of_the_gear_standard_is_there(name: str) -> None:
    gears = [one.name for one in damages().values() if one.standard == "ISO 10825"]
    assert any(name in known for known in gears)


@pytest.mark.parametrize("name", ISO_15243)
def test_every_name_of_the_bearing_standard_is_there(name: str) -> None:
    bearings = [one.name for one in damages().values() if one.standard == "ISO 15243"]
    assert any(name in known for known in bearings)


def test_the_standards_lists_hold_nothing_that_they_do_not_name() -> None:
    for one in damages().values():
        names = {"ISO 10825": ISO_10825, "ISO 15243": (*ISO_15243, "by handling")}.get(one.standard)
        assert names is None or any(name in one.name for name in names), one.name


def test_each_entry_has_words_and_four_different_steps() -> None:
    for one in damages().values():
        assert one.looks
        assert one.comes_from
        assert len(set(one.steps)) == 4
        assert [one.step(severity) for severity in SEVERITIES] == list(one.steps)


def test_the_severities_are_those_that_a_finding_can_carry() -> None:
    assert set(SEVERITIES) | {""} == set(get_args(Found.model_fields["severity"].annotation))


def test_findings_that_damage_answers_are_in_the_supplied_family_file() -> None:
    text = (
        resources.files("casewright.tables.data")
        .joinpath("causes-drive-leg.toml")
        .read_text("utf-8")
    )
    known = tomllib.loads(text)["finding"]
    named = {one.finding for one in damages().values() if one.finding}
    assert named <= set(known)
    assert len(named) > 15


def test_kinds_of_parts_are_the_sheets() -> None:
    kinds = set(get_args(Part.model_fields["kind"].annotation))
    assert {kind for one in damages().values() for kind in one.kinds} <= kinds


def test_salt_water_comes_first_for_bearings() -> None:
    first = [one.name for one in damage_for("cup")[:3]]
    assert "moisture corrosion" in first[0]
    assert any("fretting" in name for name in first)
    assert any("false brinelling" in name for name in first)


def test_a_part_without_words_of_its_own_is_offered_all() -> None:
    assert len(damage_for("spacer")) == len(damages())


def test_an_unknown_word_is_refused_with_near_ones() -> None:
    with pytest.raises(InputError, match="gear-scuffing"):
        damage("teeth-scuffing")
