"""ISO 286 limits: the whole table row by row, the standard's formulas, delta rule, refusals.

The rows below are a second typing of ISO 286-1 tables 1 to 3 (by range; the module has them by
letter). Known: memory, two ways: the formulas of the standard and independently printed tables.
"""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from casewright.errors import RangeError
from casewright.tables import iso286
from casewright.tables.iso286 import bearing_outside_limits, limits, standard_tolerance

# Up to (mm), then IT5 to IT11 (um): ISO 286-1 table 1.
IT_ROWS = """
       3    4    6   10   14   25   40   60
       6    5    8   12   18   30   48   75
      10    6    9   15   22   36   58   90
      18    8   11   18   27   43   70  110
      30    9   13   21   33   52   84  130
      50   11   16   25   39   62  100  160
      80   13   19   30   46   74  120  190
     120   15   22   35   54   87  140  220
     180   18   25   40   63  100  160  250
     250   20   29   46   72  115  185  290
     315   23   32   52   81  130  210  320
     400   25   36   57   89  140  230  360
     500   27   40   63   97  155  250  400
"""
# Up to, d e f g k m n p, j5 j6, j7, J6 J7 J8, Delta of IT3 to IT8: ISO 286-1 tables 2 and 3.
DEVIATION_ROWS = """
       3  -20  -14   -6   -2    0    2    4    6   -2   -4    2    4    6 0 0 0 0 0 0
       6  -30  -20  -10   -4    1    4    8   12   -2   -4    5    6   10 1 1.5 1 3 4 6
      10  -40  -25  -13   -5    1    6   10   15   -2   -5    5    8   12 1 1.5 2 3 6 7
      18  -50  -32  -16   -6    1    7   12   18   -3   -6    6   10   15 1 2 3 3 7 9
      30  -65  -40  -20   -7    2    8   15   22   -4   -8    8   12   20 1.5 2 3 4 8 12
      50  -80  -50  -25   -9    2    9   17   26   -5  -10   10   14   24 1.5 3 4 5 9 14
      80 -100  -60  -30  -10    2   11   20   32   -7  -12   13   18   28 2 3 5 6 11 16
     120 -120  -72  -36  -12    3   13   23   37   -9  -15   16   22   34 2 4 5 7 13 19
     180 -145  -85  -43  -14    3   15   27   43  -11  -18   18   26   41 3 4 6 7 15 23
     250 -170 -100  -50  -15    4   17   31   50  -13  -21   22   30   47 3 4 6 9 17 26
     315 -190 -110  -56  -17    4   20   34   56  -16  -26   25   36   55 4 4 7 9 20 29
     400 -210 -125  -62  -18    4   21   37   62  -18  -28   29   39   60 4 5 7 11 21 32
     500 -230 -135  -68  -20    5   23   40   68  -20  -32   33   43   66 5 5 7 13 23 34
"""
# Up to: ei of r / s, in the finer ranges.
FINE_ROWS = """
    3: 10/14, 6: 15/19, 10: 19/23, 18: 23/28, 30: 28/35, 50: 34/43, 65: 41/53,
    80: 43/59, 100: 51/71, 120: 54/79, 140: 63/92, 160: 65/100, 180: 68/108, 200: 77/122,
    225: 80/130, 250: 84/140, 280: 94/158, 315: 98/170, 355: 108/190, 400: 114/208, 450: 126/232,
    500: 132/252
"""
BOUNDS = [3, 6, 10, 18, 30, 50, 80, 120, 180, 250, 315, 400, 500]
LETTERS = ["d", "e", "f", "g", "k", "m", "n", "p"]


def rows(text: str) -> list[list[float]]:
    return [[float(word) for word in line.split()] for line in text.strip().splitlines()]


def um(metres: float) -> float:
    return round(metres * 1e6, 6)


def mean(index: int) -> float:
    """Geometric mean of a range (mm); the first uses 1 and 3."""
    return math.sqrt((BOUNDS[index - 1] if index else 1) * BOUNDS[index])


def sizes_inside() -> list[float]:
    """One size in every range and every finer range over 3 mm (m)."""
    fine = list(iso286.FINE_RANGES_MM)
    return [(low + high) / 2e3 for low, high in pairwise(fine)]


