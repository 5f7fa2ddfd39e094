"""Two currencies in one entry: each balances by itself, over the conversion account between them."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from commissions.money.actions.posting import Line, credit, debit, post
from commissions.money.models import Commitment, Conversion, Entry, Rate
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio import clock
from studio.amounts import exponent, written
from studio.people.models import Person
from studio.trail.actions import record as write_trail

FAR = 10
"""Percent: a difference larger than this is a rate typed the wrong way round, or another sum."""


@dataclass(frozen=True, kw_only=True)
class Foreign:
    """What came in or went out in another currency, minor units, and the rate of that day."""

    minor: int
    currency: str
    rate: Rate

    def worth(self, *, currency: str) -> int:
        """
        What it is worth in *currency*, minor units, at its rate.

        Raises:
            Refused: the rate is not between the two.
        """
        if {self.rate.of, self.rate.into} != {self.currency, currency}:
            raise Refused(f"The rate must be between {self.currency} and {currency}.")
        return self.rate.worth(minor=self.minor, currency=self.currency)


def check_near(*, foreign: Foreign, minor: int, currency: str) -> int:
    """
    What *foreign* is worth beyond *minor* (below nought where it is worth less).

    Raises:
        Refused: the two are so far apart that the rate must be another.
    """
    worth = foreign.worth(currency=currency)
    if abs(worth - minor) * 100 > FAR * max(worth, minor):
        raise Refused(
            f"At this rate {written(minor=foreign.minor, currency=foreign.currency)} is "
            f"{written(minor=worth, currency=currency)}, far from "
            f"{written(minor=minor, currency=currency)}: look at the rate and which way round it is."
        )
    return worth - minor


def came_in(
    *, foreign: Foreign, minor: int, commission: Commission, into: str = "bank"
) -> tuple[list[Line], int]:
    """
    Lines for a claim of *minor* units that was settled by *foreign*, and the difference.

    The bank holds the foreign sum; the conversion account stands between; what the sum was worth beyond the
    claim is the exchange difference (a gain), what it was worth less is a loss.
    """
    gain = check_near(foreign=foreign, minor=minor, currency=commission.currency)
    return [
        debit(into, foreign.minor, currency=foreign.currency),
        credit("conversion", foreign.minor, currency=foreign.currency),
        debit("conversion", minor, commission=commission),
        debit("conversion", gain),
        credit("exchange", gain, commission=commission),
    ], gain


def went_back(
    *, foreign: Foreign, minor: int, commission: Commission, out_of: str = "bank"
) -> tuple[list[Line], int]:
    """Lines for a refund of *minor* units that was paid as *foreign*, and the difference (a loss below nought)."""
    gain = -check_near(foreign=foreign, minor=minor, currency=commission.currency)
    return [
        credit(out_of, foreign.minor, currency=foreign.currency),
        debit("conversion", foreign.minor, currency=foreign.currency),
        credit("conversion", minor, commission=commission),
        debit("conversion", gain),
        credit("exchange", gain, commission=commission),
    ], gain


@transaction.atomic
def keep_rate(
    *,
    of: str,
    into: str,
    rate: Decimal,
    source: str,
    person: Person,
    on: datetime.date | None = None,
) -> Rate:
    """
    Keep a rate of exchange: 1 *of* = *rate* *into*, six decimals; the same rate of a day is kept once.

    Effects: the rate is written with its source and who entered it.

    Raises:
        Refused: the currencies are the same or unknown, the rate is not above nought, or it has no source.
    """
    try:
        exponent(of), exponent(into)
    except ValueError as error:
        raise Refused(f"{str(error).capitalize()}.") from None
    if of == into:
        raise Refused("A rate stands between two currencies.")
    if rate <= 0 or not source.strip():
        raise Refused("A rate is more than nought and says where it comes from.")
    on = on or clock.today()
    same = {"of": of, "into": into, "rate": rate.quantize(Decimal("0.000001")), "source": source, "on": on}
    found = Rate.objects.filter(**same).first()
    return found or Rate.objects.create(**same, made_by=person, made_at=clock.now())


def keep_conversion(
    *, entry: Entry, foreign: Foreign, minor: int, commission: Commission, difference: int
) -> None:
    """Keep beside *entry* both sums, the rate and the difference; once."""
    Conversion.objects.get_or_create(
        entry=entry,
        defaults={
            "rate": foreign.rate,
            "foreign_minor": foreign.minor,
            "foreign_currency": foreign.currency,
            "minor": minor,
            "currency": commission.currency,
            "difference_minor": difference,
        },
    )


@transaction.atomic
def pay_bill(
    *,
    commitment: Commitment,
    minor: int,
    currency: str,
    reference: str,
    person: Person,
    on: datetime.date | None = None,
) -> Entry:
    """
    Enter that the bill of a commitment was paid, from the bank of *currency*; a bill is paid once.

    Effects, in order: suppliers are debited with what the bill says and the bank is credited with what it
    took; where the bill is in another currency than the bank, what it took beyond what the bill was entered
    at is the exchange difference; the commitment is marked paid; the trail says so.

    Raises:
        Refused: it is paid already, the sum is not the bill's, or the currency is neither the bill's nor the piece's.
    """
    commitment = Commitment.objects.select_for_update().select_related("commission").get(pk=commitment.pk)
    commission = commitment.commission
    if commitment.paid_entry_id:
        return commitment.paid_entry
    if not commitment.is_owed:
        raise Refused("This bill is paid already.")
    owed, bill_currency = commitment.owed
    lines = [debit("payables", owed, currency=bill_currency)]
    difference = 0
    if currency == bill_currency:
        if minor != owed:
            raise Refused(
                f"The bill is {written(minor=owed, currency=bill_currency)}: it is paid with that sum."
            )
        lines.append(credit("bank", minor, currency=currency))
    elif currency == commission.currency:
        difference = commitment.minor - minor
        if abs(difference) * 100 > FAR * max(commitment.minor, minor):
            raise Refused(
                f"It was entered at {written(minor=commitment.minor, currency=currency)}; "
                f"{written(minor=minor, currency=currency)} is too far from that to be a difference of rates."
            )
        lines += [
            credit("conversion", owed, currency=bill_currency),
            debit("conversion", commitment.minor),
            credit("exchange", difference, commission=commission),
            credit("bank", minor),
        ]
    else:
        raise Refused(f"Pay it from {bill_currency} or {commission.currency}.")
    entry = post(
        key=f"paid:{commitment.key}"[:120],
        kind="bill paid",
        currency=commission.currency,
        lines=lines,
        memo=f"Paid: {commitment.words}"[:200],
        by_words=str(person),
        on=on,
        source=reference,
        commission=commission,
    )
    if currency != bill_currency:
        Conversion.objects.get_or_create(
            entry=entry,
            defaults={
                "foreign_minor": owed,
                "foreign_currency": bill_currency,
                "minor": minor,
                "currency": currency,
                "difference_minor": difference,
            },
        )
    Commitment.objects.filter(pk=commitment.pk, paid_entry__isnull=True).update(paid_entry=entry)
    write_trail(
        actor=person, verb="paid a bill", subject=commission.reference, facts={"reference": reference}
    )
    return entry
