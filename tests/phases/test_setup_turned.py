"""Nut and ring with their thread's pitch: turns, degrees and millimetres told as one."""

from __future__ import annotations

import pytest

from casewright.errors import FormErrors, QuantityError
from casewright.job import kinds
from casewright.job.entry import Entry
from casewright.job.rules import check_entry
from casewright.job.state import State
from casewright.job.turn_settings import read_setting
from casewright.phases.setup import ResponseLine, TurnedLine, first_to_turn, side_effects
from casewright.voice import say_setup
from casewright.voice.quantities import Style
from casewright.voice.say_setup_witness import how_far
from tests.phases.cast import MOMENT, job, sheet_text
from tests.phases.test_setup import card_texts, conditions, look

INCH = 25.4e-3
PITCH = 0.0625 * INCH


def read(key: str, value: str, trial: int, setting: str = "") -> kinds.Reading:
    """A counted reading with its setting."""
    held = conditions(job(sheet="whelk-4"), key)
    return kinds.Reading(
        target=key, values=(value,), occasion=f"trial-{trial}", conditions=held, setting=setting
    )


def line_of(state: State, adjuster: str, response: str) -> TurnedLine:
    """The line of one adjuster and response."""
    return next(
        x for x in look(state).turned
        if (x.adjuster.key, x.response.key) == (adjuster, response)
    )  # fmt: skip


@pytest.mark.parametrize(("play", "way"), [(0.006, "in"), (0.0001, "out")])
def test_one_reading_of_play_and_the_pitch_tell_how_far_to_turn(play: float, way: str) -> None:
    """Own screw: x turns in bring the cups x pitches together, and the play falls by as much."""
    state = job(read("output-play", f"{play} in", 1), sheet="whelk-4")
    line = line_of(state, "output-nut", "output-play")
    assert line.way == way and line.move is not None
    turns = line.move.move / PITCH
    assert play * INCH - turns * PITCH == pytest.approx(0.002 * INCH)
    said = how_far(line, Style({}))
    assert f"{abs(play - 0.002) / 0.0625:.2f} turns" in said and f"further {way}" in said
    assert "sheet's rate and the pitch" in said


def test_turns_degrees_and_millimetres_are_one_setting_with_a_pitch() -> None:
    """A quarter turn, 90 degrees and a quarter pitch: three names of one place."""
    rates = []
    for setting in ("0.25 turns", "90°", f"{0.25 * PITCH * 1e3:.6f} mm"):
        state = job(
            read("output-play", "0.0150 in", 1, "0 turns"),
            read("output-play", "0.0060 in", 2, setting),
            sheet="whelk-4",
        )
        line = line_of(state, "output-nut", "output-play")
        assert line.source == "trials" and line.rate is not None
        rates.append(line.rate.rate)
    assert rates == pytest.approx([0.009 * INCH / (0.25 * PITCH)] * 3, rel=1e-6)


def test_without_a_pitch_two_trials_are_needed_as_ever() -> None:
    bare = sheet_text("whelk-4").replace('pitch = "0.0625 in"\n', "")
    state = job(read("output-play", "0.006 in", 1, "0 turns"), sheet=bare)
    line = line_of(state, "output-nut", "output-play")
    assert line.rate is None and line.move is None


def test_a_torque_is_never_computed_from_a_pitch() -> None:
    text = sheet_text("whelk-4").replace(
        'sits = "between the two cones of the input shaft;',
        'pitch = "0.05 in"\nsits = "between the two cones of the input shaft;',
    )
    one = job(read("input-preload", "3 in·lb", 1, "0 turns"), sheet=text)
    assert line_of(one, "crush-sleeve", "input-preload").move is None
    two = job(
        read("input-preload", "3 in·lb", 1, "0 turns"),
        read("input-preload", "5 in·lb", 2, "0.02 turns"),
        sheet=text,
    )  # fmt: skip
    learned = line_of(two, "crush-sleeve", "input-preload")
    assert learned.source == "trials" and learned.rate is not None
    assert "for 0.01 mm, from 2 trials" in how_far(learned, Style({}))


def test_notches_are_whole_and_what_they_miss_is_said() -> None:
    """0.010 in too much lash at 0.9 in per in: 0.0111 in of travel, 4.27 of 24 notches."""
    state = job(read("box-lash", "0.018 in", 1), sheet="whelk-4")
    said = how_far(line_of(state, "gear-ring", "box-lash"), Style({}))
    assert "4 notches" in said and "short" in said


# ---- a ring that also takes up the play that the nut sets ---------------------------------------

CLOCK = ("12 o'clock", "3 o'clock", "6 o'clock", "9 o'clock")
DEPTH = (
    kinds.PackFitted(adjuster="depth-pack", occasion="trial-1", shims=("0.020 in", "0.010 in")),
    *(kinds.SignConfirmed(adjuster=key, says="so")
      for key in ("depth-pack", "crush-sleeve", "gear-ring", "output-nut")),
)  # fmt: skip


