"""Lots of small stones: received, issued, counted back; never mixed, never below nought."""

from __future__ import annotations

from django.db import transaction

from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.sourcing.models import LotKind, LotMove, MeleeLot, Screening
from commissions.sourcing.queries.melee import Heap, balance, lot_check
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def open_lot(
    *,
    name: str,
    size_hmm: int,
    count: int,
    weight_mct: int,
    origin: str,
    person: Person,
    species: str = "diamond",
    supplier: str = "",
    screening: str = Screening.NOT_DONE,
    screening_words: str = "",
    reason: str = "",
    cost_minor: int | None = None,
    currency: str = "",
) -> MeleeLot:
    """
    Take a lot in.

    Effects, in order: count and weight are held against the size chart; the lot is written with what
    was found; its first movement is written.

    Raises:
        Refused: a lot of that name is here, the point has slipped by ten, or the mean does not fit the
            size and nobody says why.
        BadInput: a figure is out of range.
    """
    if MeleeLot.objects.filter(name=name).exists():
        raise Refused(
            f"A lot called {name} is here already: a new parcel gets its own name and is kept apart."
        )
    found = lot_check(size_hmm=size_hmm, count=count, weight_mct=weight_mct)
    words = " ".join(found.findings)
    if found.verdict == "tenfold":
        raise Refused(words)
    if found.verdict != "agrees" and not reason.strip():
        raise Refused(f"{words} Count and weigh again, or say why it is so.")
    lot = MeleeLot.objects.create(
        name=name,
        supplier=supplier,
        species=species,
        origin=origin,
        screening=screening,
        screening_words=screening_words,
        size_hmm=size_hmm,
        cost_minor=cost_minor,
        currency=currency,
        check_words=f"{words} {reason}".strip(),
        made_at=clock.now(),
    )
    LotMove.objects.create(
        lot=lot,
        kind=LotKind.RECEIVE,
        count=count,
        weight_mct=weight_mct,
        by_words=str(person),
        at=clock.now(),
    )
    return lot


@transaction.atomic
def move_lot(
    *,
    lot: MeleeLot,
    kind: str,
    count: int,
    weight_mct: int | None,
    person: Person,
    commission: Commission | None = None,
    holder: str = "",
    reason: str = "",
) -> LotMove:
    """
    Write one movement of a lot.

    A stone that is set, broken or lost cannot be weighed any more: without a weight it takes its share of
    what is out, and the last of them all that is left.

    Effects, in order: the lot is locked, and for an issue the job too, so that two lots cannot reach it at
    once; what lies in the drawer and what is out at the job is reckoned
    with the movement; it is written; for a job, the trail says so.

    Raises:
        Refused: it would leave fewer stones or less weight than nought, it names no job, it mixes origins
            on one job, or an adjustment or a loss gives no reason.
    """
    lot = MeleeLot.objects.select_for_update().get(pk=lot.pk)
    kind = LotKind(kind)
    if kind == LotKind.RECEIVE:
        raise Refused("A new parcel is a lot of its own: open it under its own name.")
    if kind == LotKind.ADJUST:
        commission = None
        if not count and not weight_mct:
            raise Refused("An adjustment changes the count or the weight.")
    elif commission is None:
        raise Refused("Say for which job.")
    elif count <= 0 or (weight_mct or 0) < 0:
        raise Refused("Count at least one stone.")
    if kind in (LotKind.ADJUST, LotKind.LOST, LotKind.BROKEN) and not reason.strip():
        raise Refused("Say what happened.")
    if kind == LotKind.ISSUE and not holder.strip():
        raise Refused("Say who takes the stones.")
    if kind == LotKind.ISSUE:
        Commission.objects.select_for_update().get(pk=commission.pk)
        _same_origin(lot=lot, commission=commission)
    before = balance(lot=lot, commission=commission)
    if weight_mct is None:
        weight_mct = _reckoned(kind=kind, count=count, out=before.out)
    drawer, out = before.after(kind=kind, count=count, weight_mct=weight_mct)
    for place, words in ((drawer, "in the drawer"), (out, "out at this job")):
        if place.count < 0 or place.weight_mct < 0:
            here = before.drawer if words == "in the drawer" else before.out
            first = (
                " Weigh what comes back before you write down what is set: that is reckoned from the rest."
                if kind == LotKind.RETURN and place.count >= 0
                else ""
            )
            raise Refused(
                f"There are {here.count} stones of {here.weight_mct / 1000:.3f} ct {words}: that is fewer or lighter "
                f"than what you typed.{first}"
            )
    row = LotMove.objects.create(
        lot=lot,
        kind=kind,
        count=count,
        weight_mct=weight_mct,
        commission=commission,
        holder=holder,
        reason=reason,
        by_words=str(person),
        at=clock.now(),
    )
    if commission:
        write_trail(
            actor=person,
            verb="moved small stones",
            subject=commission.reference,
            facts={"lot": lot.name, "kind": kind.value, "count": count, "weight mct": weight_mct},
        )
    return row


def _reckoned(*, kind: str, count: int, out: Heap) -> int:
    if kind not in (LotKind.SET, LotKind.BROKEN, LotKind.LOST):
        raise Refused("Put these stones on the scale and write down their weight.")
    if count >= out.count:
        return out.weight_mct
    return round(out.weight_mct * count / out.count)


def _same_origin(*, lot: MeleeLot, commission: Commission) -> None:
    others = (
        MeleeLot.objects.filter(moves__commission=commission, species=lot.species)
        .exclude(origin=lot.origin)
        .distinct()
    )
    other = others.first()
    if other:
        raise Refused(
            f"{other.get_origin_display().capitalize()} stones of {other.name} are at this job, and {lot.name} is "
            f"{lot.get_origin_display()}: origins are never mixed in one ring."
        )
