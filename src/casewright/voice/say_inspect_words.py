"""Small words that the inspection's sections share: marks, numbers with doubt, why a verdict."""

from __future__ import annotations

from collections.abc import Iterator

from casewright.phases.inspect import FeatureLine, PieceLine
from casewright.reasoning.conformity import Outcome
from casewright.voice.document import Caution, Cell, Hatch, Tone
from casewright.voice.quantities import Style, say_chance, say_pm, say_window
from casewright.voice.quantities import say as say_value

HATCH: dict[str, Hatch] = {
    "use again": "good", "rework": "unsure", "read again": "unsure", "replace": "bad",
}  # fmt: skip
TONE: dict[str, Tone] = {"use again": "good", "replace": "bad"}
LOOK_HATCH: dict[str, Hatch] = {"as new": "good", "worn, usable": "good", "replace": "bad"}
PROOF = {
    Outcome.CONFORMING: "proved inside",
    Outcome.NON_CONFORMING: "proved outside",
    Outcome.NOT_PROVEN: "not proven either way",
}
LOOKS = (("as new", "as new"), ("worn, usable", "worn, usable"), ("replace", "replace"))


def decision_cell(decision: str, note: str = "") -> Cell:
    """A decision as a word with its hatching."""
    return Cell(decision, HATCH.get(decision, "gap"), note)


def capital(words: str) -> str:
    """With a capital at the start."""
    return words[:1].upper() + words[1:]


def why_open(piece: PieceLine) -> str:
    """Why a piece has no verdict yet: what is left to read, or that a person has to say it."""
    if piece.open:
        return f"{len(piece.open)} to read or look at"
    if piece.severe:
        return f"severe damage ({', '.join(piece.severe)}): only your word lets it run again"
    return "nothing more to read: your word decides" if piece.asks_word else "nothing read yet"


def read_words(line: FeatureLine, style: Style) -> str:
    """What was read, with its doubt (95 %); what was seen for a look."""
    if line.look is not None and line.verdict is None:
        body = line.look.body
        return f"{body.look}: {body.words}" if body.words else body.look
    if line.verdict is None:
        return "not looked at yet" if line.is_look else "not read yet"
    stands = line.verdict.measured.stands
    if stands.sized is None:
        return "kept, can't be judged"
    if stands.sized.budget is None:
        values = (say_value(v, line.limits.dimension, style) for v in stands.values)
        return ", ".join(values)
    found = stands.sized.budget
    shown = say_pm(found.value, found.expanded_uncertainty, line.limits.dimension, style)
    return f"{shown} ({stands.sized.what})"


def window_words(line: FeatureLine, style: Style) -> str:
    """The limits as the person likes them; what a look is to look for."""
    if line.is_look:
        return line.feature.look_for or "by eye"
    return say_window(line.limits.low, line.limits.high, line.limits.dimension, style)


def outcome_cell(line: FeatureLine) -> Cell:
    """What reading or look says of the feature."""
    if line.verdict is None:
        if line.look is not None:
            return Cell(line.look.body.look, LOOK_HATCH[line.look.body.look])
        return Cell("open", "next")
    if not line.limits.known:
        return Cell("no limit: kept, no verdict", "gap")
    found = line.verdict.verdict
    if found is None:
        return Cell("can't be judged", "gap")
    detail = (
        f"{found.choice.value}: {_detail(found.detail)}" if found.detail else found.choice.value
    )
    return Cell(detail, HATCH[found.choice.value], PROOF[found.outcome])


def _detail(detail: str) -> str:
    return detail.replace("-", " ") if detail.islower() and " " not in detail else detail


def inside_words(line: FeatureLine) -> str:
    """The chance that it is truly inside its limits."""
    found = line.verdict.measured.stands.conformance if line.verdict else None
    if found is None and line.is_look:
        return "by eye"
    return say_chance(found.inside) if found else ""


def cautions(line: FeatureLine, kind: str) -> Iterator[Caution]:
    """What can hurt while a feature is looked at or read. Common practice, no source."""
    words = f"{line.feature.look_for} {line.feature.name}".lower()
    if "dye" in words or "crack" in words:
        yield Caution(
            "Dye and its cleaner burn and their vapour is bad to breathe: open air, gloves, no "
            "flame or grinder until the part is wiped off and dry."
        )
    if line.feature.kind == "run-out":
        yield Caution("Turn the shaft by hand only, battery off, sleeves and hair away from it.")
    if kind == "housing" and line.feature.kind in ("bore", "flatness", "squareness"):
        yield Caution("A case on the bench rolls: block it. Two people for what one can't hold.")
