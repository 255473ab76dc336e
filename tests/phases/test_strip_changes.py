"""What the latest entry changed: settings and bench additions count as well as steps."""

from __future__ import annotations

from casewright.job import kinds
from casewright.job.strip_changes import before_last
from casewright.phases import strip
from casewright.phases.strip.costs import waiting_day
from casewright.voice.plain import texts
from casewright.voice.rooms import document
from tests.phases.cast import SETTINGS, job
from tests.phases.test_strip import PREPARED, TO_CARRIER, done, wanted
from tests.phases.test_strip_ladder import STUCK, setting

AT_IT = [*done(*TO_CARRIER), STUCK]


def added(key: str = "bench-joint-1") -> kinds.SheetAdded:
    """A joint that no sheet lists, put on the list at the bench."""
    position = job().lookup.sheet.joints[0].holds[0]
    item = {"key": key, "name": "line cutter off", "kind": "other", "holds": [position]}
    return kinds.SheetAdded(table="joints", item={**item, "minutes": 10}, because="found there")


def test_a_joint_added_at_the_bench_is_new_in_the_list_and_said_so() -> None:
    view = strip.view(job(added()), SETTINGS)
    assert view.changed == "line cutter off: added at the bench"
    assert [line.key for line in view.lines if line.mark == "new here"] == ["bench-joint-1"]


def test_wanting_only_one_thing_out_says_what_is_no_longer_needed() -> None:
    full, few = strip.view(job(), SETTINGS), strip.view(job(wanted("propeller-off")), SETTINGS)
    assert few.changed == "set: what has to come out"
    assert set(few.gone) == {line.name for line in full.lines if line.kind == "joint"} - {
        line.name for line in few.lines
    }
    assert "no longer needed" in "\n".join(texts(document("strip", job(wanted("propeller-off")),
                                                           SETTINGS)))  # fmt: skip


def test_a_protected_piece_changes_the_ladder_and_the_old_order_stands_beside_it() -> None:
    place = strip.view(job(*AT_IT), SETTINGS).stuck[0].pieces
    key = next(one.positions[0] for one in place if one.positions and "housing" not in one.id)
    guarded = job(*AT_IT, setting("protect", key))
    assert before_last(guarded)[1] == "set: what is protected"
    assert strip.view(guarded, SETTINGS).stuck[0].before is not None


def test_a_setting_of_another_room_changes_nothing_here() -> None:
    state = job(*done(*PREPARED), setting("owner-ceiling", "900"))
    assert before_last(state)[1] != "" and "ceiling" not in before_last(state)[1]


def test_the_rate_before_the_latest_setting_is_the_shops_own() -> None:
    state = job(*AT_IT, setting("hourly-rate", "120"))
    before, event = before_last(state)
    assert event == "set: the price of an hour" and "hourly-rate" not in before.settings
    assert SETTINGS.with_job(state.settings).hourly_rate == 120
    assert SETTINGS.with_job(state.settings).with_job(before.settings).hourly_rate == 60


def test_waiting_that_nobody_priced_counts_half_a_bench_hour_a_day_and_is_asked_for() -> None:
    assert waiting_day(SETTINGS) == SETTINGS.hourly_rate / 2
    said = "\n".join(texts(document("strip", job(*AT_IT), SETTINGS)))
    assert "What a day of waiting costs isn't said" in said
    free = job(*AT_IT, setting("waiting-per-day", "0"))
    assert "isn't said" not in "\n".join(texts(document("strip", free, SETTINGS)))
    assert waiting_day(SETTINGS.with_job(free.settings)) == 0
