"""ISO 3448 viscosity grades: kinematic viscosity at 40 °C, mid-point ± 10 %.

Source: ISO3448 Table 1, mid-points read up to 1500; 2200 and 3200 from memory. In mm²/s.
"""

from __future__ import annotations

MID_POINTS = (
    2.2, 3.2, 4.6, 6.8, 10.0, 15.0, 22.0, 32.0, 46.0, 68.0, 100.0, 150.0, 220.0, 320.0, 460.0,
    680.0, 1000.0, 1500.0, 2200.0, 3200.0,
)  # fmt: skip
# The grade's name is its mid-point rounded: VG 5 has 4.6 in the middle.
GRADES = {round(point): point for point in MID_POINTS}