def test_all_91_standard_tolerances_are_those_of_the_table() -> None:
    cells = 0
    for row in rows(IT_ROWS):
        for grade, value in zip(range(5, 12), row[1:], strict=True):
            assert um(standard_tolerance(row[0] / 1e3, grade)) == value
            cells += 1
    assert cells == 91


@pytest.mark.parametrize(
    ("grade", "factor"), [*zip(range(5, 12), (7, 10, 16, 25, 40, 64, 100), strict=True)]
)
def test_table_stays_near_the_formula_with_the_geometric_mean(grade: int, factor: int) -> None:
    for index, bound in enumerate(BOUNDS):
        d = mean(index)
        formula = factor * (0.45 * d ** (1 / 3) + 0.001 * d)
        bound_share = 0.135 if index == 0 else 0.085
        table = um(standard_tolerance(bound / 1e3, grade))
        assert formula == pytest.approx(table, rel=bound_share)


@pytest.mark.parametrize(("size", "wrong"), [(0.025, 1.3220), (0.040, 1.5790), (0.100, 2.1887)])
def test_tolerance_unit_is_not_that_of_the_arithmetic_mean(size: float, wrong: float) -> None:
    assert abs(um(iso286.tolerance_unit(size)) - wrong) > 0.01


def test_all_fundamental_deviations_are_those_of_the_table() -> None:
    for row in rows(DEVIATION_ROWS):
        size = row[0] / 1e3
        for letter, value in zip(LETTERS, row[1:9], strict=True):
            given_side = limits(size, f"{letter}6")
            got = given_side.upper_deviation if letter < "h" else given_side.lower_deviation
            assert um(got) == value, (letter, size)
        j = {"j5": row[9], "j6": row[9], "j7": row[10]}
        for code, value in j.items():
            assert um(limits(size, code).lower_deviation) == value
        for code, value in zip(("J6", "J7", "J8"), row[11:14], strict=True):
            assert um(limits(size, code).upper_deviation) == value


def test_delta_is_that_of_the_table_for_each_grade_of_the_hole() -> None:
    for row in rows(DEVIATION_ROWS):
        size = row[0] / 1e3
        for grade, delta in zip((5, 6, 7, 8), row[16:20], strict=True):
            assert um(limits(size, f"N{grade}").upper_deviation) == -row[7] + delta


def test_r_and_s_use_the_finer_ranges() -> None:
    for word in FINE_ROWS.replace("\n", " ").split(","):
        bound, _, pair = word.strip().partition(": ")
        r, s = pair.split("/")
        assert um(limits(float(bound) / 1e3, "r6").lower_deviation) == float(r)
        assert um(limits(float(bound) / 1e3, "s6").lower_deviation) == float(s)
    assert limits(0.060, "s6").lower_deviation != limits(0.070, "s6").lower_deviation


@pytest.mark.parametrize(
    ("letter", "formula"),
    [
        ("d", lambda d: -16 * d**0.44),
        ("e", lambda d: -11 * d**0.41),
        ("f", lambda d: -5.5 * d**0.41),
        ("g", lambda d: -2.5 * d**0.34),
    ],
)
def test_clearance_deviations_follow_the_standards_formula(letter: str, formula: object) -> None:
    for index, bound in enumerate(BOUNDS[1:], start=1):
        got = um(limits(bound / 1e3, f"{letter}7").upper_deviation)
        assert got == pytest.approx(formula(mean(index)), rel=0.08, abs=0.9)  # type: ignore[operator]


def test_m_is_it7_less_it6_and_r_the_mean_of_p_and_s() -> None:
    for bound in BOUNDS[1:]:
        size = bound / 1e3
        m = um(limits(size, "m6").lower_deviation)
        step = um(standard_tolerance(size, 7)) - um(standard_tolerance(size, 6))
        assert m == pytest.approx(step, abs=1)
    for size in sizes_inside():
        p, r, s = (limits(size, f"{one}6").lower_deviation for one in "prs")
        assert um(r) == pytest.approx(um(math.sqrt(p * s)), rel=0.03, abs=0.6)


