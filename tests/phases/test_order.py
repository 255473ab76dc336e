"""The order room: need, plan, quote, the owner's yes, goods; numbers against an independent way."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from itertools import product

import pytest

from casewright.errors import FormErrors, InputError
from casewright.job import kinds
from casewright.job.entry import Entry
from casewright.job.prices import agreed, parts_shelf, price_list, read_money
from casewright.job.rules import check_entry
from casewright.job.settings import Settings
from casewright.job.state import State
from casewright.phases.order import PART_OUT, REPAIR, OrderView, view
from casewright.phases.order.work_left import three_points
from casewright.voice import say_order, say_order_papers
from casewright.voice.document import Ask, Block, Card, Document, Fold, Picture
from casewright.voice.forms import body_from
from casewright.voice.plain import texts
from casewright.voice.quantities import Style
from tests.phases.cast import MOMENT, SETTINGS, job

LIST = """\
supplier,number,price,currency,kind,contents,lead_days,returnable,tax_rate,core_deposit
Quay Stores,pinion-nut,12.00,EUR,,,2,yes,,
Quay Stores,tab-washer,7.00,EUR,,,2,yes,,
Quay Stores,carrier-o-ring,4.00,EUR,,,2,yes,,
Creek Bearings,pinion-nut,10.00,EUR,,,6,yes,,
Creek Bearings,SMALLS,19.50,EUR,kit,pinion-nut:1 tab-washer:1 carrier-o-ring:2,6,yes,,
Quay Stores,bare-lower-housing,1000.00,EUR,bare housing,,5,no,20 %,
Quay Stores,EXCHANGE,3650.00,EUR,exchange unit,bare-lower-housing:1 pinion-nut:1,9,no,,600

name,freight,free_freight_from
Quay Stores,8.00,500
Creek Bearings,11.00,
"""
PRICES = kinds.OffersImported(text=LIST, dated="2026-03-01")


def condemned(*positions: str) -> list[kinds.VerdictGiven]:
    """Verdicts that call for new parts."""
    return [
        kinds.VerdictGiven(position=p, decision="replace", reason="worn out") for p in positions
    ]


def positions_of(state: State, *parts: str) -> list[str]:
    """The first position of each part."""
    return [next(p.key for p in state.lookup.sheet.positions if p.part == part) for part in parts]


NUT, TAB, RING, HOUSING = positions_of(
    job(), "pinion-nut", "tab-washer", "carrier-o-ring", "bare-lower-housing"
)


def blocks_of(document: Document) -> list[Block]:
    """Every block, folds and the card unfolded."""
    found: list[Block] = []

    def walk(blocks: tuple[Block, ...]) -> None:
        for block in blocks:
            found.append(block)
            if isinstance(block, Fold | Card):
                walk(block.blocks)

    walk((document.card,) if document.card else ())
    for section in document.sections:
        walk(section.blocks)
    return found


def said(state: State, settings: Settings = SETTINGS) -> Document:
    """The room's document."""
    settings = settings.with_job(state.settings)
    return say_order.say(view(state, settings), Style())


def words(state: State) -> str:
    """Everything that the room says, as one text."""
    return "\n".join(texts(said(state)))


def seen(state: State, settings: Settings = SETTINGS) -> OrderView:
    """The room's view."""
    return view(state, settings.with_job(state.settings))


# ---- need and plan ----------------------------------------------------------------------------


def test_a_state_without_a_sheet_says_so_and_has_no_card():
    document = said(State())
    assert document.card is None
    assert "No drive sheet yet" in "\n".join(texts(document))


@pytest.mark.parametrize(
    "sheet", ["skeleton-leg-under-a-hull", "skeleton-single-gear-box", "skeleton-twin-gear-leg"]
)
def test_a_half_filled_sheet_is_no_reason_to_stop(sheet):
    state = job(sheet=sheet)
    assert said(state).title == "Order and quote"
    position = state.lookup.sheet.positions[0].key
    assert said(job(*condemned(position), PRICES, sheet=sheet)).card is not None


def test_without_a_price_list_the_need_list_stands():
    state = job(*condemned(NUT, TAB))
    made = seen(state)
    assert [(line.part, line.to_order) for line in made.needs] == [
        ("pinion-nut", 1),
        ("tab-washer", 1),
    ]
    assert made.ordering.plan is None and made.quoting is None
    assert "No prices yet: the need list stands; paste a price list." in words(state)
    assert said(state).card.title == "Paste a price list"


