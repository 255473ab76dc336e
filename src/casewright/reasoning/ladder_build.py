"""A ladder for one joint of one job, from its family's defaults and what the job says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from casewright.errors import RangeError
from casewright.reasoning.ladder import Abandon, Ladder, PairCaution, Piece, Rung, Worth
from casewright.tables.ladder_defaults import FAMILIES, GRADES, PAIR_CAUTIONS, DefaultRung


def ladder_of_family(
    family: str,
    pieces: Mapping[str, Piece],
    worth: Worth,
    abandon: Abandon,
    tools_missing: Mapping[str, float | None] | None = None,
    break_cost: float | None = None,
    prior: tuple[float, ...] | None = None,
    overrides: Mapping[str, Mapping[str, object]] | None = None,
) -> Ladder:
    """A ladder from a family's default rungs, for the pieces that this joint really has.

    Args:
        family: id of a family in the defaults table [-].
        pieces: role in the family to the piece that plays it [-]; harm to a role that no piece
            plays is left out.
        worth: what a minute of work and of waiting is worth [money/min].
        abandon: cost of stopping [money].
        tools_missing: tool to its hire price, None where it can't be had [money].
        break_cost: cost of carrying on when the joint breaks into another one [money]; none
            means the cost of stopping.
        prior: chance of each grade on this job, none means the family's [-].
        overrides: rung id to changed fields of `Rung` [-].
    Returns:
        the ladder [-].
    Valid: default numbers are invented; the shop's own counts go before them.
    Raises: RangeError for a family, role or rung that is not known.
    Source: own: defaults table; its methods are common practice, its numbers invented.
    """
    if family not in FAMILIES:
        raise RangeError("family", family, f"one of {sorted(FAMILIES)}")
    chosen, changes = FAMILIES[family], dict(overrides or {})
    for role in set(pieces) - set(chosen.roles):
        raise RangeError("pieces", role, f"one of {sorted(chosen.roles)}")
    for rung_id in set(changes) - {rung.id for rung in chosen.rungs}:
        raise RangeError("overrides", rung_id, f"one of {[rung.id for rung in chosen.rungs]}")
    missing = dict(tools_missing or {})
    broken = abandon.cost if break_cost is None else break_cost
    rungs = tuple(
        replace(_rung(rung, pieces, missing, broken), **changes.get(rung.id, {}))  # type: ignore[arg-type]
        for rung in chosen.rungs
    )
    unique = {piece.id: piece for piece in pieces.values()}
    return Ladder(
        rungs, tuple(unique.values()), GRADES, prior or chosen.prior, abandon, worth,
        tuple(PairCaution(one.first, one.second, one.words) for one in PAIR_CAUTIONS),
    )  # fmt: skip


def _rung(
    default: DefaultRung,
    pieces: Mapping[str, Piece],
    missing: Mapping[str, float | None],
    broken: float,
) -> Rung:
    """A default rung with roles replaced by pieces; of two roles of one piece the likelier harm."""
    harm: dict[str, float] = {}
    for role, chance in default.harm.items():
        if role in pieces:
            piece = pieces[role].id
            harm[piece] = max(chance, harm.get(piece, 0.0))
    return Rung(
        default.id, default.name, "attempt" if default.kind == "attempt" else "preparation",
        default.minutes, default.chances, default.wait, tool=default.tool,
        owned=default.tool not in missing, hire=missing.get(default.tool), repeats=default.repeats,
        harm=harm, eases=default.eases, breaks=default.breaks,
        break_cost=broken if default.breaks else 0.0, after=default.after,
        not_after=default.not_after, marks=default.marks, cautions=default.cautions,
    )  # fmt: skip
