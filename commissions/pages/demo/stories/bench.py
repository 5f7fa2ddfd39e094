"""Two whose ring is begun: one on hold for the client's own stone, one whose casting is owed later than promised."""

from __future__ import annotations

from commissions.bench import actions as bench
from commissions.pages.demo.cast import answers
from commissions.pages.demo.setting_out import Cast, on
from commissions.pages.demo.stories.common import date, lot, oval_stone, ring, round_stone
from commissions.pages.demo.told import Teller
from commissions.pages.demo.told_of_stones import own_old_cut
from commissions.record import actions as record
from commissions.sourcing import actions as sourcing


def caetana(cast: Cast) -> None:
    """At Model, on hold: the client's own stone, its condition not signed yet."""
    tell = Teller(cast)
    brief = tell.brief(
        reference="W2K-7FH",
        email="caetana@brisamar.example",
        day="2026-07-20",
        given=answers(
            name="Caetana Brisamar",
            country="BR",
            occasion="remembrance",
            stone="own",
            metals=("yellow",),
            stone_words="My grandmother's old-cut diamond, still set in her ring.",
            look="Her stone, my ring.",
            size=("sizer", "", "", ""),
        ),
    )
    tell.open(brief=brief, title="Own old-cut 1.03 ct in a halo of 18", currency="GBP", day="2026-07-22")
    stated = ring(
        centre=round_stone(6.45),
        depth=3.92,
        melee=1.3,
        metal="18ct yellow",
        circumference=53.0,
        source="nominal",
    )
    tell.draft_and_send(parameters=stated, day="2026-07-30")
    tell.answers(day="2026-08-03", kind="agree")
    stone = tell.stone(
        day="2026-08-10",
        name="Caetana's old-cut",
        outline=round_stone(6.45),
        most=6.50,
        least=6.40,
        depth=3.92,
        weight=None,
        owner="client",
        note="Stated by the client; still to be measured here.",
    )
    tell.choose(stone=stone, day="2026-08-11")
    quote = tell.quote(
        day="2026-08-14",
        plan="50/50",
        lines=[
            ("halo", "18 diamonds of 1.30 mm", 48600, 0),
            ("metal", "18 ct yellow gold, beside the client's own", 31200, 0),
            ("making", "Model, casting and mounting", 96500, 0),
            ("setting", "The client's stone and 18 halo stones", 54410, 0),
            ("finishing", "Polish", 12000, 0),
            ("delivery", "Insured delivery both ways", 22000, 0),
        ],
        tax_note="Export: no UK tax on this supply.",
    )
    tell.agrees(quote=quote, day="2026-08-21", promised="2026-11-06")
    tell.receives(minor=132355, day="2026-08-25", reference="LF-0309 first")
    tell.spends(day="2026-08-27", kind="stone", words="18 diamonds of 1.30 mm", minor=24000)
    tell.begin(day="2026-09-11")

    own_old_cut(cast, stone)
    with on("2026-09-14", "11:00"):
        record.place_hold(
            commission=tell.commission,
            person=cast.owner,
            reason="The stone's condition is not signed: surface-reaching feather at 4 o'clock",
            client_reason="We have sent you the condition of your stone. Nothing is cut before you have signed it.",
        )


def wren(cast: Cast) -> None:
    """At Casting, with the caster, who casts again: another date is put to the client."""
    tell = Teller(cast)
    brief = tell.brief(
        reference="M9D-3SX",
        email="wren@alderpike.example",
        day="2026-06-29",
        given=answers(
            name="Wren Alderpike",
            country="AU",
            when="30 10 2026",
            shapes=("oval",),
            metals=("platinum",),
            does=("yes",),
            size=("jeweller", "M", "uk", "sure"),
        ),
    )
    tell.open(
        brief=brief,
        title="Oval 8.02 × 6.05 in a halo of 20, platinum",
        currency="GBP",
        day="2026-07-01",
        needed_by="2026-10-30",
    )
    tell.draft_and_send(
        parameters=ring(
            centre=oval_stone(8.02, 6.05),
            depth=3.72,
            melee=1.2,
            metal="Pt950Ru",
            circumference=52.5,
            width_mm=2.1,
        ),
        day="2026-07-10",
    )
    tell.answers(day="2026-07-14", kind="agree")
    stone = tell.stone(
        day="2026-07-24",
        name="Oval 1.21",
        outline=oval_stone(8.02, 6.05),
        depth=3.72,
        weight=1.12,
        report="DEMO-6609 8830",
        supplier="Halvorsen Stones (invented)",
        price_minor=318000,
        currency="GBP",
        owner="us",
    )
    tell.choose(stone=stone, day="2026-07-28")
    quote = tell.quote(
        day="2026-08-04",
        plan="40/30/30",
        lines=[
            ("centre", "Diamond, oval 8.02 × 6.05 mm, 1.12 carat", 398000, 0),
            ("halo", "20 diamonds of 1.20 mm", 46000, 0),
            ("metal", "Platinum 950", 42875, 0),
            ("making", "Model, casting and mounting", 128000, 0),
            ("setting", "Centre and 20 halo stones", 78700, 0),
            ("finishing", "Polish", 21000, 0),
            ("marking", "Hallmark and maker's mark", 12000, 0),
            ("delivery", "Insured delivery to Australia", 28000, 0),
        ],
        tax_note="Export: no UK tax on this supply.",
    )
    tell.agrees(quote=quote, day="2026-08-12", promised="2026-10-16")
    tell.receives(minor=301830, day="2026-08-14", reference="LF-0317 first")
    tell.spends(day="2026-08-18", kind="stone", words="Oval 1.21 bought", minor=318000)
    tell.spends(day="2026-08-20", kind="stone", words="20 diamonds of 1.20 mm", minor=26000)
    tell.spends(day="2026-08-24", kind="metal", words="Platinum for the casting", minor=113200)
    tell.spends(day="2026-08-24", kind="work", words="Caster booked", minor=55000)
    tell.begin(day="2026-08-31")

    with on("2026-09-01", "09:30"):
        sourcing.check_in(
            stone=stone,
            weight_mct=1120,
            length_hmm=802,
            width_hmm=605,
            depth_hmm=372,
            inscription_typed="DEMO66098830",
            seal="S-2203",
            person=cast.jeweller,
        )
    tell.step(day="2026-09-03")
    tell.weigh(kind="model", mg=287, day="2026-09-08")
    tell.photograph(
        day="2026-09-08",
        caption="The model on the scale: 0.287 g",
        grams="0.287",
        scale="The scale reads grams",
    )
    tell.step(day="2026-09-08")
    metal = lot(cast, "Pt950Ru")
    tell.metal(lot=metal, kind="issue", mg=9400, day="2026-09-09")
    tell.plan(day="2026-09-09", due="2026-09-16")
    sent = tell.sends_out(
        day="2026-09-09",
        supplier="Ferrow Casting (invented)",
        words="Cast once in Pt950Ru from the grown model; sprue and button back with it.",
        due="2026-09-16",
        mg=9400,
    )
    # The casting had a pore: it is cast again, the date slips, and the client is asked for another one.
    with on("2026-09-14", "11:20"):
        bench.owe_later(
            job=sent,
            due_on=date("2026-10-02"),
            reason="A pore beside a claw: cast again from a second model",
            person=cast.jeweller,
        )
    with on("2026-09-14", "16:30"):
        bench.propose_date(
            commission=tell.commission,
            after=date("2026-10-27"),
            reason="The first casting had a pore beside a claw, and we are having it cast again.",
            answer_by=date("2026-09-21"),
            person=cast.owner,
        )