def _brute_force() -> tuple[Decimal, dict[str, int]]:
    """Least goods and freight of nut, washer, ring from the two suppliers, counted out by hand."""
    quay = {"nut": 12, "tab": 7, "ring": 4}
    best = None
    for kits, nuts_creek, nuts, tabs, rings in product(range(2), range(2), *[range(2)] * 3):
        have = (kits + nuts_creek + nuts, kits + tabs, 2 * kits + rings)
        if min(have) < 1:
            continue
        at_quay = nuts * quay["nut"] + tabs * quay["tab"] + rings * quay["ring"]
        at_creek = kits * Decimal("19.50") + nuts_creek * 10
        cost = at_quay + at_creek + (8 if at_quay else 0) + (11 if at_creek else 0)
        if best is None or cost < best[0]:
            best = (Decimal(cost), {"kits": kits, "quay": nuts + tabs + rings})
    assert best is not None
    return best


def test_the_plan_is_the_cheapest_of_all_ways_counted_out():
    plan = seen(job(*condemned(NUT, TAB, RING), PRICES)).ordering.plan
    assert plan is not None and plan.proof.proven
    assert plan.total == _brute_force()[0] == Decimal("30.50")
    assert dict(plan.surplus) == {"carrier-o-ring": 1}


def test_waiting_that_costs_moves_the_plan_to_the_sooner_supplier():
    waiting = kinds.SettingMade(name="waiting-per-day", value="5")
    made = seen(job(*condemned(NUT, TAB, RING), PRICES, waiting))
    assert [parcel.supplier for parcel in made.ordering.plan.parcels] == ["Quay Stores"]
    # 12 + 7 + 4 goods, 8 freight, 2 days at 5
    assert made.ordering.plan.total == Decimal(41)


def test_a_date_that_cant_be_met_is_said_with_the_soonest_and_a_plan_without_it():
    latest = kinds.SettingMade(name="latest-date", value="2026-03-05")
    made = seen(job(*condemned(NUT), PRICES, latest))
    assert "can't be here in 1 days; the soonest is 2 days" in made.ordering.problem
    assert made.ordering.plan is not None and not made.ordering.alternatives
    assert "leaves date and budget aside" in words(job(*condemned(NUT), PRICES, latest))


def test_needs_that_nobody_offers_are_named_and_the_rest_is_planned():
    state = job(*condemned(NUT, *positions_of(job(), "propeller")), PRICES)
    made = seen(state)
    assert [each.part for each in made.ordering.nobody] == ["propeller"]
    assert made.ordering.plan is not None
    assert "Nobody offers propeller" in words(state)


def test_a_number_written_nearly_alike_is_pointed_at():
    typo = LIST.replace("tab-washer", "tab-washers")
    made = seen(job(*condemned(TAB), kinds.OffersImported(text=typo)))
    assert made.ordering.nobody[0].near == ("tab-washers",)
    assert "tab-washers" in made.prices.strange


def test_a_gear_set_comes_whole_or_not_at_all():
    gear = positions_of(job(), "pinion")
    loose = "supplier,number,price,currency\nQ,pinion,10,EUR\nQ,ahead-gear,10,EUR\n"
    loose += "Q,astern-gear,10,EUR\nQ,clutch-dog,10,EUR\n"
    made = seen(job(*condemned(*gear), kinds.OffersImported(text=loose)))
    assert {each.part for each in made.ordering.nobody} == {
        "pinion", "ahead-gear", "astern-gear", "clutch-dog",
    }  # fmt: skip
    whole = loose.replace("Q,pinion,10,EUR\n", "")
    whole = "supplier,number,price,currency,contents\nQ,SET,90,EUR," + (
        "pinion:1 ahead-gear:1 astern-gear:1 clutch-dog:1\n"
    )
    plan = seen(job(*condemned(*gear), kinds.OffersImported(text=whole))).ordering.plan
    assert plan is not None and plan.total == 90


def test_the_exchange_unit_is_never_bought_for_its_nut():
    only = "\n".join(line for line in LIST.splitlines() if not line.startswith(("Quay Stores,pin", "Creek Bearings,pin", "Creek Bearings,SM")))  # fmt: skip
    made = seen(job(*condemned(NUT), kinds.OffersImported(text=only)))
    assert made.ordering.plan is None
    assert [each.part for each in made.ordering.nobody] == ["pinion-nut"]


def test_what_the_sheet_calls_final_cant_be_sent_back_whatever_the_list_says():
    lenient = LIST.replace("bare housing,,5,no", "bare housing,,5,yes")
    made = seen(job(*condemned(HOUSING), kinds.OffersImported(text=lenient)))
    assert not made.parcels[0].parcel.returnable


# ---- price lists ------------------------------------------------------------------------------


