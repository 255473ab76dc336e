"""What is known about a stuck joint: its pieces at risk, what was tried, and the planned ladder."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from casewright.drive.schema import Joint
from casewright.errors import CasewrightError, InfeasibleError
from casewright.job.kinds import Attempt
from casewright.job.prices import read_money
from casewright.job.settings import Settings
from casewright.job.state import Kept, State
from casewright.job.strip_rules import CHANCE
from casewright.job.strip_state import behind, family_of, lock_of, lock_words, protected
from casewright.phases.strip.costs import Loss, Losses, waiting_day
from casewright.phases.strip.ladders import (
    Inputs,
    calls,
    ladder_for,
    planned,
    savings,
    standing_of,
    usual,
    value_of,
)
from casewright.phases.strip.roles import extra_harm, roles_of
from casewright.reasoning.chances import chance
from casewright.reasoning.ladder import Abandon, Bar, Ladder, Piece, Worth, barred
from casewright.reasoning.ladder_compare import CloseCall, Saving
from casewright.reasoning.ladder_outlook import Outlook
from casewright.reasoning.ladder_plan import LadderPlan
from casewright.tables.ladder_defaults import FAMILIES, GRADES

# Invented: a thread mended with an insert, a plain stud; above this chance a method is barred for
# a protected piece; minutes of desk work when a person stops and orders instead.
THREAD_INSERT, STUD_PRICE, PROTECT_LIMIT, STOP_MINUTES = 40.0, 5.0, 0.10, 60.0


@dataclass(frozen=True, slots=True)
class PieceLine:
    """A piece at risk: its positions, what losing it costs here, and why that may be nothing."""

    id: str
    name: str
    positions: tuple[str, ...]
    price: float
    at_stake: float
    basis: str
    spared_why: str
    protected: bool


@dataclass(frozen=True, slots=True)
class StuckView:
    """A stuck joint as it stands. `plan` is None where `trouble` says why."""

    joint: str
    name: str
    family: str
    words: str
    trouble: str
    locked: str
    pieces: tuple[PieceLine, ...]
    tries: tuple[Kept[Attempt], ...]
    ladder: Ladder | None = None
    plan: LadderPlan | None = None
    usual: Outlook | None = None
    savings: tuple[Saving, ...] = ()
    calls: tuple[CloseCall, ...] = ()
    minutes_spent: float = 0.0
    behind: tuple[str, ...] = ()
    before: tuple[str, ...] | None = None
    bars: tuple[Bar, ...] = ()

    @property
    def creeping(self) -> float:
        """Minutes that the last preparation wants to be left alone; 0 where there is none."""
        if not self.tries or self.tries[-1].body.outcome != "prepared" or self.ladder is None:
            return 0.0
        last = self.tries[-1].body.rung
        return next((rung.wait for rung in self.ladder.rungs if rung.id == last), 0.0)


def stuck_view(
    state: State, settings: Settings, joint: Joint, losses: Losses, *, deep: bool = True
) -> StuckView:
    """The ladder of a joint; `deep` adds the comparison, what saving costs, close calls."""
    family = family_of(state, joint)
    tries = state.attempts.get(joint.key, ())
    lock = lock_of(state, joint.key)
    view = StuckView(
        joint.key, joint.name, family, joint.ladder, "",
        lock_words(state, lock) if lock.shut else "", (), tries,
        minutes_spent=sum(kept.body.minutes or 0.0 for kept in tries),
        behind=tuple(state.lookup.name_of(key) for key in behind(state, joint.key)),
    )  # fmt: skip
    if not family:
        return replace(view, trouble=_no_family(joint))
    pieces, _ = _pieces(state, joint, family, losses)
    view = replace(view, pieces=pieces)
    inputs, tried = inputs_of(state, settings, joint, losses)
    try:
        plan = planned(inputs, tried)
        view = replace(view, plan=plan, ladder=ladder_for(inputs), bars=plan.bars)
        return _deepened(view, inputs, tried) if deep else view
    except InfeasibleError:
        bars = barred(ladder_for(inputs))
        return replace(view, bars=bars, trouble="No method of this ladder can be used.")
    except CasewrightError as error:
        return replace(view, trouble=f"There is no ladder to advise: {error}")


def _deepened(view: StuckView, inputs: Inputs, tried: tuple[str, ...]) -> StuckView:
    return replace(
        view,
        usual=usual(inputs, tried),
        savings=savings(inputs, tried),
        calls=calls(inputs, tried),
    )


def _no_family(joint: Joint) -> str:
    if joint.ladder:
        return f"The sheet calls this ladder “{joint.ladder}”, which is no kind that is known here."
    return "The sheet names no ladder for this joint."


def inputs_of(
    state: State, settings: Settings, joint: Joint, losses: Losses
) -> tuple[Inputs, tuple[str, ...]]:
    """Everything that the plan of a joint depends on, and what was tried."""
    family = FAMILIES[family_of(state, joint)]
    lines, played = _pieces(state, joint, family.id, losses)
    by_role = _by_role(lines, played)
    worth = Worth(settings.hourly_rate / 60.0, waiting_day(settings) / (24.0 * 60.0))
    repeats = {rung.id: rung.repeats for rung in family.rungs}
    preparations = frozenset(rung.id for rung in family.rungs if rung.kind == "preparation")
    said = tuple(
        kept.body.rung for kept in state.attempts.get(joint.key, ())
        if kept.body.outcome in ("held", "prepared")
    )  # fmt: skip
    tried, more = standing_of(repeats, said, preparations)
    extra, extra_pieces = _extra(joint, family.id, played, losses, state)
    inputs = Inputs(
        family.id, by_role, extra_pieces, extra, worth,
        _abandon(state, joint, lines, losses, worth),
        _missing(state, settings), 0.0, _prior(joint),
        _set_for(state, joint, CHANCE), _set_for(state, joint, "minutes."),
        tuple(sorted(more.items())), _out_of_order(family.id, tried),
    )  # fmt: skip
    if any(rung.breaks for rung in family.rungs):
        inputs = replace(inputs, break_cost=_break_cost(inputs))
    return inputs, tried


def _pieces(
    state: State, joint: Joint, family: str, losses: Losses
) -> tuple[tuple[PieceLine, ...], dict[str, tuple[str, ...]]]:
    """The pieces at risk as lines, and role to the id of the piece that plays it."""
    places = roles_of(state, joint, family)
    guarded = protected(state)
    lines: dict[str, PieceLine] = {}
    played: dict[str, tuple[str, ...]] = {}
    for role, words in FAMILIES[family].roles.items():
        if role in places:
            whole = role not in ("screw", "stud")
            line = _line(state, places[role], losses, guarded, whole=whole)
        elif role in ("thread", "stud", "screw"):
            price = THREAD_INSERT if role == "thread" else STUD_PRICE
            scrap = role == "stud"
            why = "it comes out to be thrown away" if scrap else ""
            line = PieceLine(
                f"{role}:{joint.key}", words.removeprefix("the "), (), price,
                0.0 if scrap else price, "assumed, invented", why, False,
            )  # fmt: skip
        else:
            continue
        lines[line.id] = line
        played[role] = (line.id, *line.positions)
    return tuple(lines.values()), played


def _line(
    state: State, positions: Iterable[str], losses: Losses, guarded: frozenset[str],
    *, whole: bool = True,
) -> PieceLine:  # fmt: skip
    """One piece of the model for one or several positions."""
    found = [losses.of(position) for position in positions]
    if not whole:
        found = [_single(state, loss) for loss in found[:1]]
    names = [loss.name for loss in found]
    name = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    spared = {loss.spared_why for loss in found}
    return PieceLine(
        "+".join(loss.position for loss in found), name, tuple(loss.position for loss in found),
        sum(loss.price for loss in found), sum(loss.at_stake for loss in found),
        "; ".join(dict.fromkeys(loss.basis for loss in found)),
        "" if "" in spared else "; ".join(sorted(spared)),
        any(loss.position in guarded for loss in found),
    )  # fmt: skip


def _single(state: State, loss: Loss) -> Loss:
    """One of several like fasteners."""
    return replace(loss, price=loss.price / state.lookup.positions[loss.position].quantity)


def _piece(line: PieceLine) -> Piece:
    limit = PROTECT_LIMIT if line.protected else None
    return Piece(line.id, line.name, line.at_stake, condemned=not line.at_stake, harm_limit=limit)


def _by_role(
    lines: tuple[PieceLine, ...], played: Mapping[str, tuple[str, ...]]
) -> tuple[tuple[str, Piece], ...]:
    by_id = {line.id: line for line in lines}
    return tuple((role, _piece(by_id[ids[0]])) for role, ids in played.items())


def _extra(
    joint: Joint, family: str, played: Mapping[str, tuple[str, ...]], losses: Losses, state: State
) -> tuple[tuple[tuple[str, str, float], ...], tuple[Piece, ...]]:
    """Harm that only the sheet names: (rung, piece, chance) and pieces that play no role."""
    owner = {position: ids[0] for ids in played.values() for position in ids[1:]}
    guarded, harm, pieces = protected(state), list[tuple[str, str, float]](), dict[str, Piece]()
    for rung, positions in extra_harm(joint, family, played).items():
        for position, share in positions.items():
            if position not in state.lookup.positions:
                continue
            if position not in owner and position not in pieces:
                pieces[position] = _piece(_line(state, (position,), losses, guarded))
            harm.append((rung, owner.get(position, position), share))
    return tuple(harm), tuple(pieces.values())


def _abandon(
    state: State, joint: Joint, lines: tuple[PieceLine, ...], losses: Losses, worth: Worth
) -> Abandon:
    """Stopping: the pieces of the ladder are lost, with all that can't be reached any more."""
    mine = {position for line in lines for position in line.positions}
    keys = (joint.key, *behind(state, joint.key))
    joints = state.lookup.joints
    shut_in = {p for key in keys if key not in state.steps for p in joints[key].holds}
    shut_in = {p for p in shut_in - mine if p in state.lookup.positions}
    cost = sum(losses.of(position).at_stake for position in sorted(shut_in))
    said = read_money(state.settings.get(f"abandon.{joint.key}", ""))
    total = cost + STOP_MINUTES * worth.minute if said is None else float(said)
    loses = tuple(line.id for line in lines)
    return Abandon(total, "stop and order what stays shut in", loses)


