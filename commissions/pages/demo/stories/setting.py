"""Two that are nearly done: one whose halo is set, one whose check sheet found a stone that moves."""

from __future__ import annotations

from commissions.pages.demo.cast import answers
from commissions.pages.demo.setting_out import Cast, on
from commissions.pages.demo.stories.common import check_in, lot_before, lot_of, make, ring, round_stone, sheet
from commissions.pages.demo.told import Teller
from commissions.pages.demo.told_of_stones import plotted_crystal
from commissions.sourcing import actions as sourcing


def joachim(cast: Cast) -> Teller:
    """At Setting: the halo is set, its photograph waits to be released."""
    tell = Teller(cast)
    brief = tell.brief(
        reference="P4V-8GB",
        email="joachim@seelenbrink.example",
        day="2026-05-11",
        given=answers(
            name="Joachim Seelenbrink",
            country="DE",
            when="2 10 2026",
            metals=("white",),
            allergy="no",
            look="Clear and exact. No gap that one sees.",
            size=("jeweller", "54", "iso", "sure"),
        ),
    )
    tell.open(
        brief=brief,
        title="Round 6.51 in a halo of 18, 18 ct white",
        currency="GBP",
        day="2026-05-12",
        needed_by="2026-10-02",
    )
    tell.draft_and_send(
        parameters=ring(
            centre=round_stone(6.51),
            depth=4.02,
            melee=1.3,
            metal="18ct white Pd",
            circumference=54.0,
            engraving="12.IX.26",
        ),
        day="2026-05-19",
    )
    tell.answers(day="2026-05-21", kind="agree", hold_points=("casting", "stones-set"))
    stone = tell.stone(
        day="2026-05-28",
        name="Round 1.05",
        outline=round_stone(6.51),
        depth=4.02,
        weight=1.05,
        report="DEMO-6608 1190",
        supplier="Halvorsen Stones (invented)",
        price_minor=268000,
        currency="GBP",
        owner="us",
    )
    tell.choose(stone=stone, day="2026-06-02")
    quote = tell.quote(
        day="2026-06-05",
        plan="40/30/30",
        lines=[
            ("centre", "Diamond, round 6.51 mm, 1.05 carat", 335000, 0),
            ("halo", "18 diamonds of 1.30 mm", 43200, 0),
            ("metal", "18 ct white gold, palladium, nickel-free by the supplier's sheet", 43120, 0),
            ("making", "Model, casting and mounting", 84000, 0),
            ("setting", "Centre and 18 halo stones", 61400, 0),
            ("finishing", "Polish and rhodium", 14000, 0),
            ("marking", "Hallmark and maker's mark", 9500, 0),
            ("engraving", "Engraving inside", 6500, 0),
            ("delivery", "Insured delivery to Germany", 16000, 0),
        ],
        tax_note="Export: no UK tax on this supply.",
    )
    tell.agrees(quote=quote, day="2026-06-09", promised="2026-10-01")
    tell.receives(minor=245088, day="2026-06-11", reference="LF-0288 first")
    tell.spends(day="2026-06-12", kind="stone", words="Round 1.05 bought", minor=268000)
    tell.spends(day="2026-06-12", kind="stone", words="20 diamonds of 1.30 mm", minor=22000)
    tell.spends(day="2026-06-15", kind="metal", words="18 ct white gold for the casting", minor=29000)
    tell.spends(day="2026-06-15", kind="work", words="Caster", minor=12000)
    tell.begin(day="2026-06-15")

    with on("2026-06-15", "10:00"):
        sourcing.check_in(
            stone=stone,
            weight_mct=1050,
            length_hmm=651,
            width_hmm=651,
            depth_hmm=402,
            inscription_typed="DEMO 6608-1190",
            seal="S-2188",
            person=cast.jeweller,
        )
    plotted_crystal(cast, stone, day="2026-06-16")
    metal = lot_before(cast, "18ct white Pd")
    tell.step(day="2026-06-16")
    tell.weigh(kind="model", mg=301, day="2026-06-17")
    tell.step(day="2026-06-17")
    tell.metal(lot=metal, kind="issue", mg=9800, day="2026-06-18")
    tell.step(day="2026-06-24")
    tell.weigh(kind="casting", mg=4820, day="2026-06-26")
    tell.photograph(day="2026-06-26", caption="Cast and cut from its tree", halo_set=False, centre_set=False)
    tell.step(day="2026-06-26")
    tell.says_go(day="2026-06-27")
    tell.metal(lot=metal, kind="return", mg=4620, day="2026-06-29")
    tell.step(day="2026-07-02")
    tell.metal(lot=metal, kind="filings", mg=710, day="2026-07-03")
    tell.weigh(kind="mount", mg=4310, day="2026-07-03")
    tell.metal(lot=metal, kind="piece", mg=4310, day="2026-07-03")
    tell.issues(day="2026-07-02")
    tell.photograph(
        day="2026-07-03",
        caption="The mount, cleaned up and round at your size",
        halo_set=False,
        centre_set=False,
    )
    tell.step(day="2026-07-03")
    tell.receives(minor=183816, day="2026-09-10", reference="LF-0288 second")
    tell.step(day="2026-09-11", person=cast.setter)
    tell.count(day="2026-09-14", returned=1, broken=1)
    tell.photograph(
        day="2026-09-14",
        caption="All eighteen halo stones set, tables level",
        centre_set=False,
        release=False,
        person=cast.setter,
        shot="halo",
    )
    tell.step(day="2026-09-14", person=cast.setter)
    tell.plan(day="2026-09-15", due="2026-09-17")
    return tell