def test_every_mistake_of_a_list_is_told_at_once_with_its_line_and_nothing_is_lost():
    bad = LIST.replace("12.00", "-12.00").replace("7.00,EUR", "7.00,GBP")
    bad = bad.replace("Quay Stores,8.00", "Quay Stores,dear")
    state = job(*condemned(NUT), kinds.OffersImported(text=bad))
    made = seen(state)
    lines = bad.splitlines()
    places = " ".join(mistake.field for mistake in made.prices.mistakes)
    for sign in ("-12.00", "GBP", "Stores,dear"):
        number = next(n for n, line in enumerate(lines, start=1) if sign in line)
        assert f"line {number}," in places
    assert made.prices.empty and made.prices.broken_text == bad
    card = said(state).card
    assert card.title == "Mend the price list"
    ask = next(block for block in card.blocks if isinstance(block, Ask))
    assert next(field for field in ask.fields if field.name == "text").value == bad


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        ("supplier,number,price,currency,contents\nQ,K,5,EUR,K:1", "contain itself"),
        (
            "supplier,number,price,currency\nQ,a,5,EUR\n\nold,new\na,b\nb,a",
            "a chain that ends",
        ),
        ("supplier,number,price,currency\nQ,a,5,EUR\n\nnumber,quantity\na,-1", "zero or more"),
        ("hello", "column"),
    ],
)
def test_bad_lists_get_a_clear_answer(text, complaint):
    mistakes = seen(job(kinds.OffersImported(text=text))).prices.mistakes
    assert any(complaint in mistake.sentence() for mistake in mistakes)


def refused(state: State, body: kinds.Body) -> list[str]:
    """What the door says of a body: one sentence for each mistake."""
    entry = Entry("refused-1", body.KIND, body.model_dump(mode="json"), "AB", MOMENT)
    with pytest.raises(FormErrors) as caught:
        check_entry(state, entry)
    return [mistake.sentence() for mistake in caught.value.mistakes]


def test_a_broken_list_is_refused_at_the_door_with_every_mistake():
    bad = "supplier,number,price,currency\nQ,a,-5,EUR\nQ,b,5,USD\n\nnumber,quantity\na,-1"
    said_ = refused(job(PRICES), kinds.OffersImported(text=bad))
    assert len(said_) >= 3
    assert any("line 2" in one and "-5" in one for one in said_)
    assert any("line 3" in one and "USD" in one for one in said_)
    assert any("shelf" in one and "-1" in one for one in said_)


def test_a_list_that_closes_a_circle_with_the_one_beside_it_is_refused():
    first = kinds.OffersImported(text="supplier,number,price,currency\nQ,a,5,EUR\n\nold,new\na,b")
    other = kinds.OffersImported(
        text="supplier,number,price,currency\nQ,b,5,EUR\n\nold,new\nb,a", replaces=False
    )
    assert any("chain" in one for one in refused(job(first), other))
    state = job(*condemned(NUT), first, other)
    made = seen(state).prices
    assert made.mistakes and [offer.number for offer in made.catalogue.offers] == ["a"]


def test_a_broken_list_in_a_log_that_was_to_replace_a_good_one_leaves_it_in_force():
    bad = kinds.OffersImported(text="supplier,number\nQ,a")
    state = job(*condemned(NUT), PRICES, bad)
    made = seen(state)
    assert made.ordering.plan is not None
    assert made.ordering.plan == seen(job(*condemned(NUT), PRICES)).ordering.plan
    told = "\n".join(texts(said(state)))
    assert "earlier lists stay in force" in told and made.prices.mistakes
    mended = seen(job(*condemned(NUT), PRICES, bad, PRICES))
    assert not mended.prices.mistakes and mended.prices.broken_text == ""


def test_more_than_the_shelf_holds_cant_be_taken():
    counted = kinds.PartsShelved(lines=_lines(("pinion-nut", 2)))
    taken = kinds.PartsShelved(moves="taken", lines=_lines(("pinion-nut", 2), ("pinion-nut", 1)))
    assert "at most 2" in refused(job(PRICES, counted), taken)[0]


@pytest.mark.parametrize(
    ("body", "field"),
    [
        (kinds.OwnerSaid(who="a", how="letter", up_to="some"), "up_to"),
        (kinds.OwnerSaid(who="a", how="letter", up_to="900", currency="USD"), "currency"),
        (kinds.SettingMade(name="latest-date", value="soon"), "value"),
        (kinds.SettingMade(name="contingency", value="130 %"), "value"),
        (kinds.SettingMade(name="hours-strip", value="8/4/3"), "value"),
        (kinds.SettingMade(name="budget", value="-3"), "value"),
        (
            kinds.Ordered(
                order="1", supplier="Q", lines=(kinds.OrderLine(number="a", count=1, price="-1"),)
            ),
            "lines.0.price",
        ),
    ],
)
def test_sums_dates_and_shares_that_cant_be_read_are_refused(body, field):
    assert any(one.startswith(field) for one in refused(job(PRICES), body))


