"""What the cause room says: next check, likely stories, each cause with its reasons, remedies."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.phases.cause import CauseLine, CauseView, FindingLine, StoryLine
from casewright.reasoning.cause_checks import Check
from casewright.reasoning.cause_evidence import Weight
from casewright.voice.document import (
    Ask,
    Block,
    Card,
    Caution,
    Cell,
    Document,
    Facts,
    Field,
    Fold,
    Hatch,
    Say,
    Section,
    Table,
)
from casewright.voice.draw_cause import CauseBar, draw_causes
from casewright.voice.quantities import Style, say_chance, say_minutes

ANSWERS = (("yes", "yes"), ("no", "no"), ("unknown", "can't tell"))
OUTCOMES = (("done", "done"), ("overruled", "overruled"))
HATCH: dict[str, Hatch] = {"yes": "bad", "no": "good", "unknown": "unsure"}
# Weights under this many bits (a tenth in the odds) are left out.
LIGHT = 0.14
ESTIMATE = (
    "Chances follow from the family file, whose figures are practice values to be edited; they "
    "order what to check and mend, they prove nothing."
)


def say(view: CauseView, style: Style) -> Document:
    """The room's document."""
    if view.problem:
        section = Section("missing", "No family file", (Say(view.problem, "gap"),))
        return Document("cause", "Cause", None, (section,))
    sections = [
        Section("likely", "Why it failed", tuple(_likely(view))),
        Section("remedies", "Remedies before sign-off", tuple(_remedies(view))),
    ]
    if view.set_aside or view.surprises or view.differing or view.unused:
        sections.append(Section("odd", "What doesn't fit together", tuple(_odd(view))))
    if not view.signed:
        sections.append(Section("checks", "What to check next", tuple(_checks(view))))
    said = Cell(f"{view.answered} answered")
    sections.append(Section("findings", "Findings", tuple(_findings(view)), said))
    return Document("cause", "Cause", _card(view), tuple(sections))


def _card(view: CauseView) -> Card | None:
    """The next check that is worth its minutes; then the remedies that stand open."""
    if view.signed:
        return None
    check = view.next_check
    if check is not None:
        line = next(one for one in view.findings if one.key == check.finding)
        blocks: tuple[Block, ...] = (
            Say(_why(view, check)), *_cautions(line), _ask_finding(line),
        )  # fmt: skip
        return Card(f"{line.label}?", blocks, line.where)
    if view.open:
        cause = view.open[0]
        why = Say(f"{cause.label}: {say_chance(cause.chance)}. Left as it is, the leg comes back.")
        return Card(f"Mend the cause: {cause.remedy}", (why, _ask_remedy(cause)))
    return None


def _why(view: CauseView, check: Check) -> str:
    about = next(cause.label for cause in view.causes if cause.key == check.about)
    return (
        f"Worth {say_minutes(check.minutes)}: of all that can still be looked at it tells most for "
        f"its time, above all whether it was this: {about.lower()}."
    )


def _cautions(line: FindingLine) -> tuple[Caution, ...]:
    """What can hurt while this is looked at. Common practice, no source."""
    words = f"{line.label} {line.where}".lower()
    found = []
    if "propeller" in words or "blade" in words:
        found.append("Battery and ignition disconnected before hands come near the propeller.")
    if "leak" in words or "air" in words.split():
        found.append("Air stores energy: regulator and relief, stand aside of plugs.")
    if "dye" in words:
        found.append(
            "Dye and its cleaner burn: no flame or grinder until all is wiped off and dry."
        )
    if "oil" in words:
        found.append("Used oil is harmful: gloves.")
    return tuple(Caution(text) for text in found)


def _ask_finding(line: FindingLine) -> Ask:
    return Ask(
        "finding", line.label, "Record",
        (
            Field("words", "In words", "text"),
            Field("answer", "Seen?", "tap", choices=ANSWERS, needed=True),
        ),
        {"key": line.key, "occasion": "as-found"},
    )  # fmt: skip


