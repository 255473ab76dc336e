"""Sea water of practical salinity 35: equation constants of PSS-78 and EOS-80 at surface pressure.

Source: UNESCO44 (Fofonoff and Millard 1983), constants from memory, held by the publication's own
check values in tests/published. Temperatures of these equations are on the scale of 1968.
"""

from __future__ import annotations

# Conductivity of sea water S = 35 at 15 °C (1968), 1 atmosphere [S/m].
CONDUCTIVITY_35_15 = 4.2914
SALINITY_A = (0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081)
SALINITY_B = (0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144)
SALINITY_K = 0.0162
# Conductivity ratio of S = 35 against temperature.
RATIO_C = (0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9)
# Density of pure water, and what salt adds [kg/m³].
PURE = (999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6, 6.536332e-9)
SALT = (0.824493, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9)
SALT_THREE_HALVES = (-5.72466e-3, 1.0227e-4, -1.6546e-6)
SALT_SQUARE = 4.8314e-4
SCALE_1968 = 1.00024
