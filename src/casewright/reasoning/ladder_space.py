"""The states of a ladder: what has been done, in how far that tells the grade, what comes next.

A state is one digit per rung. A preparation's digit is 0 or 1. An attempt's digit is how often it
was tried; only where a preparation eases it *differently by grade* does the digit also tell under
which of those preparations it was tried, since then the belief depends on it. Everything else
cancels in Bayes' rule, so the belief depends on what was tried and not on the order.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import product

import numpy as np
import numpy.typing as npt

from casewright.errors import RangeError
from casewright.reasoning.ladder import ATTEMPT, PREPARATION, Ladder, Rung, Standing, barred

Floats = npt.NDArray[np.float64]
Integers = npt.NDArray[np.int64]
MOST_STATES = 3_000_000


@dataclass(frozen=True, slots=True)
class Digit:
    """A rung's digit: `counts[v]` holds how often it was tried at each level when it reads `v`.

    `telling` are the positions of the preparations that make a level; level bit k is `telling[k]`.
    """

    counts: tuple[tuple[int, ...], ...]
    telling: tuple[int, ...] = ()

    @property
    def done(self) -> Integers:
        """Times done, by value of the digit."""
        return np.array([sum(count) for count in self.counts], dtype=np.int64)

    def next_value(self, value: int, level: int) -> int:
        """The digit's value after one more try at `level`; -1 where no try is left."""
        count = list(self.counts[value])
        count[level] += 1
        try:
            return self.counts.index(tuple(count))
        except ValueError:
            return -1


def _shares(preparation: Rung, attempt: Rung, grades: int) -> tuple[float, ...]:
    """The stuck share that a preparation leaves to an attempt, one per grade."""
    given = preparation.eases.get(attempt.id, (1.0,))
    return given * grades if len(given) == 1 else given


