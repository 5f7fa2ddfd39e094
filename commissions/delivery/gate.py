"""The packing gate: what keeps a ring in the house, in words."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from commissions.bench import queries as bench
from commissions.bench.models import WeighingKind
from commissions.delivery import queries
from commissions.delivery.packing import SHOTS, checks_for
from commissions.delivery.paths import studio_path
from commissions.money import queries as money
from commissions.record.errors import Missing
from commissions.record.models import Commission
from commissions.sourcing import queries as sourcing
from studio import amounts, clock

CONFIRMED_DAYS = 7
"""How long a confirmed address counts, days; common practice, no source."""
WEIGHT_TOLERANCE_MG = 20
"""How far the ring may be from the check sheet's weighing, mg; common practice, no source."""


def missing(
    *, commission: Commission, answers: dict[str, str], ring_mg: int, seal: str, insured_minor: int
) -> list[Missing]:
    """Everything that is not met yet; empty where the parcel may be closed."""
    return [
        *(
            Missing(words=check.words)
            for check in checks_for(commission=commission)
            if answers.get(check.key) != "yes"
        ),
        *_photos(commission),
        *_weight(commission, ring_mg),
        *_stone(commission),
        *_papers(commission),
        *_value(commission, insured_minor),
        *_address(commission),
        *_balance(commission),
        *(
            []
            if seal.strip()
            else [Missing(words="The seal has no number yet: seal the box and copy the number.")]
        ),
    ]


def _photos(commission: Commission) -> Iterator[Missing]:
    taken = queries.shots_taken(commission=commission)
    for key, words in SHOTS:
        if key not in taken:
            yield Missing(words=f"No photograph of this yet: {words.lower()}.", path=studio_path(commission))


def _weight(commission: Commission, ring_mg: int) -> Iterator[Missing]:
    weighing = bench.latest_weight(commission=commission, kind=WeighingKind.RING)
    if weighing is None:
        yield Missing(
            words="The check sheet has no weight of the finished ring to compare with.",
            path=f"/studio/commissions/{commission.reference}/",
        )
    elif abs(weighing.net_mg - ring_mg) > WEIGHT_TOLERANCE_MG:
        yield Missing(
            words=f"The ring weighs {ring_mg / 1000:.2f} g, and {weighing.net_mg / 1000:.2f} g stands on the "
            f"check sheet: more than {WEIGHT_TOLERANCE_MG / 1000:.2f} g apart. Clean, dry and weigh it again; "
            "if it still differs, find out why before it leaves."
        )


def _stone(commission: Commission) -> Iterator[Missing]:
    stone = sourcing.chosen(commission=commission)
    if stone is None:
        return
    path = f"{studio_path(commission)}#stone"
    seen = sourcing.newest_check_in(stone=stone)
    again = queries.second_reading(commission=commission)
    if seen and seen.inscription_typed:
        if again is None:
            yield Missing(
                words="The inscription has not been read again after setting: read it once more, blind.",
                path=path,
            )
        elif not again.fits:
            yield Missing(
                words="What was read after setting does not agree with what was read before: it is not packed "
                "until it is known which stone this is.",
                path=path,
            )
    if queries.disclosure(commission=commission) is None:
        yield Missing(
            words="Nothing is written about treatments of the centre: say what the report or the supplier says.",
            path=path,
        )


def _papers(commission: Commission) -> Iterator[Missing]:
    record = queries.ring_record(commission=commission)
    changes = record.facts.get("changes", []) if record else []
    # A small job leaves with a record of what it changed, not with the one of years ago.
    if record is None or (
        commission.ring_id and commission.reference not in [row["reference"] for row in changes]
    ):
        yield Missing(words="The ring record is not made yet.", path=f"{studio_path(commission)}#papers")
    for row in queries.wording_problems(commission=commission):
        yield Missing(words=f"Wording: {row}", path=f"{studio_path(commission)}#papers")


def _value(commission: Commission, insured_minor: int) -> Iterator[Missing]:
    limit = queries.limit_for(carrier="", currency=commission.currency)
    if insured_minor <= 0:
        yield Missing(words="The parcel is insured for nothing: write what the policy pays if it is lost.")
    worth = money.agreed_sums(commission=commission.ring or commission)["net"]
    if 0 < insured_minor < worth:
        agreed = amounts.written(minor=worth, currency=commission.currency)
        yield Missing(words=f"It is insured for less than it cost, {agreed} without tax: insure its value.")
    if limit is None:
        yield Missing(
            words=f"No limit of your insurer's policy is kept in {commission.currency}.",
            path="/studio/dispatch/limits/",
        )
    elif insured_minor > limit.minor:
        yield Missing(words=_above(insured_minor, limit, "the policy's limit for one parcel"))


def _above(insured_minor: int, limit, of: str) -> str:
    value = amounts.written(minor=insured_minor, currency=limit.currency)
    most = amounts.written(minor=limit.minor, currency=limit.currency)
    return (
        f"The insured value of {value} is above {of}, {most} ({limit.source}, {limit.as_of:%-d %B %Y}): "
        "ask for a higher one in writing, or send it another way."
    )


def carrier_missing(*, carrier: str, currency: str, insured_minor: int) -> list[Missing]:
    """Why a carrier may not have this parcel: its terms are not kept, or it is worth more than they say."""
    limit = queries.limit_for(carrier=carrier, currency=currency)
    if limit is None:
        return [
            Missing(
                words=f"No limit of {carrier} is kept in {currency}: read whether its terms carry jewellery of this "
                "value, and keep what they say.",
                path="/studio/dispatch/limits/",
            )
        ]
    if insured_minor <= limit.minor:
        return []
    return [Missing(words=_above(insured_minor, limit, f"what {limit.carrier} carries"))]


def _address(commission: Commission) -> Iterator[Missing]:
    confirmed = queries.address_confirmed_at(commission=commission)
    if confirmed is None or clock.now() - confirmed > datetime.timedelta(days=CONFIRMED_DAYS):
        yield Missing(
            words="The client has not confirmed the address within seven days: ask them to.",
            path=studio_path(commission),
        )


def _balance(commission: Commission) -> Iterator[Missing]:
    quote = money.accepted_quote(commission=commission)
    if quote and any(row.outstanding > 0 for row in money.plan_rows(quote=quote)):
        yield Missing(
            words="The balance is not settled: the ring waits for it.",
            path=f"/studio/commissions/{commission.reference}/money/",
        )