def test_a_broken_list_leaves_the_one_beside_it_in_force():
    beside = kinds.OffersImported(text="supplier,number\nQ,a", replaces=False)
    made = seen(job(*condemned(NUT), PRICES, beside))
    assert made.prices.mistakes and made.ordering.plan is not None


def test_freight_that_no_list_says_is_pointed_at_and_can_be_set():
    bare = LIST.partition("\n\n")[0]
    state = job(*condemned(NUT), kinds.OffersImported(text=bare))
    assert seen(state).prices.without_freight == ("Quay Stores", "Creek Bearings")
    assert seen(state).ordering.plan.total == Decimal(10)
    set_ = kinds.SettingMade(name="freight-creek-bearings", value="30")
    state = job(*condemned(NUT), kinds.OffersImported(text=bare), set_)
    assert seen(state).ordering.plan.total == Decimal(12)


def test_the_log_moves_the_shelf_and_it_cant_go_below_zero():
    counted = kinds.PartsShelved(lines=(kinds.OrderLine(number="pinion-nut", count=2),))
    taken = kinds.PartsShelved(
        moves="taken", lines=(kinds.OrderLine(number="pinion-nut", count=3),)
    )
    back = kinds.PartsShelved(
        moves="put back", lines=(kinds.OrderLine(number="pinion-nut", count=1),)
    )
    stock, mistakes = parts_shelf(job(counted, back))
    assert [(line.number, line.quantity) for line in stock] == [("pinion-nut", 3)]
    assert mistakes == ()
    _, mistakes = parts_shelf(job(counted, taken))
    assert "below zero" in mistakes[0].sentence()


def test_the_shelf_comes_before_the_suppliers_and_onto_the_pick_list():
    shelf = kinds.PartsShelved(lines=(kinds.OrderLine(number="pinion-nut", count=2),))
    state = job(*condemned(NUT), PRICES, shelf)
    made = seen(state)
    assert made.ordering.plan.shelf == (("pinion-nut", 1),) and made.ordering.plan.parcels == ()
    paper = say_order_papers.paper("pick-list", "", made, state, Style(), _day())
    assert "pinion-nut" in "\n".join(texts(paper))


def test_what_was_taken_from_the_shelf_is_here_and_not_ordered_again():
    shelf = kinds.PartsShelved(lines=(kinds.OrderLine(number="pinion-nut", count=2),))
    bodies = [*condemned(NUT), PRICES, shelf]
    ask = next(
        block
        for block in blocks_of(said(job(*bodies)))
        if isinstance(block, Ask) and block.title == "Taken from the shelf"
    )
    taken = kinds.PartsShelved.model_validate(dict(ask.fixed))
    made = seen(job(*bodies, taken))
    assert made.to_order == () and made.needs[0].here == 1
    assert [line.quantity for line in made.prices.catalogue.shelf] == [1]
    back = kinds.PartsShelved(moves="put back", lines=taken.lines)
    assert seen(job(*bodies, taken, back)).needs[0].to_order == 1


def test_the_makers_number_of_a_part_and_its_newer_number_serve_for_it():
    sheet = job().sheet
    assert sheet is not None
    listed = "supplier,number,price,currency\nQ,N-2,9,EUR\n\nold,new\nN-1,N-2"
    state = job(*condemned(NUT), kinds.OffersImported(text=listed))
    part = state.lookup.parts["pinion-nut"]
    parts = [replace_part(p, "N-1") if p is part else p for p in state.lookup.sheet.parts]
    state = replace(state, sheet=state.sheet.model_copy(update={"parts": tuple(parts)}))
    assert seen(state).ordering.plan.parcels[0].lines[0].offer.number == "N-2"


def replace_part(part, number):
    """The part with a maker's number."""
    return part.model_copy(update={"part_number": number})


# ---- the quote --------------------------------------------------------------------------------


