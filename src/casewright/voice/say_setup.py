"""What set-up says: the next thing on its card, then every number that it stands on."""

from __future__ import annotations

from dataclasses import replace

from casewright.phases.setup import ResponseLine, SetupView
from casewright.reasoning.shim_choice import Advice, Choice
from casewright.voice.document import (
    Block,
    Cell,
    Document,
    Fold,
    Link,
    Say,
    Section,
    Table,
)
from casewright.voice.quantities import Style, say_chance, say_minutes
from casewright.voice.quantities import say as say_value
from casewright.voice.say_setup_bearings import bearings_section
from casewright.voice.say_setup_cards import card
from casewright.voice.say_setup_pattern import pattern_section
from casewright.voice.say_setup_readings import readings_section, windows_picture
from casewright.voice.say_setup_seats import (
    dry_section,
    packs_section,
    shelf_section,
    signs_section,
)
from casewright.voice.say_setup_witness import (
    turned_section,
)
from casewright.voice.say_setup_words import (
    big,
    interval,
    named,
    price_words,
    response_name,
    shim,
    thickness,
)


def say(view: SetupView, style: Style) -> Document:
    """The room's document."""
    final = view.stage.startswith("final") or view.stage == "done"
    made = (
        readings_section(view, style),
        packs_section(view, style),
        _advice_section(view, style),
        turned_section(view, style),
        pattern_section(view, style),
        _until(final, _final_section(view, style), "after the trials"),
        _until(view.stage == "dry", dry_section(view, style), _dry_done(view)),
        _until(not view.shelf_rows, shelf_section(view, style), _shelf_left(view)),
        _until(view.stage == "signs", signs_section(view, style), _signs_done(view)),
        _until(False, bearings_section(view, style), "estimates"),
        _until(False, _order_section(view), say_minutes(view.trial_minutes)),
    )
    return Document(
        "setup", "Set-up", card(view, style), tuple(one for one in made if one is not None),
        beside=windows_picture(view, style), tags=_tags(view, style),
    )  # fmt: skip


def _until(now: bool, section: Section | None, else_: str) -> Section | None:
    """A section that stands open while the bench is at it; else folded, with a word on it."""
    return section if now or section is None else replace(section, fold=Cell(else_))


def _dry_done(view: SetupView) -> str:
    read = sum(1 for line in view.dry if line.difference is not None)
    return f"{read} of {len(view.dry)} dimensions read old and new"


def _shelf_left(view: SetupView) -> str:
    return f"{sum(left for _, _, left, _ in view.shelf_rows)} left of those counted"


def _signs_done(view: SetupView) -> str:
    agreed = sum(1 for walk in view.walks if walk.agreed)
    return f"{agreed} of {len(view.walks)} confirmed"


def _tags(view: SetupView, style: Style) -> dict[str, str]:
    """Each seat's pack for the map: as fitted now (else as found), and what it is to become."""
    found = {}
    for seat in view.seats:
        now = pack.total if (pack := seat.now or seat.as_found) else None
        changes = seat.change or (seat.advised and seat.now is None)
        fits = changes and not seat.recorded and view.stage in ("fit", "change")
        told = thickness(seat.advised_total, style) if fits else ""
        was = "" if now is None else shim(now, style) if told else thickness(now, style)
        found[seat.adjuster.position] = " → ".join(one for one in (was, told) if one)
    return found


def _advice_section(view: SetupView, style: Style) -> Section:
    """What to do and why: chances, runners-up, what the trial costs, what stands in the way."""
    blocks: list[Block] = []
    plan = view.plan
    if plan is None:
        return Section("advice", "What to fit", (Say(_no_plan(view), "gap"),))
    if plan.stop is not None and not view.stage.startswith("final"):
        word = {"stop": "In window: stop", "change packs": "Change packs",
                "read again": "Not sure: read again"}[plan.stop.word]  # fmt: skip
        reasons = "; ".join(named(view, one) for one in plan.stop.reasons)
        reasons = reasons.removeprefix("in window, and ")
        blocks += [Say(f"{word}. {big(reasons)}.", "lead"), Say(price_words(view), "estimate")]
    if plan.suspect:
        blocks.append(Say(_suspect_words(view), "unsure"))
    elif plan.set_aside:
        name = response_name(view, plan.set_aside)
        blocks.append(
            Say(f"One reading of the {name} is left out: the one after it fits.", "unsure")
        )
    blocks += _choices(view, style)
    blocks += _cannot(view, style)
    if not blocks:
        blocks.append(Say("No pack is told until every adjuster's way is confirmed."))
    return Section("advice", "What to fit, and when to stop", tuple(blocks))


def _no_plan(view: SetupView) -> str:
    if not view.walks:
        return "the sheet has no adjusters: readings are kept, no pack is told."
    return (
        "no window that a pack could bring in: readings are kept, no verdict, no pack is told. "
        "Add a limit to a response, here or in the sheet."
    )


def _suspect_words(view: SetupView) -> str:
    assert view.plan is not None
    name = response_name(view, view.plan.suspect)
    mine = [abs(s) for r, s in view.plan.surprises if r == view.plan.suspect]
    off = max(mine, default=0.0)
    return (
        f"The reading of the {name} doesn't fit the others: {off:.1f} standard deviations off. "
        "It is named, not averaged in; wrong with a chance of "
        f"{say_chance(view.plan.suspect_chance)}. Read it again: one that agrees clears it."
    )


