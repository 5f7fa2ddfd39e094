"""What several stories share: rings, metal lots, the way from model to mark, the check sheet."""

from __future__ import annotations

import datetime
from decimal import Decimal

from django.core.files.uploadedfile import SimpleUploadedFile

from commissions.bench import actions as bench
from commissions.bench import queries as bench_queries
from commissions.bench.defaults import FINAL_SHOTS
from commissions.bench.models import MetalLot
from commissions.bench.sheet import LINES, Measure, line_for
from commissions.delivery import actions as delivery
from commissions.delivery.packing import SHOTS
from commissions.design import queries as designs
from commissions.design.computing import standard
from commissions.pages.demo import photographs
from commissions.pages.demo.setting_out import Cast, on
from commissions.pages.demo.told import Teller
from commissions.sourcing import actions as sourcing
from studio.pictures.actions import receive

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


def date(text: str):

    return datetime.date.fromisoformat(text)


def lot(cast: Cast, alloy: str):

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


def lot_before(cast: Cast, alloy: str):

    with on("2026-06-01", "10:00"):
        return bench.open_lot(
            name=f"{alloy} June",
            alloy=alloy,
            mg=45000,
            person=cast.owner,
            supplier="Tidewater Bullion (invented)",
            scale="bench 2",
        )


def lot_of(cast: Cast, alloy: str, month: str):

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


def check_in(
    tell: Teller, cast: Cast, stone, *, day: str, weight: int, across: int, depth: int, inscription: str
) -> None:

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


def make(
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
    tell.issues(day=days["mount"][0])
    tell.step(day=days["mount"][1])
    for place, day in enumerate(days["set"]):
        if place == 3:
            tell.count(day=day, returned=2)
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


def sheet(tell: Teller, cast: Cast, *, day: str, fix: tuple[int, str] | None = None) -> None:
    """The check sheet, every line answered; one line may be found wanting."""
    with on(day, "10:00"):
        # What is found wanting comes last: it opens again the tests that depend on it.
        for line in sorted(LINES, key=lambda row: (fix is not None and row.number == fix[0], row.number)):
            wanting = fix is not None and line.number == fix[0]
            asked = line_for(
                line.number, figures=bench_queries.halo_figures(commission=tell.commission)
            ).measures
            found = [] if wanting else [_between(row) for row in asked]
            measured, second = [*found, None, None][:2]
            picture = None
            if wanting:
                picture = picture_of_fix(tell, cast)
            bench.answer_line(
                commission=tell.commission,
                number=line.number,
                verdict="fix" if wanting else "pass",
                person=cast.jeweller,
                measured=measured,
                second=second,
                note=fix[1] if wanting else "",
                picture=picture,
            )


def _between(measure: Measure) -> Decimal:
    """A figure in the middle of its target."""
    if measure.high is None:
        return measure.low + Decimal("0.1")
    return ((measure.low + measure.high) / 2).quantize(Decimal("0.01"))


def picture_of_fix(tell: Teller, cast: Cast):

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


def final_photographs(tell: Teller, *, day: str, metal: str) -> None:

    for shot, words in FINAL_SHOTS:
        if shot == "on-scale":
            tell.photograph(day=day, caption=words, shot=shot, grams="4.1", scale="The scale reads grams")
        else:
            tell.photograph(day=day, caption=words, shot=shot, metal=metal)


def parcel_photographs(tell: Teller, cast: Cast) -> None:
    """Contents, inner box and outer box, photographed before the parcel is closed."""
    for number, (shot, words) in enumerate(SHOTS):
        body = photographs.on_scale(grams="0.00", words=words, seed=number + 71)
        picture = receive(
            upload=SimpleUploadedFile("parcel.jpg", body, content_type="image/jpeg"),
            kind="parcel",
            person_words=str(cast.owner),
        )
        delivery.add_parcel_photo(commission=tell.commission, shot=shot, picture=picture, person=cast.owner)


def papers_ready(tell: Teller, cast: Cast, *, inscription: str, report: str) -> None:
    """The inscription read again after setting, treatments named, the ring record made."""
    delivery.read_again(
        commission=tell.commission,
        how="read",
        typed=inscription,
        agrees=None,
        words="",
        person=cast.jeweller,
    )
    delivery.disclose(
        commission=tell.commission,
        treated="none",
        words="",
        care_words="",
        source=f"Report {report}",
        person=cast.owner,
    )
    delivery.make_ring_record(commission=tell.commission, person=cast.owner)
