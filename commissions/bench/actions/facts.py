"""Writes of weights and counts."""

from __future__ import annotations

from django.db import IntegrityError, transaction

from commissions.bench import queries
from commissions.bench.actions import stones
from commissions.bench.models import Step, StoneCount, Weighing, WeighingKind
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import Commission
from studio import clock, quantities
from studio.people.models import Person
from studio.trail.actions import record as write_trail

JUMP_SHARE = 0.25
"""A weight that differs from the one before by more than this share is asked about once."""
HEAVY_MG = 60_000
"""A ring above 60 g is asked about once."""


def jump_in_words(*, commission: Commission, kind: str, net_mg: int) -> str:
    """Why a weight looks wrong, to be asked once; empty where it does not."""
    before = queries.latest_weight(commission=commission, kind=kind)
    if before and abs(net_mg - before.net_mg) > JUMP_SHARE * before.net_mg:
        return (
            f"{quantities.g(net_mg)} g is far from the {quantities.g(before.net_mg)} g before. "
            "Look at the scale once more; if it is right, keep it."
        )
    if kind != WeighingKind.RETURNS and net_mg > HEAVY_MG:
        return f"{quantities.g(net_mg)} g is very heavy for a ring. If it is right, keep it."
    return ""


@transaction.atomic
def weigh(
    *,
    commission: Commission,
    step: Step | None,
    kind: str,
    gross_mg: int,
    tare_mg: int,
    scale: str,
    person: Person,
    at=None,
    sure: bool = False,
) -> Weighing:
    """
    Keep a weight, mg.

    Effects, in order: an implausible weight is asked about, unless *sure*; the weighing is written; the
    trail says so.

    Raises:
        Refused: nothing on the scale, or a jump that nobody has confirmed.
    """
    net_mg = gross_mg - tare_mg
    if net_mg <= 0:
        raise Refused("The weight has to be more than the tare.")
    doubt = "" if sure else jump_in_words(commission=commission, kind=kind, net_mg=net_mg)
    if doubt:
        raise Refused(doubt)
    now = clock.now()
    row = Weighing.objects.create(
        commission=commission,
        step=step,
        kind=kind,
        net_mg=net_mg,
        tare_mg=tare_mg,
        scale=scale,
        person=person,
        at=at or now,
        noted_at=now,
    )
    write_trail(
        actor=person, verb="weighed", subject=commission.reference, facts={"what": kind, "mg": net_mg}
    )
    return row


@transaction.atomic
def take_back_weight(*, weighing: Weighing, person: Person) -> Weighing:
    """
    Take a weighing back by a further row.

    Effects, in order: the voiding row is written, once; the trail says so.

    Raises:
        Overtaken: it was taken back already.
    """
    now = clock.now()
    row = _void(
        Weighing(
            commission=weighing.commission,
            step=weighing.step,
            kind=weighing.kind,
            net_mg=weighing.net_mg,
            tare_mg=weighing.tare_mg,
            scale=weighing.scale,
            person=person,
            at=now,
            noted_at=now,
            voids=weighing,
        )
    )
    write_trail(
        actor=person,
        verb="took back a weight",
        subject=weighing.commission.reference,
        facts={"what": weighing.kind, "mg": weighing.net_mg},
    )
    return row


def _void(row):
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        raise Overtaken from None
    return row


@transaction.atomic
def count_stones(
    *,
    commission: Commission,
    step: Step | None,
    issued: int,
    set: int,
    returned: int,
    broken: int,
    lost: int,
    person: Person,
    at=None,
    lines: list[dict] | None = None,
) -> StoneCount:
    """
    Keep a count of where every issued stone is, over the whole job.

    *lines* are the same count lot by lot, with weights (see stones.tally).

    Effects, in order: the count is written, also where it does not come out even, and with it its lots;
    stones to replace what broke or was lost are asked for; the trail says so.

    Raises:
        Refused: a lot was not issued to this job.
    """
    now = clock.now()
    row = StoneCount.objects.create(
        commission=commission,
        step=step,
        issued=issued,
        set=set,
        returned=returned,
        broken=broken,
        lost=lost,
        person=person,
        at=at or now,
        noted_at=now,
    )
    if lines:
        stones.tally(count=row, lines=lines)
        stones.ask_for_replacement(commission=commission)
    write_trail(
        actor=person,
        verb="counted stones",
        subject=commission.reference,
        facts={"issued": issued, "set": set, "returned": returned, "broken": broken, "lost": lost},
    )
    return row


@transaction.atomic
def take_back_count(*, count: StoneCount, person: Person) -> StoneCount:
    """
    Take a count back by a further row.

    Effects, in order: the voiding row is written, once; the trail says so.

    Raises:
        Overtaken: it was taken back already.
    """
    now = clock.now()
    row = _void(
        StoneCount(
            commission=count.commission,
            step=count.step,
            issued=count.issued,
            set=count.set,
            returned=count.returned,
            broken=count.broken,
            lost=count.lost,
            person=person,
            at=now,
            noted_at=now,
            voids=count,
        )
    )
    write_trail(actor=person, verb="took back a count", subject=count.commission.reference)
    return row
