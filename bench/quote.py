"""Quote: 100,000 samples of three choices, vectorised; how far the stated range holds in draws.

An invented repair with 16 parts at risk (a quarter of them tied to a hard strike), five labour
steps, set-up assemblies, leads of every part, an exchange unit and a donor's worth beside it:
cost and ready-by day of every choice, ranges, chance to pass the ceiling.

`speed_ratio`  time of a scalar simulation over ours, for the same question and figures. The
               scalar one is plain Python, one job at a time, written for this question alone:
               no classes, no names looked up, `random` bound to locals, only the unknowns that a
               job needs are drawn (no lead for a part that isn't condemned), one sort at the end.
               With --quick timed on fewer samples and scaled up, which favours it (shorter
               sort). Both are timed in turns, the least processor time of each counts; run with
               OPENBLAS_NUM_THREADS=1 so that no idle threads of a linear-algebra library spin.
`coverage_nine_in_ten`  share of jobs, simulated by the scalar program with other draws, that
               cost no more than the one-in-ten-dearer sum that ours states. It proves the code,
               not the world: the world holds only as far as the chances put in hold.
"""

from __future__ import annotations

import random
import time
from decimal import Decimal

PARTS = [
    # price, chance (after a hard strike, else), lead days (low, likely, high), extra hours
    (900.0, (0.9, 0.2), (5, 7, 14), 1.5),
    (420.0, (0.8, 0.1), (4, 6, 10), 0.5),
    (610.0, (0.6, 0.1), (4, 6, 12), 0.5),
    (1250.0, (0.3, 0.05), (6, 9, 20), 3.0),
    *((60.0 + 25 * i, (0.1 + 0.05 * i,) * 2, (2, 3 + i % 4, 9), 0.2) for i in range(12)),
]
STRIKE = 0.4
STRIP = [(3, 4, 8), (1, 1.5, 3)]
REBUILD = [(4, 6, 9), (1, 2, 4), (0.5, 1, 2)]
ASSEMBLIES = [(1, 0.2), (2, 0.45), (3, 0.25), (4, 0.1)]
EACH, RATE, DAY, ONCE, FREIGHT = (0.5, 1.0, 2.0), 80.0, 6.0, 160.0, 25.0
UNIT, FIT, LEAD, DEPOSIT, REFUSED = 3100.0, (2, 3, 5), (3, 5, 10), 400.0, 0.25
WORTH, CEILING = 300.0, 3500.0


def question():
    """The same job for our quote."""
    from casewright.reasoning import quote_build as build
    from casewright.reasoning.quote import Line
    from casewright.reasoning.quote_draws import Chance, Count, Given, Triangular

    shop = build.Shop(Decimal(str(RATE)), DAY, Decimal(str(FREIGHT)))
    parts = tuple(
        build.PartRisk(
            f"part {i}",
            Decimal(str(price)),
            Given("hard strike", *chance) if chance[0] != chance[1] else Chance(chance[0]),
            Triangular(*lead),
            extra,
        )
        for i, (price, chance, lead, extra) in enumerate(PARTS)
    )
    values, chances = zip(*ASSEMBLIES, strict=True)
    mend = build.repair(
        parts,
        [build.Labour(f"strip {i}", Triangular(*each)) for i, each in enumerate(STRIP)],
        [build.Labour(f"rebuild {i}", Triangular(*each)) for i, each in enumerate(REBUILD)],
        build.SetUp(Count(values, chances), Triangular(*EACH)),
        shop,
        certain=[Line("one-time parts", Decimal(str(ONCE)))],
    )
    swap = build.bought_unit(
        "exchange unit",
        Decimal(str(UNIT)),
        Triangular(*FIT),
        Triangular(*LEAD),
        shop,
        Decimal(str(DEPOSIT)),
        Chance(REFUSED),
    )
    donor = build.part_out({"part 0": Decimal(str(WORTH))}, parts, Triangular(3, 4, 6), shop)
    return build.together(
        (mend, swap, donor), Decimal(str(CEILING)), causes={"hard strike": Chance(STRIKE)}
    )