def _choices(view: SetupView, style: Style) -> list[Block]:
    """The best packs and two runners-up, with each window's chance; after "stop" too."""
    plan = view.plan
    if plan is None or plan.weighed is None:
        return []
    weighed = plan.weighed
    names = {walk.adjuster.key: walk.adjuster.name for walk in view.walks}
    choices = (weighed.best, *weighed.runners_up)
    untold = {seat.adjuster.key for seat in view.seats if seat.untold}
    named_choices = list(zip(("best", "second", "third"), choices, strict=False))
    if weighed.present is not None:
        named_choices.append(("fitted now", weighed.present))
    rows = [
        (
            name,
            *("not told" if key in untold else thickness(size, style)
              for key, size in zip(plan.seats, one.thickness, strict=True)),
            say_chance(one.chance),
        )
        for name, one in named_choices
    ]  # fmt: skip
    columns = ("Packs", *(names[key] for key in plan.seats), "All windows hold")
    note = Say(
        f"{_proof(weighed)} Ties go to the fewest shims. A builder of the old packs is taken to "
        "have aimed at the middles, and a seat's doubt to be shared evenly by its pieces. To stop, "
        "the lower chance counts: this, or a doubter's, for whom the first guess is twice as wide.",
        "estimate",
    )
    runners = Fold("Runners-up", (Table("", columns, tuple(rows)), note))
    if plan.advice is None:
        return [runners]
    return [_expected(view, weighed.best, style), runners]


def _proof(weighed: Advice) -> str:
    """Whether the best is proven to be, or how much more other packs could hold at most."""
    if weighed.proven:
        return "Proven: no packs of the shelf hold all windows more likely."
    return (
        "Not proven to be the best: other packs of the shelf might hold all windows by up to "
        f"{100 * weighed.gap:.1f} in 100 more."
    )


def _expected(view: SetupView, best: Choice, style: Style) -> Table:
    rows = tuple(
        (
            response_name(view, one.name), interval(one, _dimension(view, one.name), style),
            _window(view, one.name), Cell(say_chance(one.chance)),
        )
        for one in best.forecasts
    )  # fmt: skip
    return Table("With the best packs", ("Response", "19 times in 20", "Window", "Holds"), rows)


def _dimension(view: SetupView, key: str) -> str:
    return next(x.limits.dimension for x in view.lines if x.response.key == key)


def _window(view: SetupView, key: str) -> str:
    return next(x.limits.printed for x in view.lines if x.response.key == key)


def _cannot(view: SetupView, style: Style) -> list[Block]:
    """Windows that no pack reaches, by how much, and what would explain it."""
    plan = view.plan
    if plan is None:
        return []
    blocks: list[Block] = []
    for gap in plan.gaps:
        if gap.side == "too uncertain":
            continue
        beyond = say_value(gap.beyond, _dimension(view, gap.response), style)
        blocks.append(
            Say(f"No pack brings the {response_name(view, gap.response)} into its window: "
                f"{beyond} {gap.side} it at best.", "bad")
        )  # fmt: skip
    if plan.explanations:
        rows = tuple(
            (big(named(view, one.name)), say_chance(one.chance), named(view, one.check))
            for one in plan.explanations
        )
        blocks.append(
            Fold("What would explain it", (
                Say("If the readings stand: ranked by how well each fits them; how often each "
                    "happens is assumed.", "estimate"),
                Table("", ("Explanation", "Chance", "Look"), rows),
            ), bool(blocks))
        )  # fmt: skip
    return blocks


def _final_section(view: SetupView, style: Style) -> Section | None:
    """The final build's readings, judged by themselves."""
    if not view.lines:
        return None
    rows = tuple(
        (
            line.response.name, line.final.limits.printed,
            say_value(line.final.mean, line.limits.dimension, style.near(line.limits))
            if line.final.values else "",
            _final_cell(line),
        )
        for line in view.lines
    )  # fmt: skip
    note = Say(
        "Trials don't count here: one-time parts and compound are in, and each is read again."
    )
    table = Table("", ("Response", "Window as printed", "Read", "Final"), rows)
    done = (Link("On to proof", "proof"),) if view.stage == "done" else ()
    return Section("final", "Final build", (note, table, *done))


def _final_cell(line: ResponseLine) -> Cell:
    word = line.final.word
    if word == "missing":
        return (
            Cell("read again", "next", line.final.why) if line.final.why else Cell("not read yet")
        )
    if word == "inside" and any(t.occasion == "final" and not t.counts for t in line.readings):
        counted = any(t.occasion == "final" and t.counts for t in line.readings)
        if not counted:
            return Cell("inside, but its conditions weren't all said to hold", "unsure")
    if word == "inside":
        return Cell("inside, at the edge" if line.final.at_edge else "inside",
                    "unsure" if line.final.at_edge else "good")  # fmt: skip
    return Cell(word, "gap" if word == "no window" else "bad")


def _order_section(view: SetupView) -> Section | None:
    if not view.steps:
        return None
    rows = tuple(
        (str(index), does, "; ".join(conditions))
        for index, (does, conditions) in enumerate(view.steps, start=1)
    )
    title = "The sheet's order of one assembly"
    return Section("order", title, (Table("", ("Step", "What", "Conditions"), rows),))
