"""What the oyster boat's job reads with, is offered, buys and fits. All invented."""
# ruff: noqa: E501

from __future__ import annotations

INSTRUMENTS = (
    ("micrometer 25-50", "length", "0.001 mm", "0.002 mm"),
    ("micrometer 75-100", "length", "0.001 mm", "0.003 mm"),
    ("bore gauge 50-150", "length", "0.001 mm", "0.003 mm"),
    ("indicator 0.01", "length", "0.01 mm", "0.006 mm"),
    ("depth gauge 300", "length", "0.005 mm", "0.008 mm"),
    ("calliper 150", "length", "0.02 mm", "0.03 mm"),
    ("straight edge and feelers", "length", "0.01 mm", "0.01 mm"),
    ("feeler set", "length", "0.01 mm", "0.005 mm"),
    ("dial torque wrench 6", "torque", "0.05 N·m", "0.05 N·m"),
)
OFFERS = """\
supplier,number,price,currency,kind,contents,lead_days,returnable,dated,core_deposit
Tideway Stores,bare-lower-housing,1180.00,EUR,bare housing,,5,no,2026-03-01,0
Tideway Stores,SEAL-SET-W3,58.00,EUR,kit,propeller-seal:2 drive-shaft-seal:2 carrier-o-ring:1 cover-o-ring:1 shift-shaft-o-ring:1 plug-washer:2,2,yes,2026-03-01,0
Tideway Stores,propeller-seal,14.50,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,drive-shaft-seal,12.00,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,carrier-o-ring,4.20,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,cover-o-ring,3.80,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,shift-shaft-o-ring,1.60,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,plug-washer,0.90,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,pinion-nut,12.00,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,tab-washer,7.00,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,propeller-nut,19.00,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,pump-impeller,29.00,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,anode,38.00,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,bolt-m10,3.20,EUR,single,,2,yes,2026-03-01,0
Tideway Stores,EXCHANGE-W3,3650.00,EUR,exchange unit,bare-lower-housing:1 ahead-cup-80:1 ahead-cone-40:1 taper-cup-72:2 taper-cone-35:2 astern-bearing:1 needle-bearing-30:2 propeller-seal:2 drive-shaft-seal:2 carrier-o-ring:1 cover-o-ring:1 shift-shaft-o-ring:1 plug-washer:2 pinion-nut:1 tab-washer:1 propeller-nut:1 pump-impeller:1 anode:1 bolt-m10:6,9,no,2026-03-01,600
Cockle Bearings,ahead-cup-80,46.00,EUR,single,,3,yes,2026-03-01,0
Cockle Bearings,ahead-cone-40,58.00,EUR,single,,3,yes,2026-03-01,0
Cockle Bearings,taper-cup-72,33.00,EUR,single,,3,yes,2026-03-01,0
Cockle Bearings,taper-cone-35,41.00,EUR,single,,3,yes,2026-03-01,0
Cockle Bearings,astern-bearing,62.00,EUR,single,,3,yes,2026-03-01,0
Cockle Bearings,needle-bearing-30,24.00,EUR,single,,3,yes,2026-03-01,0

name,freight,free_freight_from
Tideway Stores,24.00,
Cockle Bearings,9.50,250.00
"""
FITTED_FOR_TRIALS = (
    ("lower.housing", "cast mark K, no number"),
    ("lower.ahead.cup", "lot 26-07"),
    ("lower.ahead.cone", "lot 26-07"),
    ("lower.drive.upper-cup", "lot 25-51"),
    ("lower.drive.upper-cone", "lot 25-51"),
    ("lower.drive.lower-cup", "lot 25-51"),
    ("lower.drive.lower-cone", "lot 25-51"),
    ("lower.astern.bearing", ""),
    ("lower.drive.needle", ""),
    ("lower.carrier.needle", ""),
)
FITTED_AT_LAST = (
    "lower.prop.seal-inner",
    "lower.prop.seal-outer",
    "lower.drive.seal-inner",
    "lower.drive.seal-outer",
    "lower.carrier.o-ring",
    "lower.drive.cover-o-ring",
    "lower.shift.o-ring",
    "lower.plug-washers",
    "lower.pinion-nut",
    "lower.carrier.tab-washer",
    "lower.propeller-nut",
    "lower.pump.impeller",
    "lower.anode",
    "joint.bolts-m10",
)