def _ask_remedy(cause: CauseLine) -> Ask:
    return Ask(
        "remedy", cause.remedy, "Record",
        (
            Field("reason", "What was done, or why not", "text", needed=True),
            Field("outcome", "Remedy", "tap", choices=OUTCOMES, needed=True),
        ),
        {"cause": cause.key},
    )  # fmt: skip


def _likely(view: CauseView) -> Iterator[Block]:
    """Two or three stories in words, then bars, then what speaks for and against."""
    if not view.answered:
        yield Say("Nothing is answered yet: these are the usual chances for this duty.")
    else:
        for number, story in enumerate(view.stories):
            yield Say(_story(view, number, story), "lead" if number == 0 else "plain")
        if view.stories and view.stories[0].explains:
            seen = tuple((_capital(label), "yes") for label in view.stories[0].explains)
            yield Fold("What the first story explains", (Facts(seen),))
    if view.duty_note:
        yield Say(view.duty_note, "gap")
    shown = [cause for cause in view.causes if cause.evidence is not None]
    bars = tuple(
        CauseBar(cause.label, cause.prior, cause.chance, say_chance(cause.chance))
        for cause in shown
    )
    yield draw_causes(
        bars, view.threshold, "How likely each cause is; the mark: before any finding"
    )
    for cause in shown:
        if view.answered:
            yield Fold(f"{cause.label}: {say_chance(cause.chance)}", tuple(_reasons(cause)))
    rest = tuple(
        (cause.label, say_chance(cause.chance)) for cause in view.causes if cause not in shown
    )
    if rest:
        yield Fold(f"The other {len(rest)} causes", (Facts(rest),))
    yield Say(ESTIMATE, "estimate")


def _story(view: CauseView, number: int, story: StoryLine) -> str:
    """A story as one or two sentences; the others only in what sets them apart."""
    head = "Most likely" if number == 0 else "Or"
    roots = "; and ".join(_small(label) for label in story.roots) or "none of the named causes"
    said = f"{head}, {say_chance(story.chance)}: {roots}"
    if number == 0 and story.mechanisms:
        said += f". Then {', '.join(_small(label) for label in story.mechanisms)}"
    if number > 0:
        said += _apart(view.stories[0].mechanisms, story.mechanisms)
    return f"{said}."


def _apart(first: tuple[str, ...], other: tuple[str, ...]) -> str:
    """What happened in the leg in another way than in the first story."""
    more = [_small(label) for label in other if label not in first]
    less = [_small(label) for label in first if label not in other]
    if not (more or less):
        return ". In the leg the same followed"
    parts = [f"also {', '.join(more)}"] if more else []
    parts += [f"not {', '.join(less)}"] if less else []
    return f". In the leg then {'; '.join(parts)}"


def _small(label: str) -> str:
    return label[:1].lower() + label[1:]


def _capital(label: str) -> str:
    return label[:1].upper() + label[1:]


def _reasons(cause: CauseLine) -> Iterator[Block]:
    assert cause.evidence is not None
    yield Say(f"Before anything was found: {say_chance(cause.prior)}.")
    speaks_for = tuple(_weight(one) for one in cause.evidence.speaks_for if one.bits > LIGHT)
    against = tuple(_weight(one) for one in cause.evidence.speaks_against if one.bits < -LIGHT)
    columns = ("Finding", "Seen", "Its weight")
    yield Table("Speaks for it", columns, speaks_for[:8], "nothing of weight")
    yield Table("Speaks against it", columns, against[:8], "nothing of weight")
    yield Say(f"Remedy: {cause.remedy}.")


def _weight(one: Weight) -> tuple[str, Cell, str]:
    """Weight in words: what it does to the odds, beside all other findings."""
    seen = Cell("yes", "bad") if one.present else Cell("no", "good")
    if abs(one.bits) > 20:
        return one.label, seen, "settles it" if one.bits > 0 else "rules it out"
    factor = 2 ** abs(one.bits)
    shown = f"{factor:.1f}" if factor < 10 else f"{factor:.0f}"
    return one.label, seen, f"{shown} times {'likelier' if one.bits > 0 else 'less likely'} (odds)"