def lash(value: float, setting: str = "", occasion: str = "trial-1") -> kinds.Reading:
    """A counted lash at four places [in]."""
    held = conditions(job(sheet="whelk-4"), "box-lash")
    return kinds.Reading(
        target="box-lash", values=(f"{value:.4f} in",) * 4, at=CLOCK, occasion=occasion,
        conditions=held, setting=setting,
    )  # fmt: skip


class Box:
    """Two screws and a gear that no technician sees [in]: play falls with both, lash with one."""

    def __init__(self, play: float, lash: float, typed: bool) -> None:
        self.loose, self.open, self.typed = play, lash, typed
        self.nut = self.ring = 0.0

    @property
    def play(self) -> float:
        return self.loose - self.nut - self.ring

    @property
    def lash(self) -> float:
        return self.open - 0.9 * self.ring

    def at(self, travel: float) -> str:
        return f"{travel / 0.0625:.4f} turns" if self.typed else ""

    def read_play(self) -> kinds.Reading:
        return read("output-play", f"{max(self.play, 0.0):.4f} in", 1, self.at(self.nut))

    def read_lash(self) -> kinds.Reading:
        return lash(self.lash, self.at(self.ring))


def follow(box: Box) -> list[str]:
    """Does what each card says until the room says something else than turn or read."""
    true = kinds.Reading(
        target="pinion-depth", values=("2.2500 in",) * 3, occasion="trial-1",
        conditions=conditions(job(sheet="whelk-4"), "pinion-depth"),
    )  # fmt: skip
    told = [*DEPTH, true, read("input-preload", "6 in·lb", 1), box.read_play(), box.read_lash()]
    stages = []
    for _ in range(12):
        view = look(job(*told, sheet="whelk-4"))
        stages.append(view.stage)
        if view.stage == "read" and view.next_reading is not None:
            again = view.next_reading.response.key == "output-play"
            told.append(box.read_play() if again else box.read_lash())
            continue
        line = first_to_turn(view.turned, tuple(one.response.key for one in view.lines))
        if line is None or line.move is None:
            break
        for effect in side_effects(line, view.turned):
            box.nut += (effect.back or 0.0) / INCH
        on_nut = line.adjuster.key == "output-nut"
        box.nut += line.move.move / INCH if on_nut else 0.0
        box.ring += 0.0 if on_nut else line.move.move / INCH
        assert box.play > 0, "squeezed"
        told.append(box.read_play() if on_nut else box.read_lash())
    return stages


@pytest.mark.parametrize("typed", [True, False])
@pytest.mark.parametrize(
    ("play", "gap"), [(0.010, 0.014), (0.002, 0.014), (0.010, 0.003), (0.0005, 0.012), (0.02, 0.02)]
)
def test_ring_and_nut_end_truly_in_their_windows(play: float, gap: float, typed: bool) -> None:
    """Own two screws, the sheet's windows: stop is told only where play and lash are both in."""
    box = Box(play, gap, typed)
    stages = follow(box)
    assert stages[-1] == "stop" and len(stages) <= 8
    assert 0.001 <= box.play <= 0.003
    assert 0.006 <= box.lash <= 0.010


def test_play_read_before_the_ring_was_turned_is_read_again() -> None:
    before = (read("output-play", "0.0020 in", 1), lash(0.014))
    assert not any(one.why_not for one in play_line(*before).now)
    line = play_line(*before, lash(0.008))
    assert [one.why_not for one in line.now] == ["read before the threaded bearing ring was turned"]
    assert not line.read_now
    assert play_line(*before, lash(0.008), read("output-play", "0.0020 in", 1)).read_now


def play_line(*bodies: kinds.Reading) -> ResponseLine:
    """How the play stands."""
    lines = look(job(*bodies, sheet="whelk-4")).lines
    return next(one for one in lines if one.response.key == "output-play")


def test_one_adjuster_sets_a_response_and_the_other_only_moves_it() -> None:
    """Two that each take all of the play away would take it twice."""
    state = job(read("output-play", "0.010 in", 1), sheet="whelk-4")
    ring, nut = (line_of(state, key, "output-play") for key in ("gear-ring", "output-nut"))
    assert nut.wrong and nut.sets and not ring.wrong and not ring.sets
    assert "turns" not in how_far(ring, Style({}))


