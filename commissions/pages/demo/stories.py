"""Ten commissions of an invented workshop on Tuesday 15 September 2026, each told from its beginning."""

from __future__ import annotations

import copy

from commissions.design.computing import standard
from commissions.pages.demo.cast import answers
from commissions.pages.demo.told import Cast, Teller, on
from commissions.record import actions as record

HALO_RULES = {
    "clearance_mm": 0.20,
    "clearance_max_mm": 0.35,
    "gap_min_mm": 0.10,
    "gap_max_mm": 0.20,
    "gap_wanted_mm": 0.12,
    "size_step_max_mm": 0.30,
}


def ring(
    *,
    centre: dict,
    depth: float,
    melee: float,
    metal: str,
    circumference: float = 54.0,
    origin: str = "natural",
    source: str = "report",
    engraving: str = "",
    rules: dict | None = None,
    **shank,
) -> dict:
    """Parameters of a halo ring with the workshop's own clearances and one size of halo stones."""
    made = standard(centre=centre, depth_mm=depth, circumference_mm=circumference, metal=metal)
    made["centre"] |= {"origin": origin, "from": source}
    made["halo"]["rules"] = {**HALO_RULES, **(rules or {})}
    made["halo"]["melee"] = {"sizes_mm": [melee], "stock": None, "wanted_mm": melee}
    made["shank"] |= shank
    made["engraving"] = engraving
    return made


def round_stone(diameter: float) -> dict:
    """A round girdle, mm."""
    return {"cut": "round", "diameter_mm": diameter}


def oval_stone(length: float, width: float) -> dict:
    """An oval girdle, mm."""
    return {"cut": "oval", "length_mm": length, "width_mm": width}


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
    tell.answers(day="2026-09-03", kind="ask", words="It is beautiful. Could the claws be thinner?")
    second = copy.deepcopy(first)
    second["claws"]["wire_mm"] = 0.9
    tell.draft_and_send(
        parameters=second,
        day="2026-09-10",
        note="The claws are drawn before they are filed down: at 0.90 mm wire they end finer than they look here.",
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
        return_by=_date("2026-09-22"),
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
        return_by=_date("2026-09-22"),
    )
    from commissions.sourcing import actions as sourcing

    with on("2026-09-12", "10:30"):
        sourcing.offer_stones(commission=tell.commission, person=cast.owner)


def _date(text: str):
    import datetime

    return datetime.date.fromisoformat(text)


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
    tell.begin(day="2026-09-11")
    from commissions.sourcing import actions as sourcing

    with on("2026-09-11", "16:00"):
        sourcing.check_in(
            stone=stone,
            weight_mct=1031,
            length_hmm=646,
            width_hmm=640,
            depth_hmm=392,
            inscription_typed="",
            seal="S-2217",
            person=cast.jeweller,
        )
    with on("2026-09-14", "11:00"):
        record.place_hold(
            commission=tell.commission,
            person=cast.owner,
            reason="The stone's condition is not signed: surface-reaching feather at 4 o'clock",
            client_reason="We have sent you the condition of your stone. Nothing is cut before you have signed it.",
        )


def wren(cast: Cast) -> None:
    """At Casting, with the caster."""
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
    tell.begin(day="2026-08-31")
    from commissions.sourcing import actions as sourcing

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
    lot = _lot(cast, "Pt950Ru")
    tell.metal(lot=lot, kind="issue", mg=9400, day="2026-09-09")
    tell.step(day="2026-09-09", start_only=True)
    tell.plan(day="2026-09-09", due="2026-09-16")


_LOTS: dict[str, object] = {}


def _lot(cast: Cast, alloy: str):
    from commissions.bench import actions as bench
    from commissions.bench.models import MetalLot

    found = MetalLot.objects.filter(name=f"{alloy} August").first()
    if found:
        return found
    with on("2026-08-03", "10:00"):
        return bench.open_lot(
            name=f"{alloy} August",
            alloy=alloy,
            mg=60000,
            person=cast.owner,
            supplier="Tidewater Bullion (invented)",
            scale="bench 2",
        )


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
    tell.answers(day="2026-05-21", kind="agree")
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
    tell.agrees(quote=quote, day="2026-06-09", promised="2026-09-25")
    tell.receives(minor=245088, day="2026-06-11", reference="LF-0288 first")
    tell.begin(day="2026-06-15")
    from commissions.sourcing import actions as sourcing

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
    lot = _lot_before(cast, "18ct white Pd")
    tell.step(day="2026-06-16")
    tell.weigh(kind="model", mg=301, day="2026-06-17")
    tell.step(day="2026-06-17")
    tell.metal(lot=lot, kind="issue", mg=9800, day="2026-06-18")
    tell.step(day="2026-06-24")
    tell.weigh(kind="casting", mg=4820, day="2026-06-26")
    tell.photograph(day="2026-06-26", caption="Cast and cut from its tree", halo_set=False, centre_set=False)
    tell.step(day="2026-06-26")
    tell.metal(lot=lot, kind="return", mg=4620, day="2026-06-29")
    tell.step(day="2026-07-02")
    tell.metal(lot=lot, kind="filings", mg=710, day="2026-07-03")
    tell.weigh(kind="mount", mg=4310, day="2026-07-03")
    tell.metal(lot=lot, kind="piece", mg=4310, day="2026-07-03")
    tell.photograph(
        day="2026-07-03",
        caption="The mount, cleaned up and round at your size",
        halo_set=False,
        centre_set=False,
    )
    tell.step(day="2026-07-03")
    tell.receives(minor=183816, day="2026-09-10", reference="LF-0288 second")
    tell.step(day="2026-09-11", person=cast.setter)
    tell.count(day="2026-09-14", issued=20, set=18, returned=1, broken=1)
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


