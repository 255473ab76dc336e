"""Oil fill and anodes of the final build, judged; proof and hand-over both read them."""

from __future__ import annotations

from dataclasses import dataclass

from casewright.drive.schema import Anode
from casewright.errors import CasewrightError
from casewright.job.kinds import AnodeRead, OilFilled
from casewright.job.state import Kept, State
from casewright.mechanics.anode_design import AnodeLook, look_at_anode
from casewright.mechanics.corrosion import Protection, judge_bond, judge_potential
from casewright.mechanics.oil import Fill, check_fill
from casewright.units import parse

SEA_WATER_CELL = "silver chloride sea water"


@dataclass(frozen=True, slots=True)
class OilLine:
    """The fill against the capacity, with what of the level procedure wasn't kept."""

    kept: Kept[OilFilled] | None
    filled: float | None
    capacity: float | None
    fill: Fill | None
    problems: tuple[str, ...]

    @property
    def is_good(self) -> bool:
        """Whether the fill is recorded and nothing speaks against it."""
        return self.kept is not None and not self.problems


@dataclass(frozen=True, slots=True)
class AnodeLine:
    """An anode's last reading judged; `problems` say what speaks against it."""

    anode: Anode
    kept: Kept[AnodeRead] | None
    protection: Protection | None
    bond: float | None
    bond_word: str
    look: AnodeLook | None
    problems: tuple[str, ...]

    @property
    def is_good(self) -> bool:
        """Whether it was read and nothing speaks against it."""
        return self.kept is not None and not self.problems


def oil_line(state: State) -> OilLine:
    """The oil fill of this job."""
    oil, kept = state.lookup.sheet.oil, state.oil
    capacity = oil.capacity.value if oil.capacity else None
    if kept is None:
        return OilLine(None, None, capacity, None, ())
    filled, fill, problems = None, None, list(_procedure(state, kept.body))
    try:
        filled = parse(kept.body.volume, "volume", kept.body.unit or "L", "oil filled").value
        if capacity:
            fill = check_fill(filled, capacity)
            if fill.word != "full":
                problems.insert(0, f"{fill.word}: {fill.advice[0]}")
    except CasewrightError as error:
        problems.insert(0, str(error))
    return OilLine(kept, filled, capacity, fill, tuple(problems))


def _procedure(state: State, body: OilFilled) -> list[str]:
    """Steps of the level procedure that the record doesn't show."""
    problems = []
    if not body.upper_plug_first:
        problems.append("Not said that the upper plug was in before the pump came off below.")
    rest = state.lookup.sheet.oil.rest
    if rest is not None:
        try:
            rested = parse(body.rested, "time", "min", "rest").value if body.rested else 0.0
        except CasewrightError as error:
            return [*problems, str(error)]
        if rested < rest.value * (1 - 1e-9):
            problems.append(f"Rested {body.rested or 'no time'}; the sheet asks for {rest.text}.")
    if not body.level_checked:
        problems.append("The level was not checked again after the rest.")
    grade = state.lookup.sheet.oil.grade
    if grade and body.grade and _bare(grade) != _bare(body.grade):
        problems.append(f"Filled with {body.grade}; the sheet asks for {grade}.")
    return problems


def _bare(grade: str) -> str:
    """The number of a viscosity grade where it has one, else the words in small letters."""
    digits = "".join(c if c.isdigit() else " " for c in grade).split()
    return digits[0] if digits else grade.lower().strip()


def anode_line(state: State, anode: Anode, occasions: tuple[str, ...] = ("final",)) -> AnodeLine:
    """The last reading of one anode on the given occasions, judged."""
    found = [k for k in state.anodes if k.body.anode == anode.key and k.body.occasion in occasions]
    if not found:
        return AnodeLine(anode, None, None, None, "", None, ())
    body, problems = found[-1].body, []
    protection = bond = look = None
    word = ""
    try:
        if body.potential:
            volts = parse(body.potential, "potential", "mV", "potential").value
            protection = judge_potential(volts, body.electrode or SEA_WATER_CELL)
            if protection.word != "protected":
                problems += [protection.word, *protection.findings]
        if body.bond:
            bond = parse(body.bond, "resistance", "Ω", "bond").value
            word, more = _bond(bond, anode)
            problems += more
        look = look_at_anode(_left(body.left), 1.0, body.painted, bond, anode.alloy)
        problems += [one for one in look.findings if one not in problems]
    except CasewrightError as error:
        problems.append(str(error))
    return AnodeLine(anode, found[-1], protection, bond, word, look, tuple(dict.fromkeys(problems)))


def _bond(bond: float, anode: Anode) -> tuple[str, list[str]]:
    """The bond in a word; the sheet's own limit comes before the common one."""
    if anode.bond_most is not None:
        good = bond <= anode.bond_most.value * (1 + 1e-9)
        word = "good" if good else "too high"
        return word, [] if good else [f"The bond is over the sheet's {anode.bond_most.text}."]
    word = judge_bond(bond)
    return word, [] if word == "good" else [f"The bond is {word}: bare metal, clean strap."]


def _left(text: str) -> float | None:
    """The share of the anode that is left; None where it wasn't said."""
    return parse(text, "ratio", "%", "left of the anode").value if text else None
