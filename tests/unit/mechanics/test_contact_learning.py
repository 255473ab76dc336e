"""Pattern sensitivities: learned from known moves, refused without."""

import numpy as np
import pytest

from casewright.errors import MissingError
from casewright.mechanics.contact_learning import (
    PatternTrial,
    learn_from_legs,
    learn_sensitivity,
    moves_from_pattern,
)
from casewright.mechanics.contact_pattern import SeenPatch, SeenPattern

TRUE = np.array([[400.0, 1000.0], [2600.0, -900.0], [-200.0, 1100.0], [2500.0, -1000.0]])
BASE = np.array([0.45, 0.5, 0.45, 0.5])


def trial(pinion, gear, noise=0.0, base=BASE):
    c = base + TRUE @ [pinion, gear] + noise
    return PatternTrial(
        pinion, gear, SeenPattern("gear", SeenPatch(c[0], c[1]), SeenPatch(c[2], c[3]))
    )


TRIALS = [trial(0, 0), trial(5e-5, 0), trial(5e-5, 1e-4)]


def test_two_known_moves_measure_the_sensitivities():
    learned = learn_sensitivity(TRIALS)
    assert learned.matrix == pytest.approx(TRUE)
    assert learned.residual < 1e-12


def test_moves_from_a_pattern_undo_the_displacement():
    wrong = trial(-4e-5, 6e-5).pattern
    found = moves_from_pattern(learn_sensitivity(TRIALS), wrong)
    assert found.pinion == pytest.approx(4e-5)
    assert found.gear == pytest.approx(-6e-5)


def test_spread_of_the_moves_is_that_of_repeated_tapping():
    """Monte Carlo over tapped centres, sensitivities known exactly well (many trials)."""
    rng = np.random.default_rng(7)
    many = [trial(p, g) for p in (-1e-4, 0, 1e-4) for g in (-1e-4, 0, 1e-4)] * 40
    learned = learn_sensitivity(many)
    drawn = []
    for _ in range(1500):
        c = BASE + TRUE @ [-4e-5, 6e-5] + rng.normal(0, 0.05, 4)
        pattern = SeenPattern("gear", SeenPatch(c[0], c[1]), SeenPatch(c[2], c[3]))
        made = moves_from_pattern(learned, pattern)
        drawn.append((made.pinion, made.gear))
    stated = moves_from_pattern(learned, trial(-4e-5, 6e-5).pattern)
    spread = np.std(drawn, axis=0)
    assert stated.pinion_deviation == pytest.approx(spread[0], rel=0.08)
    assert stated.gear_deviation == pytest.approx(spread[1], rel=0.08)


def test_few_trials_leave_more_doubt_than_many():
    few = moves_from_pattern(learn_sensitivity(TRIALS), trial(-4e-5, 6e-5).pattern)
    many = moves_from_pattern(learn_sensitivity(TRIALS * 10), trial(-4e-5, 6e-5).pattern)
    assert many.gear_deviation < few.gear_deviation


def test_no_shims_without_measured_sensitivities():
    with pytest.raises(MissingError, match="sensitivities measured on this leg family"):
        moves_from_pattern(None, TRIALS[0].pattern)


def test_too_few_trials_are_refused():
    with pytest.raises(MissingError, match="two trials with known moves"):
        learn_sensitivity(TRIALS[:2])


def test_moves_that_do_not_differ_name_the_member_still_to_move():
    with pytest.raises(MissingError, match="move the gear alone"):
        learn_sensitivity([trial(0, 0), trial(5e-5, 0), trial(1e-4, 0)])
    with pytest.raises(MissingError, match="move the pinion alone"):
        learn_sensitivity([trial(0, 0), trial(0, 5e-5), trial(0, 1e-4)])


def test_learning_wants_both_flanks():
    half = PatternTrial(0, 0, SeenPattern("gear", SeenPatch(0.5, 0.5), None))
    with pytest.raises(MissingError, match="both"):
        learn_sensitivity([half, *TRIALS])


# ---- what several legs teach together ----------------------------------------------------------


def test_legs_with_other_bases_teach_what_none_of_them_does_alone():
    """On one leg only the pinion was moved, on the other only the gear: together it is enough."""
    elsewhere = BASE + np.array([0.08, -0.1, 0.06, -0.08])
    pinion = [trial(0, 0), trial(5e-5, 0)]
    gear = [trial(0, 0, base=elsewhere), trial(0, 1e-4, base=elsewhere)]
    for alone in (pinion, gear):
        with pytest.raises(MissingError):
            learn_from_legs([alone])
    learned = learn_from_legs([pinion, gear])
    assert learned.matrix == pytest.approx(TRUE)
    assert learned.base == pytest.approx(BASE)
    assert learned.residual < 1e-12
    # Taken as one leg, the other base would have been read as a move of the pattern.
    assert learn_sensitivity([*pinion, *gear]).residual > 0.01


def test_a_leg_seen_once_changes_nothing():
    once = [trial(3e-5, -4e-5, base=BASE + 0.2)]
    alone, more = learn_sensitivity(TRIALS), learn_from_legs([TRIALS, once])
    assert more.matrix == pytest.approx(alone.matrix)
    assert more.covariance == pytest.approx(alone.covariance)


def test_spread_of_the_rates_is_that_of_repeated_tapping_on_several_legs():
    """Monte Carlo: three legs, each with its own base, all centres tapped with a spread of 0.03."""
    rng = np.random.default_rng(11)
    moves = [[(0, 0), (1e-4, 0)], [(0, 0), (0, 1e-4)], [(0, 0), (5e-5, 0), (0, -1e-4)]]
    bases = [BASE, BASE + 0.05, BASE - 0.05]

    def legs():
        return [
            [trial(p, g, rng.normal(0, 0.03, 4), base) for p, g in leg]
            for leg, base in zip(moves, bases, strict=True)
        ]

    drawn = np.array([learn_from_legs(legs(), 0.03).matrix[0] for _ in range(3000)])
    stated = learn_from_legs(legs(), 0.03).covariance[1:, 1:]
    assert np.cov(drawn.T) == pytest.approx(stated, rel=0.1, abs=0.05 * stated.max())


def test_scatter_beyond_what_was_tapped_widens_the_doubt():
    rng = np.random.default_rng(3)
    places = [(p, g) for p in (-5e-5, 0, 5e-5) for g in (-5e-5, 0, 5e-5)]
    calm = learn_sensitivity([trial(p, g, rng.normal(0, 0.01, 4)) for p, g in places])
    wild = learn_sensitivity([trial(p, g, rng.normal(0, 0.09, 4)) for p, g in places])
    tapped = (SeenPatch(0.5, 0.5).along_doubt / 2) ** 2
    assert calm.covariance[1, 1] == pytest.approx(tapped / (6 * 25e-10))  # least squares by hand
    assert wild.covariance[1, 1] > 2 * calm.covariance[1, 1]
