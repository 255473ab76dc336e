"""A quantity in a sheet: kept as printed, its SI value derived; wrong kinds refused by name."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from casewright.errors import InputError
from casewright.units import parse, parse_any

# A comma with a space after it, or a semicolon; "20,5" is a decimal comma.
_BETWEEN = re.compile(r";\s*|,\s+")


@dataclass(frozen=True, slots=True)
class Measure:
    """`text` as printed in the source; `value` in SI; `unit` and `dimension` as read."""

    text: str
    value: float
    unit: str
    dimension: str

    def __str__(self) -> str:
        return self.text


@dataclass(frozen=True, slots=True)
class Of:
    """Pydantic marker: a Measure of this dimension ("" for any, told by its unit).

    `signed` measures are changes, which may be negative although the quantity can't.
    """

    dimension: str = ""
    signed: bool = False

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            self.read, serialization=core_schema.plain_serializer_function_ser_schema(str)
        )

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        what = self.dimension or "quantity"
        return {"type": "string", "description": f"a {what} with its unit, like '0.25 mm'"}

    def read(self, given: object) -> Measure:
        """Text with a unit as a Measure; ValueError with the remedy otherwise."""
        if isinstance(given, Measure):
            return given
        if not isinstance(given, str):
            raise ValueError(f"expected text with a unit in quotes, like '0.25 mm', got {given!r}")
        sign = -1 if self.signed and given.lstrip().startswith(("-", "−")) else 1
        text = given.lstrip()[1:] if sign < 0 else given
        try:
            found = parse(text, self.dimension) if self.dimension else parse_any(text)
        except InputError as error:
            raise ValueError(f"expected {error.expected}. {error.remedy}") from None
        return Measure(given, sign * found.value, found.unit, found.dimension)


def several(given: object) -> object:
    """One text with several quantities, "20, 150, 300 mm", as a list; the last unit is for all.

    >>> several("20, 150, 300 mm")
    ['20 mm', '150 mm', '300 mm']
    """
    if not isinstance(given, str):
        return given
    parts = [part.strip() for part in _BETWEEN.split(given.strip()) if part.strip()]
    unit = parts[-1].lstrip("+-0123456789., ") if parts else ""
    return [part if part.lstrip("+-0123456789., ") else f"{part} {unit}" for part in parts]


Length = Annotated[Measure, Of("length")]
Offset = Annotated[Measure, Of("length", signed=True)]
Torque = Annotated[Measure, Of("torque")]
Pressure = Annotated[Measure, Of("pressure")]
Temperature = Annotated[Measure, Of("temperature")]
Force = Annotated[Measure, Of("force")]
Thrust = Annotated[Measure, Of("force", signed=True)]
Mass = Annotated[Measure, Of("mass")]
Volume = Annotated[Measure, Of("volume")]
Time = Annotated[Measure, Of("time")]
Angle = Annotated[Measure, Of("angle")]
Resistance = Annotated[Measure, Of("resistance")]
Places = Annotated[tuple[Length, ...], BeforeValidator(several)]
Speed = Annotated[Measure, Of("speed")]
Power = Annotated[Measure, Of("power")]
AnyMeasure = Annotated[Measure, Of("")]
Change = Annotated[Measure, Of("", signed=True)]