def _lot_before(cast: Cast, alloy: str):
    from commissions.bench import actions as bench

    with on("2026-06-01", "10:00"):
        return bench.open_lot(
            name=f"{alloy} June",
            alloy=alloy,
            mg=45000,
            person=cast.owner,
            supplier="Tidewater Bullion (invented)",
            scale="bench 2",
        )


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
    tell.begin(day="2026-06-29")
    _check_in(
        tell, cast, stone, day="2026-06-29", weight=1520, across=738, depth=455, inscription="DEMO66075524"
    )
    _make(
        tell,
        cast,
        lot=_lot_once(cast, "Pt950Ru", "June"),
        days=_DAYS_MARISOL,
        masses=(352, 7290, 5860),
        halo=20,
        metal="platinum",
    )
    tell.receives(minor=405729, day="2026-08-31", reference="LF-0286 second")
    _sheet(tell, cast, day="2026-09-14", fix=(10, "Halo stone 7 moves under the needle"))
    tell.plan(day="2026-09-14", due="2026-09-18")
    return tell


_DAYS_MARISOL = {
    "model": ("2026-07-01", "2026-07-03"),
    "cast": ("2026-07-06", "2026-07-14"),
    "mount": ("2026-07-22", "2026-07-24"),
    "set": ("2026-08-20", "2026-08-27", "2026-08-28", "2026-08-28"),
    "finish": "2026-09-03",
    "mark": "2026-09-09",
}
_DAYS_KIAT = {
    "model": ("2026-06-22", "2026-06-24"),
    "cast": ("2026-06-25", "2026-07-03"),
    "mount": ("2026-07-13", "2026-07-15"),
    "set": ("2026-07-30", "2026-08-06", "2026-08-07", "2026-08-07"),
    "finish": "2026-08-13",
    "mark": "2026-08-21",
}
_DAYS_PHILIPPA = {
    "model": ("2026-01-26", "2026-01-28"),
    "cast": ("2026-01-29", "2026-02-05"),
    "mount": ("2026-02-12", "2026-02-13"),
    "set": ("2026-02-19", "2026-02-24", "2026-02-25", "2026-02-25"),
    "finish": "2026-02-27",
    "mark": "2026-03-04",
}


def _check_in(
    tell: Teller, cast: Cast, stone, *, day: str, weight: int, across: int, depth: int, inscription: str
) -> None:
    from commissions.sourcing import actions as sourcing

    with on(day, "09:40"):
        sourcing.check_in(
            stone=stone,
            weight_mct=weight,
            length_hmm=across,
            width_hmm=across,
            depth_hmm=depth,
            inscription_typed=inscription,
            seal=f"S-{2000 + weight}",
            person=cast.jeweller,
        )


def _lot_once(cast: Cast, alloy: str, month: str):
    from commissions.bench import actions as bench
    from commissions.bench.models import MetalLot

    days = {"January": "2026-01-12", "June": "2026-06-01"}
    found = MetalLot.objects.filter(name=f"{alloy} {month}").first()
    if found:
        return found
    with on(days[month], "10:00"):
        return bench.open_lot(
            name=f"{alloy} {month}",
            alloy=alloy,
            mg=60000,
            person=cast.owner,
            supplier="Tidewater Bullion (invented)",
            scale="bench 2",
        )


