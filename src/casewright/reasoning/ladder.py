"""The stuck joint: rungs, pieces at risk, seizure grades, and what a ladder is made of.

A *preparation* releases nothing; it leaves a smaller share of the stuck chance to the attempts
after it. An *attempt* may release, may harm the pieces in its load path, and may break the joint
into another one (a stud that shears), which ends this ladder at the cost of what then follows.
*Abandon* is always open, at its cost. Times are minutes, costs are money.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from casewright.errors import FormErrors, InfeasibleError, InputError, MissingError, RangeError

PREPARATION: Literal["preparation"] = "preparation"
ATTEMPT: Literal["attempt"] = "attempt"


@dataclass(frozen=True, slots=True)
class Piece:
    """A thing that an attempt may harm.

    `cost` is what losing it costs on this job [money]; nothing is at stake where it is already
    condemned or is a one-time part. `harm_limit` bars methods whose chance of harm to it is above.
    """

    id: str
    name: str
    cost: float
    condemned: bool = False
    one_time: bool = False
    harm_limit: float | None = None

    @property
    def at_stake(self) -> float:
        """What harm to it costs on this job [money]."""
        return 0.0 if self.condemned or self.one_time else self.cost


@dataclass(frozen=True, slots=True)
class Rung:
    """One method on the ladder.

    `chances` [-] release per grade, unprepared (empty for a preparation); `harm` [-] per piece and
    attempt, whatever the grade; `eases` (preparations): attempt id to the share [-] of its stuck
    chance that is left afterwards, one for all grades or one per grade; `breaks` [-] chance that
    the attempt turns the joint into another one, at `break_cost`; `hire` money for a tool that the
    shop doesn't own (None: it can't be had). `after` rungs must have been done, `not_after` must
    not. `marks` are the words by which pairs of rungs carry cautions.
    """

    id: str
    name: str
    kind: Literal["preparation", "attempt"]
    minutes: float
    chances: tuple[float, ...] = ()
    wait: float = 0.0
    money: float = 0.0
    tool: str = ""
    owned: bool = True
    hire: float | None = None
    repeats: int = 1
    harm: Mapping[str, float] = field(default_factory=dict)
    eases: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    breaks: float = 0.0
    break_cost: float = 0.0
    after: tuple[str, ...] = ()
    not_after: tuple[str, ...] = ()
    marks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Abandon:
    """Stop here: order the piece, or end the repair. Pieces in `loses` are lost with it."""

    cost: float
    name: str = "stop and order the piece"
    loses: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class PairCaution:
    """What is dangerous about a rung marked `second` after one marked `first`."""

    first: str
    second: str
    words: str


@dataclass(frozen=True, slots=True)
class Worth:
    """What time is worth: a minute of work and a minute of waiting [money/min]."""

    minute: float
    waiting_minute: float = 0.0


@dataclass(frozen=True, slots=True)
class Ladder:
    """A stuck joint's methods, listed gentle to rough, with all that the plan depends on."""

    rungs: tuple[Rung, ...]
    pieces: tuple[Piece, ...]
    grades: tuple[str, ...]
    prior: tuple[float, ...]
    abandon: Abandon
    worth: Worth
    pair_cautions: tuple[PairCaution, ...] = ()

    def rung(self, rung_id: str) -> Rung:
        """The rung of that id."""
        for rung in self.rungs:
            if rung.id == rung_id:
                return rung
        raise RangeError("rung", rung_id, "one of " + ", ".join(r.id for r in self.rungs))

    def with_piece(self, piece_id: str, **changes: object) -> Ladder:
        """The same ladder with one piece changed (condemned, protected, another cost)."""
        pieces = tuple(
            replace(piece, **changes) if piece.id == piece_id else piece  # type: ignore[arg-type]
            for piece in self.pieces
        )
        return replace(self, pieces=pieces)


