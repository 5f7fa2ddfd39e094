"""The four that are not on the bench yet: a brief, a design, two stones, a quotation."""

from __future__ import annotations

import copy

from commissions.design import computing
from commissions.pages.demo import photographs
from commissions.pages.demo.cast import answers
from commissions.pages.demo.setting_out import Cast, on
from commissions.pages.demo.shapes import ellipse, plate_stl, scan_csv
from commissions.pages.demo.stories.common import date, oval_stone, ring, round_stone
from commissions.pages.demo.told import Teller
from commissions.sourcing import actions as sourcing


def runa(cast: Cast) -> None:
    """A brief of Saturday that waits for our answer; a surprise."""
    Teller(cast).brief(
        reference="V6E-3QJ",
        email="runa@fjelltoft.example",
        day="2026-09-12",
        given=answers(
            name="Runa Fjelltoft",
            country="NO",
            when="19 12 2026",
            surprise=True,
            budget=("GBP", "6,000", "8,000"),
            stone="undecided",
            stone_words="About 6.5 mm. I cannot decide between natural and laboratory-grown.",
            shapes=("round",),
            look="Quiet and bright, like frost. Low enough for mittens.",
            dislikes="Nothing that looks like a flower.",
            breakers="It must not catch on wool.",
            metals=("white",),
            allergy="unknown",
            does=("gloves", "sport"),
            size=("borrowed", "52,5", "iso", "fairly"),
        ),
    )


def ren(cast: Cast) -> None:
    """At Design: revision B waits for the client, who asked about the claws."""
    tell = Teller(cast)
    brief = tell.brief(
        reference="B3X-9TN",
        email="ren@asagishima.example",
        day="2026-08-19",
        given=answers(
            name="Ren Asagishima",
            country="JP",
            occasion="anniversary",
            shapes=("oval",),
            metals=("platinum",),
            look="Slender. The oval should look long, not wide.",
            dislikes="Heavy claws.",
            size=("jeweller", "12", "jp", "sure"),
        ),
    )
    tell.open(
        brief=brief,
        title="Oval 9.12 × 6.64 in a halo, platinum",
        currency="GBP",
        day="2026-08-21",
        needed_by="2026-12-05",
    )
    tell.receives(minor=24000, day="2026-08-24", reference="LF-0311 design fee")
    first = ring(
        centre=oval_stone(9.12, 6.64),
        depth=4.10,
        melee=1.3,
        metal="Pt950Ru",
        circumference=52.4,
        width_mm=2.0,
        width_end_mm=1.8,
    )
    tell.draft_and_send(
        parameters=first,
        day="2026-08-31",
        note="Four claws at the corners; the shank narrows towards the back.",
    )
    thick = tell.comments(day="2026-09-03", view="top", place="claw:ne", words="These look heavy to me.")
    tell.answers(day="2026-09-03", kind="ask", words="It is beautiful. Could the claws be thinner?")
    second = copy.deepcopy(first)
    second["claws"]["wire_mm"] = 0.9
    plate = plate_stl(ellipse(9.34, 6.86, points=240), ellipse(12.2, 9.7, points=240))
    tell.draft_and_send(
        parameters=second,
        day="2026-09-10",
        note="The claws are drawn before they are filed down: at 0.90 mm wire they end finer than they look here.",
        despite="Asked for by the client, to be seen. To be agreed only once a trial claw of this wire has held.",
        scan=("oval on offer.csv", scan_csv(9.12, 6.64)),
        files=(
            (
                "render",
                "from above.jpg",
                photographs.face_up(
                    parameters=second,
                    layout=computing.outputs(second)["layout"],
                    metal="white",
                    seed=19,
                    centre_set=True,
                    halo_set=True,
                ),
                "Set for the eye: colour and polish are only illustrative, the drawing and its figures count.",
            ),
            ("model", "halo plate B.stl", plate, "The halo's plate as modelled, without stones and claws."),
        ),
    )
    tell.lays_over(day="2026-09-11", name="halo plate B.stl", content=plate)
    tell.answers_comment(
        day="2026-09-10", comment=thick, words="Changed in revision B: 0.90 mm wire.", close=True
    )
    gallery = tell.comments(
        day="2026-09-11", view="front", place="gallery", words="Will a glove catch under here?"
    )
    tell.answers_comment(
        day="2026-09-14",
        comment=gallery,
        words="No: the rails run in without an edge, and we test it with a nylon cloth before it leaves us.",
    )