def test_what_the_ring_did_to_the_play_teaches_nothing_of_the_nut() -> None:
    """0.0067 in of the ring and 0.0013 in of the nut: the nut's own rate stays one to one."""
    state = job(
        read("output-play", "0.0100 in", 1, "0 turns"), lash(0.014, "0 turns"),
        lash(0.008, "0.1067 turns"), read("output-play", "0.0033 in", 1, "0 turns"),
        read("output-play", "0.0023 in", 1, "0.016 turns"), sheet="whelk-4",
    )  # fmt: skip
    line = line_of(state, "output-nut", "output-play")
    assert line.rate is not None and line.trials == 2
    assert line.rate.rate == pytest.approx(1.0, rel=1e-6)


def test_a_reading_without_its_setting_is_gone_on_from() -> None:
    """0.009 in of play went in a quarter turn; 0.004 in is left: 0.002 in more, not 0.004."""
    state = job(
        read("output-play", "0.0150 in", 1, "0 turns"),
        read("output-play", "0.0060 in", 1, "0.25 turns"),
        read("output-play", "0.0040 in", 1), sheet="whelk-4",
    )  # fmt: skip
    line = line_of(state, "output-nut", "output-play")
    assert line.move is not None
    assert line.move.move / PITCH == pytest.approx(0.25 * 0.002 / 0.009)


def test_stop_says_what_no_forecast_covers_as_it_was_read() -> None:
    box = Box(0.0028, 0.008, True)
    bodies = [*DEPTH, read("pinion-depth", "2.2500 in", 1), read("input-preload", "6 in·lb", 1),
              box.read_play(), box.read_lash()]  # fmt: skip
    view = look(job(*bodies, sheet="whelk-4"))
    card = say_setup.say(view, Style({"length": "in"})).card
    assert view.stage == "stop" and card is not None
    words = "\n".join(card_texts(card))
    assert "All windows hold" not in words
    assert "Output shaft end play was read inside its window: 0.0028 in, so near the edge" in words


def test_a_final_lash_is_turned_in_place_and_only_what_the_ring_moves_is_read_again() -> None:
    """A ring under the gear doesn't move the pinion: its height stands."""
    held = {key: conditions(job(sheet="whelk-4"), key) for key in ("pinion-depth", "input-preload")}
    final = [
        kinds.PackFitted(adjuster="depth-pack", occasion="final", shims=("0.020 in", "0.010 in")),
        kinds.Reading(target="pinion-depth", values=("2.25 in",) * 3, occasion="final",
                      conditions=held["pinion-depth"]),
        kinds.Reading(target="input-preload", values=("6 in·lb",), occasion="final",
                      conditions=held["input-preload"]),
        read("output-play", "0.002 in", 1).model_copy(update={"occasion": "final"}),
        lash(0.012, occasion="final"),
    ]  # fmt: skip
    state = job(*DEPTH, *final, sheet="whelk-4")
    card = say_setup.say(look(state), Style({})).card
    assert card is not None and look(state).stage == "final outside"
    words = "\n".join(card_texts(card))
    assert "turn it in (tighter), the threaded bearing ring" in words
    assert "First turn the output bearing nut out" in words
    turned = kinds.PackFitted(adjuster="gear-ring", occasion="final", setting="1.1 turns")
    lines = look(job(*DEPTH, *final, turned, sheet="whelk-4")).lines
    unread = {one.response.key for one in lines if not one.final_read}
    assert unread == {"output-play", "box-lash"}


@pytest.mark.parametrize(
    ("text", "turns"),
    [("2.25 turns", 2.25), ("1 turn", 1.0), ("1/4 turn", 0.25), ("-0.5 turns", -0.5),
     ("3 notches", 3 / 24), ("−1 notch", -1 / 24)],
)  # fmt: skip
def test_a_setting_is_read_as_people_type_it(text: str, turns: float) -> None:
    """24 notches a turn, as the sheet has it; farther out than the start is less than nothing."""
    assert read_setting(text, 24).value == pytest.approx(turns)


@pytest.mark.parametrize("text", ["nonsense", "2", "a quarter", "3 notches"])
def test_a_setting_that_cant_be_read_is_refused_at_its_field(text: str) -> None:
    """The nut has no notches in the sheet; a bare number may be turns or millimetres."""
    body = read("output-play", "0.002 in", 1, text).model_dump(mode="json")
    if text != "3 notches":  # the ring, which moves it too, has notches
        with pytest.raises(FormErrors, match="setting"):
            check_entry(job(sheet="whelk-4"), Entry("e", "reading", body, "AB", MOMENT))
    with pytest.raises(QuantityError):
        read_setting(text)


def test_settings_counted_the_wrong_way_teach_nothing_and_it_is_said() -> None:
    """Tighter as it is turned out: no rate, and why."""
    at = [read("input-preload", f"{value} in·lb", 1, setting)
          for value, setting in (("3", "1 turn"), ("5", "0.9 turns"))]  # fmt: skip
    line = line_of(job(*at, sheet="whelk-4"), "crush-sleeve", "input-preload")
    assert line.rate is None and "more is further in" in how_far(line, Style({}))
