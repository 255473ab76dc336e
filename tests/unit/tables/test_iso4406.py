"""The scale of ISO 4406 about doubles and is a table, not powers of two."""

import itertools

from casewright.tables.iso4406 import UPPER


def test_each_number_is_about_twice_the_one_before():
    for low, high in itertools.pairwise(UPPER):
        assert 1.9 < high / low < 2.1


def test_its_ends_are_as_printed():
    assert (len(UPPER), UPPER[0], UPPER[-1]) == (29, 0.01, 2.5e6)
