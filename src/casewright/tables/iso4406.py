"""ISO 4406 scale numbers: particles in a millilitre, "more than, up to and including".

A table, not powers of two: 640 → 1300 → 2500. Source: ISO4406 Table 1, read in a handbook's copy.
"""

from __future__ import annotations

# Upper bound of each scale number, particles per millilitre.
UPPER = (
    0.01, 0.02, 0.04, 0.08, 0.16, 0.32, 0.64, 1.3, 2.5, 5.0, 10.0, 20.0, 40.0, 80.0, 160.0, 320.0,
    640.0, 1300.0, 2500.0, 5e3, 1e4, 2e4, 4e4, 8e4, 1.6e5, 3.2e5, 6.4e5, 1.3e6, 2.5e6,
)  # fmt: skip