def test_the_range_of_a_certain_repair_is_its_sum():
    """Everything is decided and every hour set: goods with tax, freight, hours times rate."""
    fixed = [
        kinds.SettingMade(name=name, value=value)
        for name, value in (("hours-strip", "2"), ("hours-rebuild", "3"), ("hours-setup", "0"))
    ]
    keep = [
        kinds.VerdictGiven(position=p.key, decision="use again", reason="measured good")
        for p in job().lookup.sheet.positions
        if p.key != HOUSING
    ]
    made = seen(job(*condemned(HOUSING), *keep, *fixed, PRICES))
    cost = made.quoting.choice(REPAIR).quoted.cost
    # 1000 with 20 % tax, freight free from 500, 5 h at 60
    assert cost.even_chance == pytest.approx(1500.0)
    assert cost.one_in_ten_above == pytest.approx(1500.0)
    assert made.quoting.stage == "take-in"


@pytest.mark.parametrize(("together", "chance"), [("0", 0.10), ("50 %", 0.05)])
def test_the_mean_moves_by_chance_times_price_when_one_part_is_undecided(together, chance):
    """E[cost] = certain + p·price, against the closed form, within four standard errors.

    The sheet says "seldom"; where half the damage comes together, a unit in which all else is
    good has no shared trouble, and p·(1 - w) is left.
    """
    fixed = [
        kinds.SettingMade(name=name, value=value)
        for name, value in (
            ("hours-strip", "2"),
            ("hours-rebuild", "3"),
            ("hours-setup", "0"),
            ("together", together),
        )
    ]
    keep = [
        kinds.VerdictGiven(position=p.key, decision="use again", reason="measured good")
        for p in job().lookup.sheet.positions
        if p.key != HOUSING
    ]
    made = seen(job(*keep, *fixed, PRICES))
    (risk,) = made.quoting.risks
    assert risk.chance == pytest.approx(chance, abs=1e-4)
    cost = made.quoting.choice(REPAIR).quoted.cost
    error = 1200 * (chance * (1 - chance) / made.quoting.draws) ** 0.5
    assert cost.mean == pytest.approx(300 + chance * 1200, abs=4 * error)
    assert made.quoting.movers[0][0] == risk.name


def test_a_condemned_piece_raises_the_chances_of_its_unit_and_of_no_other():
    before = {risk.key: risk for risk in seen(job(PRICES)).quoting.risks}
    key = next(
        risk.key
        for risk in before.values()
        if risk.trouble and risk.trouble.unit == "lower" and "+" not in risk.key
    )
    after = {risk.key: risk for risk in seen(job(PRICES, *condemned(key))).quoting.risks}
    for risk in after.values():
        unit = risk.trouble.unit
        old = before[risk.key].chance
        assert risk.chance > old if unit == "lower" else risk.chance == pytest.approx(old)
    assert "Damage comes together" in words(job(PRICES))
    alone = job(PRICES, kinds.SettingMade(name="together", value="0"))
    assert "Damage comes together" not in words(alone)
    assert (
        seen(alone).quoting.choice(REPAIR).quoted.cost.standard_deviation
        < seen(job(PRICES)).quoting.choice(REPAIR).quoted.cost.standard_deviation
    )


def test_the_ways_stand_side_by_side_with_the_exchange_unit_and_the_ceiling():
    ceiling = kinds.SettingMade(name="owner-ceiling", value="2000")
    state = job(*condemned(NUT), PRICES, ceiling)
    quoting = seen(state).quoting
    assert [each.name for each in quoting.choices] == [REPAIR, "exchange unit", PART_OUT]
    assert quoting.choice("exchange unit").quoted.cost.chance_over == 1.0
    assert sum(each.cheapest for each in quoting.choices if each.cheapest is not None) >= 1.0
    assert "Passes 2\u00a0000 EUR" in words(state)


def test_what_nobody_prices_is_left_out_of_the_range_and_said():
    quoting = seen(job(PRICES)).quoting
    assert "propeller" in quoting.unpriced
    assert "come on top" in words(job(PRICES))


def test_the_same_job_gives_the_same_range_and_a_told_one_lies_behind_the_next():
    state = job(*condemned(NUT), PRICES)
    ask = next(
        block
        for block in blocks_of(said(state))
        if isinstance(block, Ask) and block.kind == "quoted"
    )
    told = kinds.Quoted.model_validate(dict(ask.fixed))
    after = job(*condemned(NUT), PRICES, told)
    first, second = seen(state).quoting, seen(after).quoting
    assert first.seed == second.seed
    assert first.choice(REPAIR).quoted.cost == second.choice(REPAIR).quoted.cost
    pictures = [b.alt for b in blocks_of(said(after)) if isinstance(b, Picture)]
    assert any("told earlier" in alt for alt in pictures)