def scalar(samples: int, seed: int) -> dict[str, object]:
    """The same job by one draw after the other: costs and days, then the same figures."""
    source = random.Random(seed)
    even, triangle = source.random, source.triangular
    costs, days, swaps, swap_days, donors = [], [], [], [], []
    bought = worked = set_ups = 0.0
    for _ in range(samples):
        struck = even() < STRIKE
        strip = triangle(3, 8, 4) + triangle(1, 3, 1.5)
        rebuild = triangle(4, 9, 6) + triangle(1, 4, 2) + triangle(0.5, 2, 1)
        cost, wait, usable, extras = ONCE, 0.0, True, 0.0
        for index, (price, chance, lead, extra) in enumerate(PARTS):
            if even() < chance[not struck]:
                cost += price
                extras += extra
                here = triangle(lead[0], lead[2], lead[1])
                if here > wait:
                    wait = here
                if index == 0:
                    usable = False
        at, count = even(), 4
        if at < 0.2:
            count = 1
        elif at < 0.65:
            count = 2
        elif at < 0.9:
            count = 3
        set_up = count * triangle(0.5, 2, 1)
        rebuild += extras
        bought += cost
        worked += strip + rebuild
        set_ups += set_up
        costs.append(cost + FREIGHT + RATE * (strip + rebuild + set_up))
        days.append(strip / DAY + wait + rebuild / DAY + set_up / DAY)
        fit = triangle(2, 5, 3)
        lost = DEPOSIT if even() < REFUSED else 0.0
        swaps.append(UNIT + FREIGHT + RATE * fit + lost)
        swap_days.append(triangle(3, 10, 5) + fit / DAY)
        donors.append(RATE * triangle(3, 6, 4) - (WORTH if usable else 0.0))
    figures = {}
    cheapest = [0, 0, 0]
    for each in zip(costs, swaps, donors, strict=True):
        cheapest[each.index(min(each))] += 1
    for name, values in {
        "repair": costs,
        "exchange unit": swaps,
        "part out": donors,
        "repair day": days,
        "exchange day": swap_days,
    }.items():
        ranked = sorted(values)
        mean = sum(values) / samples
        figures[name] = (
            mean,
            (sum((each - mean) ** 2 for each in values) / samples) ** 0.5,
            *(ranked[int(share * samples)] for share in (0.1, 0.5, 0.9)),
            sum(each > CEILING for each in values) / samples,
        )
    figures["groups"] = [each / samples for each in (bought, RATE * worked, RATE * set_ups)]
    return {"figures": figures, "repair costs": costs, "cheapest": cheapest}


def run(quick: bool) -> dict[str, float]:
    """Time both, compare their figures, count the coverage."""
    from casewright.reasoning.quote import digest_seed, draw_quote

    asked = question()
    seed, samples = digest_seed(asked), 100_000
    draw_quote(asked, seed, 1000)
    few = 20_000 if quick else samples
    ours = theirs = float("inf")
    for _ in range(5):
        ours = min(ours, *(_seconds(lambda: draw_quote(asked, seed, samples)) for _ in range(4)))
        theirs = min(theirs, _seconds(lambda: scalar(few, 7)) * samples / few)
    quote, other = draw_quote(asked, seed, samples), scalar(200_000 if not quick else 60_000, 99)
    print("                       mean   even chance   one in ten dearer   over ceiling")
    for name in ("repair", "exchange unit", "part out"):
        cost, (mean, _, _, middle, dear, over) = quote[name].cost, other["figures"][name]
        print(
            f"{name:15s} ours {cost.mean:9.2f} {cost.even_chance:12.2f} "
            f"{cost.one_in_ten_above:18.2f} {cost.chance_over:14.4f}"
        )
        print(f"              scalar {mean:9.2f} {middle:12.2f} {dear:18.2f} {over:14.4f}")
    stated = quote["repair"].cost.one_in_ten_above
    jobs = other["repair costs"]
    coverage = sum(each <= stated for each in jobs) / len(jobs)
    print(
        f"\n{samples} samples: ours {ours:.4f} s, scalar {theirs:.3f} s, ratio {theirs / ours:.1f}"
    )
    print(f"{coverage:.4f} of {len(jobs)} simulated repairs cost at most the stated {stated:.0f}:")
    print("this proves the code, not the world; the chances put in are the world's part.")
    return {"speed_ratio": theirs / ours, "seconds": ours, "coverage_nine_in_ten": coverage}


def _seconds(call) -> float:
    """Processor time of one call, which other programs on the machine disturb least."""
    start = time.process_time()
    call()
    return time.process_time() - start