@dataclass(frozen=True, slots=True)
class Standing:
    """Where the work stands: rungs done without release, in their order, and pieces harmed."""

    tried: tuple[str, ...] = ()
    harmed: frozenset[str] = frozenset()

    def then(self, rung_id: str, harmed: Iterable[str] = ()) -> Standing:
        """The standing after one more rung that did not release."""
        return Standing((*self.tried, rung_id), self.harmed | frozenset(harmed))


@dataclass(frozen=True, slots=True)
class Bar:
    """Why a rung can't be used: `kind` is "tool" or "harm"; `what` the tool or piece."""

    rung: str
    kind: Literal["tool", "harm"]
    what: str
    chance: float = 0.0
    limit: float = 0.0

    def sentence(self) -> str:
        """The bar in words."""
        if self.kind == "tool":
            return f"{self.rung}: the shop has no {self.what} and no hire price is given"
        return (
            f"{self.rung}: harms {self.what} with chance {self.chance:.2g}, "
            f"above the limit {self.limit:.2g} set for it"
        )


def barred(ladder: Ladder) -> tuple[Bar, ...]:
    """The rungs that can't be used: a tool that can't be had, harm above a piece's limit.

    Args:
        ladder: the stuck joint [-].
    Returns:
        one `Bar` per barred rung and cause [-].
    Valid: any checked ladder.
    Raises: nothing.
    Source: own: definition; the limit is per attempt, not over the whole ladder.
    """
    limits = {piece.id: piece for piece in ladder.pieces if piece.harm_limit is not None}
    found = []
    for rung in ladder.rungs:
        if not rung.owned and rung.hire is None:
            found.append(Bar(rung.id, "tool", rung.tool or "tool for it"))
        for piece_id, chance in rung.harm.items():
            piece = limits.get(piece_id)
            if piece and piece.harm_limit is not None and chance > piece.harm_limit:
                found.append(Bar(rung.id, "harm", piece.name, chance, piece.harm_limit))
    return tuple(found)


def check_ladder(ladder: Ladder, standing: Standing | None = None) -> None:
    """Find every mistake of a ladder (and of a standing on it) in one pass.

    Args:
        ladder: the stuck joint [-].
        standing: rungs done and pieces harmed so far; none means fresh [-].
    Returns:
        nothing [-].
    Valid: any.
    Raises: FormErrors with all mistakes; InfeasibleError where no attempt can be used.
    Source: own: what the model needs.
    """
    mistakes = [*_form_mistakes(ladder)]
    for rung in ladder.rungs:
        mistakes += _rung_mistakes(ladder, rung)
    if not mistakes and standing is not None:
        mistakes += _standing_mistakes(ladder, standing)
    if mistakes:
        raise FormErrors("ladder", mistakes)
    shut = {bar.rung for bar in barred(ladder)}
    attempts = [rung.id for rung in ladder.rungs if rung.kind == ATTEMPT]
    if set(attempts) <= shut and not (standing and set(standing.tried) & set(attempts)):
        reasons = [bar.sentence() for bar in barred(ladder)] or ["it lists no attempt"]
        raise InfeasibleError("no method of this ladder can be used", reasons)


def _form_mistakes(ladder: Ladder) -> Iterable[InputError]:
    """Mistakes of the ladder as a whole."""
    if len(ladder.prior) != len(ladder.grades) or not ladder.grades:
        yield RangeError("prior", ladder.prior, f"one chance per grade {ladder.grades}")
    elif any(not 0 <= chance <= 1 for chance in ladder.prior) or abs(sum(ladder.prior) - 1) > 1e-6:
        yield RangeError("prior", ladder.prior, "chances from 0 to 1 that add to 1")
    for kind, ids in (
        ("rung", [rung.id for rung in ladder.rungs]),
        ("piece", [piece.id for piece in ladder.pieces]),
    ):
        for twice in sorted({one for one in ids if ids.count(one) > 1}):
            yield RangeError(f"{kind}.{twice}", twice, "an id that is used once")
    amounts = {f"piece.{piece.id}.cost": piece.cost for piece in ladder.pieces}
    amounts |= {"abandon.cost": ladder.abandon.cost, "worth.minute": ladder.worth.minute}
    amounts |= {"worth.waiting_minute": ladder.worth.waiting_minute}
    yield from (RangeError(name, v, "0 or more") for name, v in amounts.items() if not v >= 0)
    known = {piece.id for piece in ladder.pieces}
    for lost in set(ladder.abandon.loses) - known:
        yield RangeError("abandon.loses", lost, f"one of the pieces {sorted(known)}")