def test_contingency_stands_beside_the_range_and_never_in_it():
    plain = seen(job(PRICES)).quoting.choice(REPAIR).quoted
    more = kinds.SettingMade(name="contingency", value="25 %")
    dear = seen(job(PRICES, more)).quoting.choice(REPAIR).quoted
    assert dear.contingency == pytest.approx(0.25 * dear.cost.mean)
    assert dear.cost.mean == pytest.approx(plain.cost.mean, rel=0.02)


@pytest.mark.parametrize("given", ["", "many", "3/2/8", "-1", "1/2"])
def test_hours_that_cant_be_are_not_taken(given):
    assert three_points({"hours-strip": given}, "hours-strip") is None


# ---- the owner's yes --------------------------------------------------------------------------


def yes(up_to: str, **more: object) -> kinds.OwnerSaid:
    """A yes by telephone."""
    return kinds.OwnerSaid(who="the owner", how="telephone", plan=REPAIR, up_to=up_to, **more)


def test_an_order_that_cant_be_sent_back_waits_for_the_yes():
    made = seen(job(*condemned(HOUSING), PRICES))
    assert made.owner.standing == "not asked" and made.parcels[0].locked
    made = seen(job(*condemned(HOUSING), PRICES, yes("9000")))
    assert made.owner.standing == "yes" and not made.parcels[0].locked


def test_hidden_damage_that_passes_the_yes_asks_for_a_second():
    state = job(*condemned(HOUSING), PRICES, yes("600"))
    made = seen(state)
    assert made.owner.standing == "passed" and made.parcels[0].locked
    assert "Ask for a second yes." in words(state)
    told = kinds.Quoted(
        stage="take-in", choice=REPAIR, one_in_ten="9999",
        likely=str(round(made.quoting.choice(REPAIR).quoted.cost.even_chance)),
    )  # fmt: skip
    card = said(job(*condemned(HOUSING), PRICES, yes("600"), told)).card
    assert card.title == "Ask the owner for a second yes"


def test_the_lock_opens_with_a_reason_that_stays_on_the_page():
    opened = kinds.LockOpened(lock="order:quay-stores", reason="the housing is the last one")
    state = job(*condemned(HOUSING), PRICES, opened)
    assert not seen(state).parcels[0].locked
    assert "the housing is the last one" in words(state)


def test_a_yes_for_the_exchange_unit_orders_that_unit_and_not_the_need_list():
    word = kinds.OwnerSaid(who="the owner", how="telephone", plan="exchange unit", up_to="9000")
    state = job(*condemned(NUT), PRICES, word)
    made = seen(state)
    (parcel,) = made.parcels
    assert [line.offer.number for line in parcel.parcel.lines] == ["EXCHANGE"]
    assert not parcel.locked and parcel.parcel.deposit == 600
    assert said(state).card.title == "Order from Quay Stores"
    order = kinds.Ordered(order="Q-2", supplier="Quay Stores", lines=_lines(("EXCHANGE", 1)))
    after = seen(job(*condemned(NUT), PRICES, word, order))
    assert after.parcels == ()
    # Bought for 5.00 in this order, so the list's 3650 is no longer to come: 5 and freight 8.
    before, now = (v.quoting.choice("exchange unit").quoted.groups for v in (made, after))
    assert before["parts"] - now["parts"] == pytest.approx(3650 - 13)


def test_parting_out_orders_nothing():
    word = kinds.OwnerSaid(who="the owner", how="telephone", plan=PART_OUT)
    state = job(*condemned(NUT), PRICES, word)
    assert seen(state).parcels == () and said(state).card is None
    assert "The need list isn't ordered." in words(state)


def test_a_no_stops_ordering():
    state = job(*condemned(NUT), PRICES, yes("", yes=False))
    assert seen(state).owner.standing == "no" and said(state).card is None


def test_a_sum_in_another_currency_is_not_held_against_ours():
    word = agreed(job(yes("600 USD")))
    assert word.up_to is None and "currency" in word.unreadable
    assert seen(job(*condemned(HOUSING), PRICES, yes("600 USD"))).owner.standing == "unclear"
    assert agreed(job(yes("six hundred"))).unreadable


def test_deposits_add_up_and_the_latest_word_on_old_parts_stands():
    word = agreed(
        job(yes("500", deposit="100", old_parts="may be scrapped"), yes("900", deposit="50.50"))
    )
    assert word.deposit == Decimal("150.50") and word.old_parts == "may be scrapped"
    assert word.up_to == 900


@pytest.mark.parametrize(
    ("text", "value"),
    [("3000", "3000"), ("3,000", "3000"), ("EUR 12.50", "12.50"), ("1 250,50", "1250.50")],
)
def test_money_is_read_as_people_type_it(text, value):
    assert read_money(text) == Decimal(value)