def _remedies(view: CauseView) -> Iterator[Block]:
    asked = [cause for cause in view.causes if cause.asks or cause.settled]
    rows = tuple(
        (
            cause.label,
            say_chance(cause.chance),
            cause.remedy,
            _settled(cause),
        )
        for cause in asked
    )
    empty = f"no cause is likelier than {say_chance(view.threshold)}"
    yield Table("", ("Cause", "Chance", "Remedy", "Stands"), rows, empty)
    for cause in view.open:
        yield _ask_remedy(cause)


def _settled(cause: CauseLine) -> Cell:
    if cause.settled is None:
        return Cell("open", "bad")
    body = cause.settled.body
    hatch: Hatch = "good" if body.outcome == "done" else "unsure"
    return Cell(body.outcome, hatch, f"{body.reason} ({cause.settled.who})")


def _odd(view: CauseView) -> Iterator[Block]:
    """Contradictions, said plainly; all stays and the rest is used."""
    if view.set_aside:
        names = "; ".join(view.set_aside)
        yield Say(
            f"No cause allows all findings together. Set aside, so that the rest can be used: "
            f"{names}. Look at these again.", "bad",
        )  # fmt: skip
    for one in view.surprises:
        answer = "seen" if one.present else "not seen"
        yield Say(
            f"{one.label}: {answer}, though all else lets one expect the contrary "
            f"({say_chance(one.chance_given_rest)}). Worth a second look.", "unsure",
        )  # fmt: skip
    for pair in view.differing:
        yield Say(
            f"{pair.label}: {pair.said.origin} says {pair.said.answer}, the {pair.derived.origin} "
            f"says {pair.derived.answer} ({pair.derived.words}). The person's word counts.",
            "unsure",
        )  # fmt: skip
    if view.unused:
        names = ", ".join(view.unused)
        yield Say(f"Findings that the family file doesn't know, kept and not used: {names}.", "gap")


def _checks(view: CauseView) -> Iterator[Block]:
    labels = {cause.key: cause.label for cause in view.causes}
    where = {line.key: line.where for line in view.findings}
    rows = tuple(
        (
            check.label,
            where[check.finding],
            say_minutes(check.minutes),
            labels[check.about],
            f"{10 * check.bits_per_minute:.2f}",
            _worth(check, view.currency),
        )
        for check in view.checks[:8]
    )
    columns = (
        "Check",
        "Where",
        "Takes",
        "Tells most about",
        "Bits in 10 min",
        "Money",
    )
    yield Table("", columns, rows, "everything that can still be looked at is answered")


def _worth(check: Check, currency: str) -> str:
    if check.saving <= 0.5:
        return "not by money alone"
    return f"saves about {check.saving:.0f} {currency} on average"


def _findings(view: CauseView) -> Iterator[Block]:
    """All answers with where they are from; all that is open, in any order, one touch each."""
    rows = tuple(
        (line.label, Cell(line.answer, HATCH[line.answer]), _origin(line), line.evidence.words)
        for line in view.findings
        if line.evidence
    )
    yield Table("", ("Finding", "Seen", "From", "In words"), rows, "nothing answered yet")
    for number, (title, lines) in enumerate(_rooms(view.findings)):
        asks = tuple(_ask_finding(line) for line in lines)
        yield Fold(f"{title}: {len(lines)} open", asks, key=f"look-{number}")
    again = tuple(_ask_finding(line) for line in view.findings if line.evidence)
    if again:
        yield Fold("Answer one of them anew", again, key="anew")


def _origin(line: FindingLine) -> str:
    assert line.evidence is not None
    return line.evidence.origin if line.evidence.by_person else f"from the {line.evidence.origin}"


def _rooms(lines: tuple[FindingLine, ...]) -> Iterator[tuple[str, tuple[FindingLine, ...]]]:
    """Open findings by where they are looked for; what can't be seen any more last."""
    waiting = [line for line in lines if not line.evidence]
    now = [line for line in waiting if not line.past]
    heads = dict.fromkeys(line.where.split(",")[0] or "anywhere" for line in now)
    for head in heads:
        mine = tuple(line for line in now if (line.where.split(",")[0] or "anywhere") == head)
        yield f"To look at, {head}", mine
    past = tuple(line for line in waiting if line.past)
    if past:
        yield "Hard to see now that the leg is apart", past