def _rung_mistakes(ladder: Ladder, rung: Rung) -> Iterable[InputError]:
    """Mistakes of one rung."""
    at = f"rung.{rung.id}"
    amounts = {"minutes": rung.minutes, "wait": rung.wait, "money": rung.money}
    amounts |= {"break_cost": rung.break_cost, "hire": rung.hire or 0.0}
    yield from (RangeError(f"{at}.{n}", v, "0 or more") for n, v in amounts.items() if not v >= 0)
    if rung.repeats < 1 or (rung.kind == PREPARATION and rung.repeats != 1):
        yield RangeError(f"{at}.repeats", rung.repeats, "1 or more, and 1 for a preparation")
    wanted = len(ladder.grades) if rung.kind == ATTEMPT else 0
    if len(rung.chances) != wanted:
        yield MissingError(f"{at}.chances", f"{wanted} chances, one per grade")
    chances = {f"chances[{i}]": c for i, c in enumerate(rung.chances)} | {"breaks": rung.breaks}
    chances |= {f"harm.{piece}": c for piece, c in rung.harm.items()}
    chances |= {
        f"eases.{to}[{i}]": c for to, all_ in rung.eases.items() for i, c in enumerate(all_)
    }
    for name, value in chances.items():
        if not 0 <= value <= 1:
            yield RangeError(f"{at}.{name}", value, "a chance from 0 to 1")
    if rung.chances and max(rung.chances) + rung.breaks > 1 + 1e-12:
        yield RangeError(f"{at}.breaks", rung.breaks, "release and break together at most 1")
    yield from _reference_mistakes(ladder, rung, at)


def _reference_mistakes(ladder: Ladder, rung: Rung, at: str) -> Iterable[InputError]:
    """Names in a rung that point at nothing."""
    pieces = {piece.id for piece in ladder.pieces}
    rungs = {one.id for one in ladder.rungs}
    attempts = {one.id for one in ladder.rungs if one.kind == ATTEMPT}
    for name, used, known in (
        ("harm", set(rung.harm), pieces),
        ("after", set(rung.after), rungs),
        ("not_after", set(rung.not_after), rungs),
        ("eases", set(rung.eases), attempts),
    ):
        for missing in sorted(used - known):
            yield RangeError(f"{at}.{name}", missing, f"one of {sorted(known)}")
    if rung.eases and rung.kind == ATTEMPT:
        yield RangeError(f"{at}.eases", dict(rung.eases), "nothing: only preparations ease")
    for to, shares in rung.eases.items():
        if len(shares) not in (1, len(ladder.grades)):
            yield RangeError(f"{at}.eases.{to}", shares, "one share, or one per grade")


def _standing_mistakes(ladder: Ladder, standing: Standing) -> Iterable[InputError]:
    """Outcomes recorded for rungs that don't exist or were not possible yet."""
    pieces = {piece.id for piece in ladder.pieces}
    for missing in sorted(standing.harmed - pieces):
        yield RangeError("standing.harmed", missing, f"one of {sorted(pieces)}")
    known = {rung.id: rung for rung in ladder.rungs}
    done: list[str] = []
    for tried in standing.tried:
        rung = known.get(tried)
        if rung is None:
            yield RangeError("standing.tried", tried, f"one of {sorted(known)}")
        elif done.count(tried) >= rung.repeats:
            yield RangeError("standing.tried", tried, f"at most {rung.repeats} times")
        elif not set(rung.after) <= set(done):
            yield RangeError("standing.tried", tried, f"after {', '.join(rung.after)}")
        done.append(tried)
