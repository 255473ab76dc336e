"""The damage vocabulary: gears after ISO 10825, bearings after ISO 15243, the rest in shop words.

Only the names are the standards'; plain descriptions, causes and the four severity steps are common
practice without a source. A word is a help to see and to write, never a verdict by itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from casewright.errors import InputError
from casewright.tables.damage_bearings import BEARING_DAMAGE
from casewright.tables.damage_form import SEVERITIES, Damage
from casewright.tables.damage_gears import GEAR_DAMAGE
from casewright.tables.damage_others import OTHER_DAMAGE

__all__ = ["SEVERITIES", "Damage", "damage", "damage_for", "damages"]


@cache
def damages() -> Mapping[str, Damage]:
    """The whole vocabulary by key.

    Returns:
        key to entry [-].
    Valid: names of the standards' older editions; severity steps are practice.
    Raises: nothing.
    Source: ISO10825 names of gear damage; ISO15243 names of bearing damage
    """
    rows = (*GEAR_DAMAGE, *BEARING_DAMAGE, *OTHER_DAMAGE)
    return MappingProxyType({row.key: row for row in rows})


def damage(key: str) -> Damage:
    """One entry of the vocabulary.

    Args:
        key: such as "gear-scuffing" [-].
    Returns:
        the entry [-].
    Valid: keys of `damages`.
    Raises: InputError for another key, with those that are near.
    Source: ISO10825; ISO15243; shop words
    Example:
        >>> damage("bearing-moisture-corrosion").name
        'moisture corrosion'
    """
    known = damages()
    if key not in known:
        near = [name for name in known if key.split("-")[-1] in name] or list(known)
        raise InputError("damage", key, f"a word of the vocabulary ({', '.join(near[:6])})")
    return known[key]


def damage_for(part_kind: str) -> tuple[Damage, ...]:
    """What is offered for a kind of part, the usual first.

    Args:
        part_kind: the sheet's kind of part, such as "cup" [-].
    Returns:
        entries [-]; all of them for a kind that none is meant for.
    Valid: an offer, not a limit.
    Raises: nothing.
    Source: common practice
    """
    found = tuple(one for one in damages().values() if part_kind in one.kinds)
    return found or tuple(damages().values())
