"""An invented pump box that weeps: reseal only, three rooms, in inches and foot-pounds."""
# ruff: noqa: E501

from __future__ import annotations

from make_demo import Log, sheet
from model import leak_rows

from casewright.drive.load import digest_of

JOB = "reseal"
PSI = 6.894757
NEW = ("box.input.seal", "box.output.seal", "box.input.cap-o-ring", "box.plug-gaskets")


def tell(log: Log) -> None:
    """Strip as far as the two seals, new rubber, sealing test, oil, hand-over."""
    log.at("2026-05-04 13:00", who="JO")
    log.say(
        "job-opened", title="Wash-down pump, box weeps at the input", scope="reseal",
        rooms=("strip", "proof", "handover"), duty="pump drive", leg_serial="invented 88",
    )  # fmt: skip
    text = sheet("whelk-4")
    log.say("sheet-adopted", name="whelk-4", text=text, digest=digest_of(text))
    log.say("step-done", step="drain-oil", outcome="done", minutes=8)
    log.say("step-done", step="coupling-off", outcome="done", minutes=11)
    log.say(
        "fasteners-counted", joint="input-cap-off", places=(1, 2, 3, 4, 5, 6), fastener_state="out"
    )
    log.say("step-done", step="input-cap-off", outcome="done", minutes=8)
    log.say("step-done", step="input-seal-out", outcome="done", minutes=4,
            words="lip hard and cracked, spring rusted")  # fmt: skip
    log.say("fasteners-counted", joint="box-off-foot", places=(1, 2, 3, 4), fastener_state="out")
    log.say("step-done", step="box-off-foot", outcome="done", minutes=15)
    log.say("step-done", step="output-seal-out", outcome="done", minutes=5)
    log.say("finding", words="input seal lip hard and cracked")
    for position in NEW:
        log.say(
            "piece-placed",
            piece=f"{position}#2",
            position=position,
            occasion="final",
            origin="shelf",
        )
    # Done before the tablet was charged: typed an hour later, with their own times.
    log.at("2026-05-04 15:10", typed="2026-05-04 16:20")
    log.say("torque", takes=5, joint="input-cap-off", places=(1, 4, 2, 5, 3, 6), value="14", unit="ft·lb",
            lubricated="dry", tool_most="40 ft·lb")  # fmt: skip
    log.say("torque", takes=5, joint="box-off-foot", step=1, places=(1, 3, 2, 4), value="30", unit="ft·lb",
            lubricated="dry", tool_most="150 ft·lb")  # fmt: skip
    log.say("torque", takes=5, joint="box-off-foot", step=2, places=(1, 3, 2, 4), value="57", unit="ft·lb",
            lubricated="dry", tool_most="150 ft·lb")  # fmt: skip
    log.at("2026-05-04 16:30")
    for test, start, minutes in (("low", 2.04, 8), ("full", 5.05, 16)):
        log.say(
            "leak-log", takes=20, circuit="gear-oil", test=test, relative_to="gauge",
            pressure_unit="psi", resolution="0.01 psi",
            text=leak_rows(start * PSI, minutes, 0.005, 0.3, unit="psi"),
        )  # fmt: skip
    log.say("oil-filled", takes=20, volume="2.1 US qt", grade="ISO VG 220 gear oil",
            upper_plug_first=True, rested="15 min", level_checked=True)  # fmt: skip
    log.at("2026-05-05 08:10")
    log.say("function-tested", test="turns-free", passed=True)
    log.say(
        "function-tested",
        takes=16,
        test="bench-run",
        passed=True,
        value="128 °F",
        words="caps hand-warm, dry",
    )
    log.say("signed-off", signed_by="JO", words="Weep gone.")
