"""The packing gate: what keeps a ring in the house, in words."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from commissions.bench import queries as bench
from commissions.bench.models import WeighingKind
from commissions.delivery import queries
from commissions.delivery.packing import CHECKS, SHOTS
from commissions.delivery.paths import studio_path
from commissions.money import queries as money
from commissions.record.errors import Missing
from commissions.record.models import Commission
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
        *(Missing(words=check.words) for check in CHECKS if answers.get(check.key) != "yes"),
        *_photos(commission),
        *_weight(commission, ring_mg),
        *_value(commission, insured_minor),
        *_address(commission),
        *_balance(commission),
        *([] if seal.strip() else [Missing(words="The seal has no number yet.")]),
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
            f"check sheet: more than {WEIGHT_TOLERANCE_MG / 1000:.2f} g apart."
        )


def _value(commission: Commission, insured_minor: int) -> Iterator[Missing]:
    limit = queries.limit_for(carrier="", currency=commission.currency)
    if insured_minor <= 0:
        yield Missing(words="The parcel is insured for nothing.")
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
    return f"The insured value of {value} is above {of}, {most} ({limit.source}, {limit.as_of:%-d %B %Y})."


def above_carrier_limit(*, carrier: str, currency: str, insured_minor: int) -> list[Missing]:
    """Why a carrier does not take a parcel of this value; empty where it does, or where nothing is kept."""
    limit = queries.limit_for(carrier=carrier, currency=currency)
    if limit is None or insured_minor <= limit.minor:
        return []
    return [Missing(words=_above(insured_minor, limit, f"what {limit.carrier} carries"))]


def _address(commission: Commission) -> Iterator[Missing]:
    confirmed = queries.address_confirmed_at(commission=commission)
    if confirmed is None or clock.now() - confirmed > datetime.timedelta(days=CONFIRMED_DAYS):
        yield Missing(
            words="The client has not confirmed the address within seven days.", path=studio_path(commission)
        )


def _balance(commission: Commission) -> Iterator[Missing]:
    quote = money.accepted_quote(commission=commission)
    if quote and any(row.outstanding > 0 for row in money.plan_rows(quote=quote)):
        yield Missing(
            words="The balance is not settled.", path=f"/studio/commissions/{commission.reference}/money/"
        )
