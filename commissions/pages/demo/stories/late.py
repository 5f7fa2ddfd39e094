"""The two that have left: one on its way, one with its wearer."""

from __future__ import annotations

from commissions.bench import actions as bench
from commissions.delivery import actions as delivery
from commissions.delivery.models import CareDate
from commissions.delivery.packing import CHECKS
from commissions.pages.demo.cast import answers
from commissions.pages.demo.setting_out import Cast, on
from commissions.pages.demo.stories.common import (
    check_in,
    date,
    final_photographs,
    lot_of,
    make,
    papers_ready,
    parcel_photographs,
    ring,
    round_stone,
    sheet,
)
from commissions.pages.demo.told import Teller

_DAYS_KIAT = {
    "model": ("2026-06-22", "2026-06-24"),
    "cast": ("2026-06-25", "2026-07-03"),
    "mount": ("2026-07-13", "2026-07-15"),
    "set": ("2026-07-30", "2026-08-06", "2026-08-07", "2026-08-07"),
    "finish": "2026-08-13",
    "mark": "2026-08-21",
}


def kiat(cast: Cast) -> None:
    """At Handover: dispatched on Friday, on its way; the money is held until it is proven to have arrived."""
    tell = Teller(cast)
    brief = tell.brief(
        reference="D8N-4YQ",
        email="kiat@limharrowby.example",
        day="2026-05-13",
        given=answers(
            name="Kiat Lim-Harrowby",
            country="SG",
            when="20 9 2026",
            metals=("red",),
            look="Small, warm, exact.",
            size=("jeweller", "L", "uk", "sure"),
            budget=("USD", "5,000", "6,000"),
        ),
    )
    tell.open(
        brief=brief,
        title="Round 5.12 in a halo of 17, 18 ct rose",
        currency="USD",
        day="2026-05-15",
        needed_by="2026-09-20",
    )
    tell.draft_and_send(
        parameters=ring(
            centre=round_stone(5.12),
            depth=3.15,
            melee=1.1,
            rules={"gap_max_mm": 0.14},
            metal="18ct rose/red",
            circumference=51.3,
            width_mm=2.0,
        ),
        day="2026-05-22",
    )
    tell.answers(day="2026-05-25", kind="agree")
    stone = tell.stone(
        day="2026-06-01",
        name="Round 0.50",
        outline=round_stone(5.12),
        depth=3.15,
        weight=0.50,
        report="DEMO-6606 3302",
        supplier="Halvorsen Stones (invented)",
        price_minor=152000,
        currency="USD",
        owner="us",
    )
    tell.choose(stone=stone, day="2026-06-03")
    quote = tell.quote(
        day="2026-06-08",
        plan="50/50",
        lines=[
            ("centre", "Diamond, round 5.12 mm, 0.50 carat", 190000, 0),
            ("halo", "17 diamonds of 1.10 mm", 39915, 0),
            ("metal", "18 ct rose gold", 58000, 0),
            ("making", "Model, casting and mounting", 124000, 0),
            ("setting", "Centre and 17 halo stones", 82000, 0),
            ("finishing", "Polish", 18000, 0),
            ("marking", "Hallmark and maker's mark", 11000, 0),
            ("delivery", "Insured delivery to Singapore", 26000, 0),
        ],
        tax_note="Export: no UK tax on this supply.",
    )
    tell.agrees(quote=quote, day="2026-06-15", promised="2026-09-14")
    tell.receives(minor=274458, day="2026-06-17", reference="LF-0291 first")
    tell.spends(day="2026-06-18", kind="stone", words="Round 0.50 bought", minor=152000)
    tell.spends(day="2026-06-18", kind="metal", words="18 ct rose gold for the casting", minor=47000)
    tell.begin(day="2026-06-19")
    check_in(
        tell, cast, stone, day="2026-06-19", weight=500, across=512, depth=315, inscription="DEMO66063302"
    )
    make(
        tell,
        cast,
        lot=lot_of(cast, "18ct rose/red", "June"),
        days=_DAYS_KIAT,
        masses=(248, 3760, 3080),
        halo=17,
        metal="rose",
    )
    sheet(tell, cast, day="2026-08-27")
    final_photographs(tell, day="2026-08-31", metal="rose")
    with on("2026-09-02", "10:00"):
        bench.pass_check(commission=tell.commission, person=cast.owner)
        tell.commission.refresh_from_db()
        delivery.ask_for_address(commission=tell.commission)
    tell.receives(minor=274457, day="2026-09-07", reference="LF-0291 second")
    with on("2026-09-08", "14:00"):
        delivery.confirm_address(
            commission=tell.commission,
            addressee="K. Lim-Harrowby",
            lines="17 Invented Quay\n#04-02",
            country="SG",
            by_words="Kiat Lim-Harrowby",
        )
    with on("2026-09-11", "10:20"):
        papers_ready(tell, cast, inscription="DEMO 66063302", report="DEMO-6606 3302")
    with on("2026-09-11", "11:00"):
        parcel_photographs(tell, cast)
        shipment = delivery.pack(
            commission=tell.commission,
            answers={check.key: "yes" for check in CHECKS},
            ring_mg=3420,
            seal="K-40817",
            insured_minor=560000,
            person=cast.owner,
        )
        delivery.dispatch(
            shipment=shipment,
            carrier="Meridian Secure (invented)",
            service="Signature of an adult",
            tracking="MS-88120-SG",
            expected_on=date("2026-09-16"),
            person=cast.owner,
        )