@pytest.mark.parametrize("text", ["", "some", "1.2.3", "-5", "1,23,4", "NaN", "1e3"])
def test_what_isnt_money_isnt_guessed(text):
    assert read_money(text) is None


# ---- orders and goods -------------------------------------------------------------------------


def ordered(*lines: tuple[str, int]) -> kinds.Ordered:
    """An order to Quay Stores."""
    return kinds.Ordered(order="Q-1", supplier="Quay Stores", lines=_lines(*lines))


def received(*lines: tuple[str, int]) -> kinds.Received:
    """Goods of it."""
    return kinds.Received(order="Q-1", lines=_lines(*lines))


def _lines(*lines: tuple[str, int]) -> tuple[kinds.OrderLine, ...]:
    return tuple(kinds.OrderLine(number=n, count=c, price="5.00") for n, c in lines)


def test_what_is_ordered_is_not_ordered_again():
    made = seen(job(*condemned(NUT, TAB), PRICES, ordered(("pinion-nut", 1))))
    assert [line.part for line in made.to_order] == ["tab-washer"]
    assert made.orders[0].verdict == "on its way"


def test_what_came_in_beyond_need_goes_to_the_shelf_with_one_touch():
    bodies = [*condemned(NUT), PRICES, yes("9000"), ordered(("pinion-nut", 3)),
              received(("pinion-nut", 3))]  # fmt: skip
    state = job(*bodies)
    assert seen(state).left_over == (("pinion-nut", 2),)
    ask = next(b for b in blocks_of(said(state)) if isinstance(b, Ask) and b.title == "Left over")
    put = kinds.PartsShelved.model_validate(dict(ask.fixed))
    after = seen(job(*bodies, put))
    assert after.left_over == ()
    assert [(s.number, s.quantity) for s in after.prices.catalogue.shelf] == [("pinion-nut", 2)]
    assert after.needs[0].to_order == 0


def test_a_kit_on_its_way_counts_for_all_that_it_holds():
    made = seen(job(*condemned(NUT, TAB, RING), PRICES, ordered(("SMALLS", 1))))
    assert made.to_order == ()


def test_a_short_delivery_is_a_back_order_and_a_strange_bag_is_wrong():
    state = job(
        *condemned(NUT), PRICES, ordered(("bolt-m10", 6), ("pinion-nut", 1)),
        received(("bolt-m10", 4), ("tab-washer", 1)),
    )  # fmt: skip
    (check,) = seen(state).orders
    assert check.verdict == "wrong goods" and check.wrong == (("tab-washer", 1),)
    assert [(line.number, line.short) for line in check.back_ordered] == [
        ("bolt-m10", 2),
        ("pinion-nut", 1),
    ]
    assert "wrong: not ordered" in words(state)


def test_more_than_was_ordered_is_put_aside():
    (check,) = seen(job(ordered(("pinion-nut", 1)), received(("pinion-nut", 3)))).orders
    assert check.wrong == (("pinion-nut", 2),) and not check.back_ordered


def test_a_newer_number_in_the_bag_serves_and_an_older_one_only_where_told():
    links = "supplier,number,price,currency\nQ,OLD,5,EUR\n\nold,new,both_ways\nOLD,NEW,no"
    prices = kinds.OffersImported(text=links)
    (check,) = seen(job(prices, ordered(("OLD", 1)), received(("NEW", 1)))).orders
    assert check.verdict == "complete" and check.lines[0].others == (("NEW", 1),)
    (check,) = seen(job(prices, ordered(("NEW", 1)), received(("OLD", 1)))).orders
    assert check.wrong == (("OLD", 1),)
    both = kinds.OffersImported(text=links.replace("NEW,no", "NEW,yes"))
    (check,) = seen(job(both, ordered(("NEW", 1)), received(("OLD", 1)))).orders
    assert check.verdict == "complete"


def test_goods_for_an_order_that_nobody_recorded_are_said():
    assert "Goods came in for order Q-1, which nobody recorded." in words(
        job(received(("pinion-nut", 1)))
    )


# ---- papers and forms -------------------------------------------------------------------------


def _day():
    return date(2026, 3, 4)