class Space:
    """All states of one ladder as sorted codes, with belief and chances as arrays over them."""

    def __init__(self, ladder: Ladder, standing: Standing) -> None:
        shut = {bar.rung for bar in barred(ladder)}
        used = [r for r in ladder.rungs if r.id not in shut or r.id in standing.tried]
        self.ladder = ladder
        self.grades = len(ladder.grades)
        self.shut = shut
        self.rungs = tuple(used)
        self.place = {rung.id: i for i, rung in enumerate(self.rungs)}
        self.preparations = [i for i, r in enumerate(self.rungs) if r.kind == PREPARATION]
        self.digits = tuple(self._digit(rung) for rung in self.rungs)
        self.radix = np.array([len(digit.counts) for digit in self.digits], dtype=np.int64)
        if float(np.prod(self.radix.astype(float))) > 2.0**62:
            raise RangeError("ladder", len(self.rungs), "fewer rungs or repeats")
        self.stride = np.concatenate(([1], np.cumprod(self.radix)[:-1])).astype(np.int64)
        self.codes = self._reachable()

    def _digit(self, rung: Rung) -> Digit:
        """The digit of a rung: a plain count, or counts per telling level."""
        if rung.kind == PREPARATION:
            return Digit(((0,), (1,)))
        telling = tuple(
            i for i in self.preparations if len(set(_shares(self.rungs[i], rung, self.grades))) > 1
        )
        levels = 2 ** len(telling)
        most = range(rung.repeats + 1)
        counts = [c for c in product(most, repeat=levels) if sum(c) <= rung.repeats]
        return Digit(tuple(sorted(counts, key=lambda c: (sum(c), c))), telling)

    def _reachable(self) -> Integers:
        """Sorted codes of all states in which no attempt was tried under what isn't done."""
        codes = np.zeros(1, dtype=np.int64)
        order = self.preparations + [
            i for i in range(len(self.rungs)) if i not in self.preparations
        ]
        for i in order:
            digit, parts = self.digits[i], []
            for value, count in enumerate(digit.counts):
                needed = {
                    digit.telling[k]
                    for level, times in enumerate(count)
                    if times
                    for k in range(len(digit.telling))
                    if level >> k & 1
                }
                fits = np.ones(len(codes), dtype=bool)
                for j in needed:
                    fits &= self._value(codes, j) == 1
                parts.append(codes[fits] + value * self.stride[i])
            codes = np.concatenate(parts)
            if len(codes) > MOST_STATES:
                raise RangeError(
                    "ladder",
                    f"{len(self.rungs)} rungs",
                    f"at most {MOST_STATES} states of what was done",
                    "Leave out rungs, repeats, or shares that differ by grade.",
                )
        codes.sort()
        return codes

    def _value(self, codes: Integers, i: int) -> Integers:
        """The digit of rung `i` in each code."""
        value: Integers = codes // self.stride[i] % self.radix[i]
        return value

    @cached_property
    def values(self) -> Integers:
        """Digits of all states, (rungs, states)."""
        return np.array([self._value(self.codes, i) for i in range(len(self.rungs))]).reshape(
            len(self.rungs), len(self.codes)
        )

    @cached_property
    def done(self) -> Integers:
        """How often each rung was done, (rungs, states)."""
        return np.array(
            [digit.done[value] for digit, value in zip(self.digits, self.values, strict=True)]
        ).reshape(self.values.shape)

    @cached_property
    def belief(self) -> Floats:
        """Chance of each grade given that all that was tried failed, (states, grades)."""
        log_weight = np.zeros((len(self.codes), self.grades))
        prior = np.array(self.ladder.prior)
        with np.errstate(divide="ignore"):
            log_weight += np.log(prior)
            for i, rung in enumerate(self.rungs):
                if rung.kind == ATTEMPT:
                    log_weight += self._log_failure(i)[self.values[i]]
        top = log_weight.max(axis=1, keepdims=True)
        # A sure method that failed contradicts the sheet; the prior is all that is left then.
        weight = np.where(
            np.isfinite(top), np.exp(log_weight - np.where(top > -np.inf, top, 0)), prior
        )
        belief: Floats = weight / weight.sum(axis=1, keepdims=True)
        return belief

    def _log_failure(self, i: int) -> Floats:
        """Log chance that the tries behind each value of a digit failed, (values, grades)."""
        rung, digit = self.rungs[i], self.digits[i]
        stuck = 1.0 - rung.breaks - np.array(rung.chances)
        table = np.zeros((len(digit.counts), self.grades))
        for value, count in enumerate(digit.counts):
            for level, times in enumerate(count):
                if times:
                    table[value] += times * np.log(stuck * self._eased(i, digit.telling, level))
        return table

    def _eased(self, i: int, preparations: tuple[int, ...] | list[int], level: int) -> Floats:
        """Product of the stuck shares of the preparations whose bits are set, (grades,)."""
        share = np.ones(self.grades)
        for k, j in enumerate(preparations):
            if level >> k & 1:
                share *= np.array(_shares(self.rungs[j], self.rungs[i], self.grades))
        return share

    def stuck_by_grade(self, i: int) -> tuple[Integers, Floats]:
        """Level of each state for attempt `i`, and chance to stay stuck by level and grade."""
        rung = self.rungs[i]
        easing = [j for j in self.preparations if rung.id in self.rungs[j].eases]
        level = np.zeros(len(self.codes), dtype=np.int64)
        for k, j in enumerate(easing):
            level |= self.values[j] << k
        stuck = np.maximum(1.0 - rung.breaks - np.array(rung.chances), 0.0)
        table = np.array([stuck * self._eased(i, easing, at) for at in range(2 ** len(easing))])
        return level, table

    def stuck(self, i: int) -> Floats:
        """Chance that attempt `i` leaves the joint stuck and whole, by state, (states,)."""
        if self.rungs[i].kind == PREPARATION:
            return np.ones(len(self.codes))
        level, table = self.stuck_by_grade(i)
        chance: Floats = np.einsum("sg,sg->s", self.belief, table[level])
        return chance

    def successor(self, i: int) -> Integers:
        """State index after rung `i` did not release; -1 where it can't be done."""
        digit = self.digits[i]
        level = np.zeros(len(self.codes), dtype=np.int64)
        for k, j in enumerate(digit.telling):
            level |= self.values[j] << k
        table = np.array(
            [
                [digit.next_value(v, at) for at in range(2 ** len(digit.telling))]
                for v in range(len(digit.counts))
            ]
        )
        after = table[self.values[i], level]
        possible = (after >= 0) & self._allowed(i)
        target = self.codes + (after - self.values[i]) * self.stride[i]
        found = np.searchsorted(self.codes, np.where(possible, target, self.codes))
        return np.where(possible, found, -1)

    def _allowed(self, i: int) -> npt.NDArray[np.bool_]:
        """Where rung `i` may be done: not barred, what it needs done, what forbids it not."""
        rung = self.rungs[i]
        allowed = np.full(len(self.codes), rung.id not in self.shut)
        for name in rung.after:
            # A rung that is barred and needed can never have been done.
            allowed &= self.done[self.place[name]] > 0 if name in self.place else False
        for name in rung.not_after:
            if name in self.place:
                allowed &= self.done[self.place[name]] == 0
        return allowed

    def index_of(self, tried: tuple[str, ...]) -> int:
        """The state after these rungs were done in this order without release."""
        values = [0] * len(self.rungs)
        for rung_id in tried:
            i = self.place[rung_id]
            level = sum(values[j] << k for k, j in enumerate(self.digits[i].telling))
            values[i] = self.digits[i].next_value(values[i], level)
        code = int(sum(v * s for v, s in zip(values, self.stride.tolist(), strict=True)))
        return int(np.searchsorted(self.codes, code))