_DAYS_MARISOL = {
    "model": ("2026-07-01", "2026-07-03"),
    "cast": ("2026-07-06", "2026-07-14"),
    "mount": ("2026-07-22", "2026-07-24"),
    "set": ("2026-08-20", "2026-08-27", "2026-08-28", "2026-08-28"),
    "finish": "2026-09-03",
    "mark": "2026-09-09",
}


def marisol(cast: Cast) -> Teller:
    """At Checking: halo stone 7 moves; the fix re-opens the tests that depend on it. A surprise."""
    tell = Teller(cast)
    brief = tell.brief(
        reference="K6T-5RM",
        email="marisol@vantreaux.example",
        day="2026-05-04",
        given=answers(
            name="Marisol Vantreaux",
            country="US",
            when="1 10 2026",
            surprise=True,
            metals=("platinum",),
            allergy="no",
            budget=("USD", "12,000", "15,000"),
            size=("borrowed", "16.5", "diameter", "fairly"),
            look="Generous. It may be seen across a room.",
        ),
    )
    tell.open(
        brief=brief,
        title="Round 7.38 in a halo of 20, platinum",
        currency="USD",
        day="2026-05-06",
        needed_by="2026-10-01",
    )
    tell.draft_and_send(
        parameters=ring(centre=round_stone(7.38), depth=4.55, melee=1.3, metal="Pt950Ru", circumference=51.9),
        day="2026-05-14",
    )
    tell.answers(day="2026-05-18", kind="agree")
    stone = tell.stone(
        day="2026-05-26",
        name="Round 1.52",
        outline=round_stone(7.38),
        depth=4.55,
        weight=1.52,
        report="DEMO-6607 5524",
        supplier="Halvorsen Stones (invented)",
        price_minor=702000,
        currency="USD",
        owner="us",
    )
    tell.choose(stone=stone, day="2026-05-29")
    quote = tell.quote(
        day="2026-06-02",
        plan="40/30/30",
        lines=[
            ("centre", "Diamond, round 7.38 mm, 1.52 carat", 842000, 0),
            ("halo", "20 diamonds of 1.30 mm", 68000, 0),
            ("metal", "Platinum 950", 92430, 0),
            ("making", "Model, casting and mounting", 168000, 0),
            ("setting", "Centre and 20 halo stones", 104000, 0),
            ("finishing", "Polish", 26000, 0),
            ("marking", "Hallmark and maker's mark", 14000, 0),
            ("delivery", "Insured delivery to the United States", 38000, 0),
        ],
        tax_note="Export: no UK tax on this supply.",
    )
    tell.agrees(quote=quote, day="2026-06-10", promised="2026-09-24")
    tell.receives(minor=540972, day="2026-06-12", reference="LF-0286 first")
    tell.spends(day="2026-06-15", kind="stone", words="Round 1.52 bought", minor=702000)
    tell.spends(day="2026-06-24", kind="metal", words="Platinum for the casting", minor=98000)
    tell.begin(day="2026-06-29")
    check_in(
        tell, cast, stone, day="2026-06-29", weight=1520, across=738, depth=455, inscription="DEMO66075524"
    )
    make(
        tell,
        cast,
        lot=lot_of(cast, "Pt950Ru", "June"),
        days=_DAYS_MARISOL,
        masses=(352, 7290, 5860),
        halo=20,
        metal="platinum",
    )
    tell.receives(minor=405729, day="2026-08-31", reference="LF-0286 second")
    sheet(tell, cast, day="2026-09-14", fix=(10, "Halo stone 7 moves under the needle"))
    tell.plan(day="2026-09-14", due="2026-09-18")
    return tell