def _make(
    tell: Teller, cast: Cast, *, lot, days: dict, masses: tuple[int, int, int], halo: int, metal: str
) -> None:
    """From the model to the mark, with its weighings, metal movements, counts and photographs."""
    model, cast_mg, mount = masses
    issued = round(cast_mg * 1.45 / 100) * 100
    returned = issued - cast_mg - 60
    tell.step(day=days["model"][0])
    tell.weigh(kind="model", mg=model, day=days["model"][1])
    tell.step(day=days["model"][1])
    tell.metal(lot=lot, kind="issue", mg=issued, day=days["cast"][0])
    tell.step(day=days["cast"][0])
    tell.weigh(kind="casting", mg=cast_mg, day=days["cast"][1])
    tell.photograph(
        day=days["cast"][1],
        caption="Cast and cut from its tree",
        metal=metal,
        halo_set=False,
        centre_set=False,
    )
    tell.step(day=days["cast"][1])
    tell.metal(lot=lot, kind="return", mg=returned, day=days["cast"][1])
    tell.step(day=days["mount"][0])
    tell.weigh(kind="mount", mg=mount, day=days["mount"][1])
    tell.metal(lot=lot, kind="filings", mg=cast_mg - mount - 90, day=days["mount"][1])
    tell.metal(lot=lot, kind="piece", mg=mount, day=days["mount"][1])
    tell.step(day=days["mount"][1])
    for place, day in enumerate(days["set"]):
        if place == 3:
            tell.count(day=day, issued=halo + 2, set=halo, returned=2)
        tell.step(day=day, person=cast.setter)
        if place == 1:
            tell.photograph(
                day=day,
                caption=f"All {halo} halo stones set",
                metal=metal,
                centre_set=False,
                person=cast.setter,
            )
        if place == 2:
            tell.photograph(day=day, caption="Your stone is in its seat", metal=metal, person=cast.setter)
    tell.weigh(kind="ring", mg=mount + 340, day=days["finish"])
    tell.step(day=days["finish"])
    tell.photograph(day=days["finish"], caption="Polished, before it is marked", metal=metal)
    tell.step(day=days["mark"])


def _sheet(tell: Teller, cast: Cast, *, day: str, fix: tuple[int, str] | None = None) -> None:
    """The check sheet, every line answered; one line may be found wanting."""
    from decimal import Decimal

    from commissions.bench import actions as bench
    from commissions.bench.sheet import LINES

    with on(day, "10:00"):
        for line in LINES:
            wanting = fix is not None and line.number == fix[0]
            measured = None
            if line.unit and not wanting:
                measured = (line.low + line.high) / 2 if line.high is not None else line.low + Decimal("0.1")
            picture = None
            if wanting:
                picture = _picture(tell, cast)
            bench.answer_line(
                commission=tell.commission,
                number=line.number,
                verdict="fix" if wanting else "pass",
                person=cast.jeweller,
                measured=measured,
                note=fix[1] if wanting else "",
                picture=picture,
            )


def _picture(tell: Teller, cast: Cast):
    from django.core.files.uploadedfile import SimpleUploadedFile

    from commissions.design import queries as designs
    from commissions.pages.demo import photographs
    from studio.pictures.actions import receive

    revision = designs.agreed(commission=tell.commission)
    body = photographs.face_up(
        parameters=revision.parameters,
        layout=revision.outputs["layout"],
        metal="platinum",
        seed=77,
        centre_set=True,
        halo_set=True,
    )
    return receive(
        upload=SimpleUploadedFile("fix.jpg", body, content_type="image/jpeg"),
        kind="bench",
        person_words=str(cast.jeweller),
    )


def _final_photographs(tell: Teller, *, day: str, metal: str) -> None:
    from commissions.bench.defaults import FINAL_SHOTS

    for shot, words in FINAL_SHOTS:
        if shot == "on-scale":
            tell.photograph(day=day, caption=words, shot=shot, grams="4.1", scale="The scale reads grams")
        else:
            tell.photograph(day=day, caption=words, shot=shot, metal=metal)


def kiat(cast: Cast) -> None:
    """At Handover: dispatched on Friday, on its way; the money is held until it is proven to have arrived."""
    from commissions.bench import actions as bench
    from commissions.delivery import actions as delivery
    from commissions.delivery.packing import CHECKS

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
    tell.begin(day="2026-06-19")
    _check_in(
        tell, cast, stone, day="2026-06-19", weight=500, across=512, depth=315, inscription="DEMO66063302"
    )
    _make(
        tell,
        cast,
        lot=_lot_once(cast, "18ct rose/red", "June"),
        days=_DAYS_KIAT,
        masses=(248, 3760, 3080),
        halo=17,
        metal="rose",
    )
    _sheet(tell, cast, day="2026-08-27")
    _final_photographs(tell, day="2026-08-31", metal="rose")
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
    with on("2026-09-11", "11:00"):
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
            expected_on=_date("2026-09-16"),
            person=cast.owner,
        )


def philippa(cast: Cast) -> None:
    """In Care: delivered in March, the first claw check is due tomorrow."""
    from commissions.bench import actions as bench
    from commissions.delivery import actions as delivery
    from commissions.delivery.models import CareDate
    from commissions.delivery.packing import CHECKS

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
    _check_in(
        tell, cast, stone, day="2026-01-23", weight=370, across=461, depth=283, inscription="DEMO66010099"
    )
    _make(
        tell,
        cast,
        lot=_lot_once(cast, "18ct yellow", "January"),
        days=_DAYS_PHILIPPA,
        masses=(214, 3310, 2700),
        halo=17,
        metal="yellow",
    )
    tell.receives(minor=97518, day="2026-02-26", reference="LF-0201 second")
    _sheet(tell, cast, day="2026-03-05")
    _final_photographs(tell, day="2026-03-06", metal="yellow")
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
    with on("2026-03-12", "11:00"):
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
            expected_on=_date("2026-03-16"),
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
