"""Reference electrodes: how far each stands from copper/copper sulphate.

Source: RULES-OF-THUMB p. 206 (after Peabody): one and the same metal reads −0.850 V against CSE,
−0.776 V against SCE, −0.822 V against Ag/AgCl in 0.1 N KCl, −0.78 V against Ag/AgCl bare in sea
water, and +0.25 V against zinc.
"""

from __future__ import annotations

# Reading of the metal that stands at −0.850 V against copper sulphate [V].
SAME_METAL = {
    "copper sulphate": -0.850,
    "saturated calomel": -0.776,
    "silver chloride 0.1 N": -0.822,
    "silver chloride sea water": -0.78,
    "zinc": 0.25,
}