def test_papers_say_what_the_room_says_to_the_cent():
    state = job(*condemned(NUT, TAB, RING), PRICES)
    made = seen(state)
    slug = made.parcels[0].slug
    paper = say_order_papers.paper("order", slug, made, state, Style(), _day())
    text = "\n".join(texts(paper))
    assert "30.50 EUR" in text and "SMALLS" in text
    rows = say_order_papers.order_csv(made, slug).split("\r\n")
    assert rows[0] == "supplier,number,name,count,price,currency"
    assert rows[1].startswith("Creek Bearings,SMALLS,") and rows[1].endswith(",1,19.50,EUR")
    quote = say_order_papers.paper("quote", "", made, state, Style(), _day())
    assert "hasn't said yes" in "\n".join(texts(quote))


def test_the_paper_of_an_order_can_be_had_after_it_was_placed():
    made = seen(job(*condemned(NUT), PRICES, ordered(("pinion-nut", 1))))
    assert "pinion-nut" in say_order_papers.order_csv(made, "quay-stores")


def test_unknown_papers_are_refused_by_name():
    state = job(PRICES)
    for kind, which in (("order", "nobody"), ("invoice", "")):
        with pytest.raises(InputError):
            say_order_papers.paper(kind, which, seen(state), state, Style(), _day())


def test_a_cell_that_a_spreadsheet_would_run_is_kept_as_text():
    evil = "supplier,number,price,currency,contents\nQ,=cmd(),1,EUR,pinion-nut:1"
    made = seen(job(*condemned(NUT), kinds.OffersImported(text=evil)))
    assert "'=cmd()" in say_order_papers.order_csv(made, "q")


TYPED = {
    "text": LIST, "reason": "it can't wait", "who": "the owner", "how": "telephone", "order": "Q-9",
    "name": "hourly-rate", "value": "70", "supplier": "Quay Stores", "yes": "true",
    "moves": "counted",
}  # fmt: skip


def filled(ask: Ask) -> dict[str, object]:
    """The body that a sensible person's form makes."""
    posted = {}
    for field in ask.fields:
        leaf = field.name.rpartition(".")[2]
        typed = LIST if leaf == "text" else field.value or TYPED.get(leaf, "")  # mended
        if field.choices and typed not in dict(field.choices):
            typed = field.choices[0][0]
        if field.name.startswith("lines.0"):
            typed = typed or {"number": "pinion-nut", "count": "1"}.get(leaf, "")
        posted[field.name] = [typed]
    return body_from(ask.kind, {"fixed": [json.dumps(dict(ask.fixed))], **posted})


@pytest.mark.parametrize(
    "bodies",
    [
        [],
        [*condemned(NUT, HOUSING)],
        [*condemned(NUT, HOUSING), PRICES],
        [*condemned(NUT, HOUSING), PRICES, yes("9000")],
        [*condemned(NUT), PRICES, yes("9000"), ordered(("bolt-m10", 6))],
        [PRICES, kinds.PartsShelved(lines=_lines(("pinion-nut", 2))), *condemned(NUT)],
        [kinds.OffersImported(text="supplier,number\nQ,a")],
    ],
)
def test_every_form_makes_an_entry_that_the_job_takes(bodies):
    state = job(*bodies)
    asks = [block for block in blocks_of(said(state)) if isinstance(block, Ask)]
    assert asks
    for number, ask in enumerate(asks):
        entry = Entry(f"try-{number:06d}", ask.kind, filled(ask), "AB", MOMENT)
        assert check_entry(state, entry) == ()


def test_the_card_walks_from_list_to_goods():
    titles = []
    steps: list[kinds.Body] = [*condemned(NUT)]
    titles.append(said(job(*steps)).card.title)
    steps.append(PRICES)
    card = said(job(*steps)).card
    titles.append(card.title)
    ask = next(block for block in card.blocks if isinstance(block, Ask))
    steps.append(kinds.Quoted.model_validate(dict(ask.fixed)))
    titles.append(said(job(*steps)).card.title)
    steps.append(yes("9000"))
    card = said(job(*steps)).card
    titles.append(card.title)
    ask = next(block for block in card.blocks if isinstance(block, Ask))
    steps.append(kinds.Ordered.model_validate({"order": "C-1", **ask.fixed}))
    card = said(job(*steps)).card
    titles.append(card.title)
    ask = next(block for block in card.blocks if isinstance(block, Ask))
    steps.append(kinds.Received.model_validate(dict(ask.fixed)))
    assert said(job(*steps)).card is None
    assert titles == [
        "Paste a price list",
        "Tell the owner what it may cost",
        "Ask the owner",
        "Order from Quay Stores",
        "Check in the goods of C-1",
    ]


def test_a_signed_job_asks_for_nothing_more():
    document = said(job(*condemned(NUT), PRICES, kinds.SignedOff(signed_by="AB")))
    assert document.card is None
    assert price_list(job(PRICES)).mistakes == ()