def delphine(cast: Cast) -> None:
    """At Stones: two on approval, both go back by Tuesday."""
    tell = Teller(cast)
    brief = tell.brief(
        reference="H8R-2WV",
        email="delphine@quarrie.example",
        day="2026-07-27",
        given=answers(
            name="Delphine Quarrie",
            country="CA",
            when="18 12 2026",
            shapes=("round",),
            metals=("yellow",),
            look="Warm, round, a little old-fashioned.",
            budget=("GBP", "7,000", "9,500"),
            size=("jeweller", "6 1/2", "us", "sure"),
        ),
    )
    tell.open(
        brief=brief,
        title="Round near 1 ct, two on approval",
        currency="GBP",
        day="2026-07-29",
        needed_by="2026-12-18",
    )
    tell.receives(minor=24000, day="2026-07-31", reference="LF-0298 design fee")
    tell.draft_and_send(
        parameters=ring(
            centre=round_stone(6.45), depth=3.98, melee=1.3, metal="18ct yellow", circumference=53.2
        ),
        day="2026-08-07",
    )
    tell.answers(day="2026-08-10", kind="agree")
    tell.stone(
        day="2026-09-08",
        name="Round 1.05",
        outline=round_stone(6.525),
        most=6.54,
        least=6.51,
        depth=4.02,
        weight=1.05,
        report="DEMO-6610 4471",
        supplier="Halvorsen Stones (invented)",
        price_minor=412000,
        currency="GBP",
        owner="supplier",
        return_by=date("2026-09-22"),
        asked_minor=515000,
        slip="HS-2291",
        insurer="the supplier, door to door",
        received_on=date("2026-09-08"),
    )
    tell.stone(
        day="2026-09-08",
        name="Round 0.99",
        outline=round_stone(6.40),
        most=6.42,
        least=6.38,
        depth=3.95,
        weight=0.99,
        report="DEMO-6610 4502",
        supplier="Halvorsen Stones (invented)",
        price_minor=371500,
        currency="GBP",
        owner="supplier",
        return_by=date("2026-09-22"),
        asked_minor=464000,
        slip="HS-2291",
        insurer="the supplier, door to door",
        received_on=date("2026-09-08"),
    )

    with on("2026-09-12", "10:30"):
        sourcing.offer_stones(commission=tell.commission, person=cast.owner)
    tell.comments(
        day="2026-09-14",
        view="front",
        place="shoulder-left",
        words="Could the band be a little slimmer here, where it meets the stone?",
    )


def tadhg(cast: Cast) -> None:
    """At Agreement: the quotation of last Tuesday waits for the client."""
    tell = Teller(cast)
    brief = tell.brief(
        reference="T5C-6JP",
        email="tadhg@mulvennon.example",
        day="2026-08-03",
        given=answers(
            name="Tadhg Mulvennon",
            country="IE",
            when="28 11 2026",
            stone="laboratory-grown",
            metals=("white",),
            allergy="no",
            look="As bright as it gets.",
            size=("jeweller", "O", "uk", "fairly"),
            budget=("GBP", "4,000", "5,000"),
        ),
    )
    tell.open(
        brief=brief,
        title="Laboratory-grown round 6.43 in a halo of 19",
        currency="GBP",
        day="2026-08-05",
        needed_by="2026-11-28",
    )
    tell.receives(minor=24000, day="2026-08-07", reference="LF-0304 design fee")
    tell.draft_and_send(
        parameters=ring(
            centre=round_stone(6.43),
            depth=3.93,
            melee=1.2,
            metal="18ct white Pd",
            circumference=55.0,
            origin="laboratory-grown",
            engraving="mo chroí",
            rules={"gap_max_mm": 0.14, "clearance_max_mm": 0.25},
        ),
        day="2026-08-17",
    )
    tell.answers(day="2026-08-20", kind="agree")
    stone = tell.stone(
        day="2026-08-28",
        name="Laboratory-grown 6.43",
        outline=round_stone(6.43),
        depth=3.93,
        weight=0.99,
        origin="laboratory-grown",
        report="DEMO-LG 20418",
        supplier="Halvorsen Stones (invented)",
        price_minor=64000,
        currency="GBP",
        owner="us",
    )
    tell.choose(stone=stone, day="2026-09-02")
    tell.quote(
        day="2026-09-08",
        valid_until="2026-09-22",
        plan="40/30/30",
        lines=[
            ("design", "Design, three revisions", 24000, 0),
            ("centre", "Laboratory-grown diamond, round 6.43 mm, 0.99 carat", 98000, 0),
            ("halo", "19 laboratory-grown diamonds of 1.20 mm", 28500, 0),
            ("metal", "18 ct white gold, palladium", 61390, 0),
            ("making", "Model, casting and mounting", 118000, 0),
            ("setting", "Centre and 19 halo stones", 62700, 0),
            ("finishing", "Polish and rhodium", 18000, 0),
            ("marking", "Hallmark and maker's mark", 9500, 0),
            ("engraving", "Engraving inside", 6500, 0),
            ("delivery", "Insured delivery to Ireland", 22000, 0),
        ],
        tax_note="Export: no UK tax on this supply. Import tax and duty in the country of destination are not included.",
    )