def _missing(state: State, settings: Settings) -> tuple[tuple[str, float | None], ...]:
    """Tools that the shop doesn't own, with the price of hiring where one was set."""
    found: list[tuple[str, float | None]] = []
    for tool in sorted(settings.tools_missing):
        said = read_money(state.settings.get(f"hire.{tool}", ""))
        found.append((tool, None if said is None else float(said)))
    return tuple(found)


def _prior(joint: Joint) -> tuple[float, ...] | None:
    """The sheet's own chances of the grades, made to add to one; None where it gives none."""
    given = [max(0.0, float(joint.seizure.get(grade, 0.0))) for grade in GRADES]
    total = sum(given)
    return tuple(one / total for one in given) if total > 0 else None


def _set_for(state: State, joint: Joint, prefix: str) -> tuple[tuple[str, float], ...]:
    """Chances or minutes that a person has set for this joint's methods; unreadable ones not."""
    found: list[tuple[str, float]] = []
    start = f"{prefix}{joint.key}."
    for name, value in state.settings.items():
        if name.startswith(start) and value.strip():
            try:
                number = chance(value) if prefix == CHANCE else max(0.0, float(value))
            except (CasewrightError, ValueError):
                continue
            found.append((name.removeprefix(start), number))
    return tuple(sorted(found))


def _out_of_order(family: str, tried: tuple[str, ...]) -> tuple[str, ...]:
    """Rungs tried before what the family says comes first: what happened, happened."""
    after = {rung.id: rung.after for rung in FAMILIES[family].rungs}
    return tuple(
        dict.fromkeys(r for k, r in enumerate(tried) if not set(after[r]) <= set(tried[:k]))
    )


def _break_cost(inputs: Inputs) -> float:
    """What follows when a screw shears: the mean cost of the stud's ladder in the same casting."""
    pieces = dict(inputs.pieces)
    roles = tuple((role, pieces[role]) for role in ("thread", "housing") if role in pieces)
    kept = tuple(piece.id for _, piece in roles)
    stop = replace(inputs.abandon, loses=kept)
    stud = Inputs(
        "stud", roles, (), (), inputs.worth, stop, inputs.missing, 0.0, None,
    )  # fmt: skip
    return value_of(stud)