_DAYS_PHILIPPA = {
    "model": ("2026-01-26", "2026-01-28"),
    "cast": ("2026-01-29", "2026-02-05"),
    "mount": ("2026-02-12", "2026-02-13"),
    "set": ("2026-02-19", "2026-02-24", "2026-02-25", "2026-02-25"),
    "finish": "2026-02-27",
    "mark": "2026-03-04",
}


def philippa(cast: Cast) -> None:
    """In Care: delivered in March, the first claw check is due tomorrow."""
    tell = Teller(cast)
    brief = tell.brief(
        reference="F3J-9LC",
        email="philippa@stonecroftvale.example",
        day="2026-01-06",
        given=answers(
            name="Philippa Stonecroft-Vale",
            country="GB",
            occasion="myself",
            metals=("yellow",),
            size=("jeweller", "K½", "uk", "sure"),
        ),
    )
    tell.open(brief=brief, title="Round 4.61 in a halo of 17, 18 ct yellow", currency="GBP", day="2026-01-08")
    tell.draft_and_send(
        parameters=ring(
            centre=round_stone(4.61),
            depth=2.83,
            melee=1.0,
            rules={"gap_max_mm": 0.14},
            metal="18ct yellow",
            circumference=50.6,
            width_mm=1.9,
        ),
        day="2026-01-12",
    )
    tell.answers(day="2026-01-13", kind="agree")
    stone = tell.stone(
        day="2026-01-15",
        name="Round 0.37",
        outline=round_stone(4.61),
        depth=2.83,
        weight=0.37,
        report="DEMO-6601 0099",
        supplier="Halvorsen Stones (invented)",
        price_minor=61000,
        currency="GBP",
        owner="us",
    )
    tell.choose(stone=stone, day="2026-01-16")
    quote = tell.quote(
        day="2026-01-19",
        plan="40/30/30",
        lines=[
            ("centre", "Diamond, round 4.61 mm, 0.37 carat", 98000, 20),
            ("halo", "17 diamonds of 1.00 mm", 21250, 20),
            ("metal", "18 ct yellow gold", 31640, 20),
            ("making", "Model, casting and mounting", 58500, 20),
            ("setting", "Centre and 17 halo stones", 26000, 20),
            ("finishing", "Polish", 8999, 20),
            ("marking", "Hallmark and maker's mark", 4500, 20),
            ("delivery", "Insured delivery", 12133, 20),
            ("adjustment", "Wider shank, agreed in February", 9861, 20),
        ],
    )
    tell.agrees(quote=quote, day="2026-01-21", promised="2026-03-20")
    tell.receives(minor=130024, day="2026-01-22", reference="LF-0201 first")
    tell.begin(day="2026-01-23")
    check_in(
        tell, cast, stone, day="2026-01-23", weight=370, across=461, depth=283, inscription="DEMO66010099"
    )
    make(
        tell,
        cast,
        lot=lot_of(cast, "18ct yellow", "January"),
        days=_DAYS_PHILIPPA,
        masses=(214, 3310, 2700),
        halo=17,
        metal="yellow",
    )
    tell.receives(minor=97518, day="2026-02-26", reference="LF-0201 second")
    sheet(tell, cast, day="2026-03-05")
    final_photographs(tell, day="2026-03-06", metal="yellow")
    with on("2026-03-09", "10:00"):
        bench.pass_check(commission=tell.commission, person=cast.owner)
        tell.commission.refresh_from_db()
    tell.receives(minor=97518, day="2026-03-10", reference="LF-0201 third")
    with on("2026-03-11", "12:00"):
        delivery.confirm_address(
            commission=tell.commission,
            addressee="P. Stonecroft-Vale",
            lines="3 Made-up Lane\nNowhere-on-Sea",
            country="GB",
            by_words="Philippa Stonecroft-Vale",
        )
    with on("2026-03-12", "10:20"):
        papers_ready(tell, cast, inscription="DEMO 66010099", report="DEMO-6601 0099")
    with on("2026-03-12", "11:00"):
        parcel_photographs(tell, cast)
        shipment = delivery.pack(
            commission=tell.commission,
            answers={check.key: "yes" for check in CHECKS},
            ring_mg=3040,
            seal="K-40101",
            insured_minor=330000,
            person=cast.owner,
        )
        delivery.dispatch(
            shipment=shipment,
            carrier="Meridian Secure (invented)",
            service="Signature of an adult",
            tracking="MS-80012-GB",
            expected_on=date("2026-03-16"),
            person=cast.owner,
        )
    with on("2026-03-16", "12:30"):
        delivery.confirm_arrival(
            shipment=shipment,
            proof="Philippa Stonecroft-Vale confirmed it on her page",
            by_words="Philippa Stonecroft-Vale",
        )
    for day, words in (
        ("2026-03-19", "Arrived as shown. I keep looking at it."),
        ("2026-04-15", "Comfortable; the size is right."),
    ):
        with on(day, "20:00"):
            care = (
                CareDate.objects.filter(commission=tell.commission, done_at__isnull=True)
                .order_by("due_on")
                .first()
            )
            delivery.finish_care(care=care, findings=words, by_words="Philippa Stonecroft-Vale")
    with on("2026-09-02", "07:00"):
        delivery.ask_due_care()
