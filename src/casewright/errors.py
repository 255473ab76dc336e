"""Every error that Casewright raises on purpose, as one tree.

    CasewrightError
    ├── InputError            something a person gave can't be taken as it stands
    │   ├── QuantityError     a number with a unit that can't be read, or of the wrong kind
    │   ├── RangeError        a value outside the range in which the question has an answer
    │   ├── MissingError      something needed was not given
    │   └── FormErrors        all mistakes of one form or file, found in one pass
    ├── SheetError            a drive sheet can't be used (holds its findings)
    ├── LogError              a job's log can't be read or taken further
    │   ├── BrokenChainError  the hash of an entry doesn't follow from the one before
    │   └── EntryRefusedError an entry that isn't possible as the job stands
    ├── LockedError           a step is locked; it opens with a reason
    ├── InfeasibleError       no choice satisfies what was asked (names what stands in the way)
    └── UnconvergedError      a computation did not reach its tolerance (holds its state)

A message names the field, what was given, what is expected and what to do. Each face
(terminal, page, report) translates the tree once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping


class CasewrightError(Exception):
    """Base of the tree; `exit_code` is what the terminal returns."""

    exit_code = 1


class InputError(CasewrightError):
    """Something a person gave can't be taken as it stands."""

    exit_code = 2

    def __init__(self, field: str, given: object, expected: str, remedy: str = "") -> None:
        self.field = field
        self.given = given
        self.expected = expected
        self.remedy = remedy
        super().__init__(self.sentence())

    def sentence(self) -> str:
        """The message as one line: field, given, expected, what to do."""
        head = f"{self.field}: got {self.given!r}, expected {self.expected}."
        return f"{head} {self.remedy}".strip()


class QuantityError(InputError):
    """A number with a unit that can't be read, or is of the wrong kind."""


class RangeError(InputError):
    """A value outside the range in which the question has an answer."""


class MissingError(InputError):
    """Something needed was not given."""

    def __init__(self, field: str, expected: str, remedy: str = "") -> None:
        super().__init__(field, None, expected, remedy)

    def sentence(self) -> str:
        """The message as one line."""
        return f"{self.field}: not given, expected {self.expected}. {self.remedy}".strip()


class FormErrors(InputError):
    """All mistakes of one form or file, found in one pass."""

    def __init__(self, form: str, mistakes: Iterable[InputError]) -> None:
        self.mistakes = tuple(mistakes)
        self.form = form
        super().__init__(form, f"{len(self.mistakes)} mistakes", "none", "")

    def sentence(self) -> str:
        """The mistakes, one a line."""
        return "\n".join(mistake.sentence() for mistake in self.mistakes)

    def by_field(self) -> Mapping[str, str]:
        """Field name to message, for a page that shows each beside its field."""
        return {mistake.field: mistake.sentence() for mistake in self.mistakes}


class SheetError(CasewrightError):
    """A drive sheet can't be used; `findings` holds every mistake with its line."""

    exit_code = 3

    def __init__(self, name: str, findings: Iterable[object]) -> None:
        self.name = name
        self.findings = tuple(findings)
        lines = "\n".join(str(finding) for finding in self.findings)
        super().__init__(f"{name}: {len(self.findings)} to mend\n{lines}")


class LogError(CasewrightError):
    """A job's log can't be read or taken further."""

    exit_code = 4


class BrokenChainError(LogError):
    """The hash of an entry doesn't follow from the one before."""

    def __init__(self, sequence: int, expected: str, found: str) -> None:
        self.sequence = sequence
        super().__init__(
            f"entry {sequence}: its hash is {found[:12]}…, expected {expected[:12]}…. "
            "The log was changed after it was written; take the last good copy, "
            "or keep reading it with `--broken-chain`, which says so on every page."
        )


class EntryRefusedError(LogError):
    """An entry that isn't possible as the job stands."""


class LockedError(CasewrightError):
    """A step is locked until something is done; it opens with a reason."""

    exit_code = 5

    def __init__(self, step: str, because: str) -> None:
        self.step = step
        self.because = because
        super().__init__(f"{step} is locked: {because}. Do that first, or open it with a reason.")


class InfeasibleError(CasewrightError):
    """No choice satisfies what was asked; `obstacles` names what stands in the way."""

    exit_code = 6

    def __init__(self, question: str, obstacles: Iterable[str]) -> None:
        self.question = question
        self.obstacles = tuple(obstacles)
        super().__init__(f"{question}: " + "; ".join(self.obstacles))


class UnconvergedError(CasewrightError):
    """A computation did not reach its tolerance; `state` holds where it stopped."""

    exit_code = 7

    def __init__(self, computation: str, **state: float) -> None:
        self.computation = computation
        self.state = state
        shown = ", ".join(f"{name} {value:.6g}" for name, value in state.items())
        super().__init__(f"{computation} did not converge ({shown})")
