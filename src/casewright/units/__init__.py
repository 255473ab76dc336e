"""Units at the door: parse what a person typed, format what the tool says; SI floats between."""

from casewright.units.catalogue import DIMENSIONS, Dimension, Unit, dimension_named, unit_named
from casewright.units.parse import Quantity, parse, parse_any
from casewright.units.question import Question, question
from casewright.units.write import write

__all__ = [
    "DIMENSIONS",
    "Dimension",
    "Quantity",
    "Question",
    "Unit",
    "dimension_named",
    "parse",
    "parse_any",
    "question",
    "unit_named",
    "write",
]
