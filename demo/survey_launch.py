"""An invented survey launch, stopped half way: the ring nut won't let go. What next is asked."""
# ruff: noqa: E501

from __future__ import annotations

from make_demo import Log, sheet

from casewright.drive.load import digest_of

JOB = "survey-launch"


def tell(log: Log) -> None:
    """Take-in, the first steps of the strip, and a stuck ring nut."""
    log.at("2026-04-13 08:30", who="JO")
    log.say(
        "job-opened", title="Survey launch, starboard leg", scope="whole rebuild",
        duty="survey launch", leg_serial="invented 0533", owner="owner-12",
    )  # fmt: skip
    text = sheet("winkle-3")
    log.say("sheet-adopted", name="winkle-3", text=text, digest=digest_of(text))
    log.say(
        "instrument", instrument="indicator 0.01", name="indicator 0.01", measures="length",
        resolution="0.01 mm", uncertainty="0.006 mm", due="2027-02-28",
    )  # fmt: skip
    log.say(
        "complaint", words="Struck a sill at low water, vibrates since.", hours="860",
        hit="a stone sill, in reverse", last_service="last autumn",
    )  # fmt: skip
    for key, answer in (
        ("blade-bent-or-chipped", "yes"), ("skeg-damaged", "yes"), ("oil-milky", "no"),
        ("metal-on-magnet", "no"), ("anode-gone", "no"), ("shifts-hard", "no"),
    ):  # fmt: skip
        log.say("finding", key=key, answer=answer, occasion="as-received")
    log.say(
        "reading", target="prop-shaft-run-out", occasion="as-received", instrument="indicator 0.01",
        values=("0.00 mm", "0.05 mm", "0.11 mm", "0.16 mm", "0.18 mm", "0.15 mm", "0.09 mm", "0.03 mm"),
    )  # fmt: skip
    log.say("finding", key="shaft-run-out-high", answer="yes", occasion="as-received",
            position="lower.prop.shaft", severity="severe")  # fmt: skip
    log.say("quoted", stage="take-in", choice="strip and look", likely="1600", one_in_ten="2900")
    log.say("owner-said", who="the skipper", how="telephone", plan="strip and look", up_to="500")
    log.at("2026-04-13 10:00")
    log.say("step-done", step="drain-oil", outcome="done", minutes=10)
    log.say("fasteners-counted", joint="propeller-nut-off", places=(1,), fastener_state="out")
    log.say("step-done", step="propeller-nut-off", outcome="done", minutes=6)
    log.say("step-done", step="propeller-off", outcome="done", minutes=7)
    log.say("finding", key="line-behind-propeller-seen", answer="no")
    log.say("fasteners-counted", joint="anode-off", places=(1,), fastener_state="out")
    log.say("step-done", step="anode-off", outcome="done", minutes=5)
    log.say("step-done", step="shift-link-off", outcome="done", minutes=6)
    # Two of six are counted; the other four wait, and the separation is locked.
    log.say("fasteners-counted", joint="lower-off-upper", places=(1, 2), fastener_state="out")
    log.at("2026-04-13 10:50", typed="2026-04-13 11:25")
    log.say(
        "reading", target="propeller-play", occasion="as-found", values=("0.24 mm",),
        instrument="indicator 0.01", conditions=("seals in",),
    )  # fmt: skip
    log.at("2026-04-13 11:30")
    log.say("step-done", step="ring-nut-off", outcome="stuck", minutes=12,
            words="lug tool seated, no move at arm's length")  # fmt: skip
    log.say("attempt", joint="ring-nut-off", rung="clean", outcome="prepared", minutes=8)
    log.say("attempt", joint="ring-nut-off", rung="bar", outcome="held", minutes=10,
            words="a metre of pipe, two hands")  # fmt: skip
    log.say("attempt", joint="ring-nut-off", rung="penetrant", outcome="prepared", minutes=4)
    log.say(
        "note",
        words="Left to creep over night. Verdict on the shaft first: if it goes, the ladder may be rougher.",
    )