@pytest.mark.parametrize("letter", ["k", "m", "n", "p", "r", "s"])
def test_hole_basis_and_shaft_basis_give_the_same_clearances(letter: str) -> None:
    for size in sizes_inside():
        hole, shaft = limits(size, "H7"), limits(size, f"{letter}6")
        hole2, shaft2 = limits(size, f"{letter.upper()}7"), limits(size, "h6")
        assert um(hole.smallest - shaft.largest) == um(hole2.smallest - shaft2.largest)
        assert um(hole.largest - shaft.smallest) == um(hole2.largest - shaft2.smallest)


def test_m6_over_250_to_315_is_the_one_exception_to_the_delta_rule() -> None:
    for bound in BOUNDS[1:]:
        size = bound / 1e3
        rule = -um(limits(size, "m6").lower_deviation) + iso286.DELTAS[6][BOUNDS.index(bound)]
        got = um(limits(size, "M6").upper_deviation)
        assert (got == -9 and rule == -11) if bound == 315 else got == rule


def test_delta_ends_at_grade_8_for_kmn_and_at_grade_7_for_p() -> None:
    assert um(limits(0.1, "P8").upper_deviation) == -37
    assert um(limits(0.1, "M9").upper_deviation) == -13
    assert um(limits(0.1, "N9").upper_deviation) == 0
    assert um(limits(0.003, "N9").upper_deviation) == -4


def test_k_is_zero_outside_grades_4_to_7() -> None:
    assert um(limits(0.1, "k7").lower_deviation) == 3
    assert um(limits(0.1, "k8").lower_deviation) == 0
    assert um(limits(0.003, "K9").upper_deviation) == 0


def test_js_keeps_the_half_micrometre() -> None:
    assert um(limits(0.005, "JS6").upper_deviation) == 4
    assert um(limits(0.025, "js7").upper_deviation) == 10.5
    assert um(limits(0.025, "js7").lower_deviation) == -10.5


@given(st.floats(0.0005, 0.5), st.sampled_from("defgh"), st.integers(5, 11))
def test_holes_of_clearance_letters_mirror_the_shafts(size: float, letter: str, grade: int) -> None:
    hole, shaft = limits(size, f"{letter.upper()}{grade}"), limits(size, f"{letter}{grade}")
    assert um(hole.lower_deviation) == -um(shaft.upper_deviation)
    assert um(hole.width) == um(shaft.width) == um(standard_tolerance(size, grade))


@given(st.sampled_from(BOUNDS[:-1]), st.integers(5, 11))
def test_a_bound_belongs_to_the_range_below_it(bound: int, grade: int) -> None:
    at, over = standard_tolerance(bound / 1e3, grade), standard_tolerance(bound / 1e3 + 1e-8, grade)
    below = standard_tolerance(bound / 1e3 - 1e-8, grade)
    assert at == below < over


@pytest.mark.parametrize(
    ("size", "code", "reason"),
    [
        (0.020, "K9", "only up to 3 mm"),
        (0.020, "H4", "IT5 to IT11"),
        (0.020, "H12", "IT5 to IT11"),
        (0.020, "j8", "these grades only"),
        (0.020, "J9", "these grades only"),
        (0.020, "z6", "not tabled here"),
        (0.020, "H", "not tabled here"),
        (0.020, "hello", "not tabled here"),
        (0.020, "c11", "this range only"),
        (0.0, "H7", "0.5 m"),
        (-0.005, "H7", "0.5 m"),
        (0.501, "H7", "0.5 m"),
        (20.0, "H7", "converted first"),
        (math.nan, "H7", "0.5 m"),
        ("20", "H7", "a number"),
        (True, "H7", "a number"),
    ],
)
def test_what_is_not_tabled_is_refused_with_the_reason(size: float, code: str, reason: str) -> None:
    with pytest.raises(RangeError, match=reason):
        limits(size, code)


def test_bearing_outside_deviations_are_those_of_the_normal_class() -> None:
    printed = {30: -9, 50: -11, 80: -13, 120: -15, 150: -18, 180: -25}
    for bound, lower in printed.items():
        assert um(bearing_outside_limits(bound / 1e3).lower_deviation) == lower
        assert bearing_outside_limits(bound / 1e3).upper_deviation == 0


@pytest.mark.parametrize("size", [0.018, 0.181, 0.005])
def test_bearing_sizes_off_the_table_are_refused(size: float) -> None:
    with pytest.raises(RangeError, match="bearing maker"):
        bearing_outside_limits(size)
