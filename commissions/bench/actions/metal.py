"""Writes of metal: every gram has a holder, and no holder gives what it has not."""

from __future__ import annotations

from django.db import transaction

from commissions.bench import queries
from commissions.bench.models import MetalLot, MetalMovement, MovementKind, RefinerLot, Weighing
from commissions.bench.models.metal import HOLDERS
from commissions.intake.models import Client
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import Commission
from gemcalc.alloys import find
from studio import clock, quantities
from studio.people.models import Person
from studio.trail.actions import record as write_trail

OF_A_JOB = {
    MovementKind.ISSUE,
    MovementKind.RETURN,
    MovementKind.FILINGS,
    MovementKind.PIECE,
    MovementKind.LOSS,
}


@transaction.atomic
def open_lot(
    *,
    name: str,
    alloy: str,
    mg: int,
    person: Person,
    supplier: str = "",
    client: Client | None = None,
    nickel: str = "",
    scale: str = "",
) -> MetalLot:
    """
    Take metal in.

    Effects, in order: the lot is written with the fineness of its alloy, and with what its sheet says of
    nickel (or else what its alloy is known for); its first movement brings the
    metal in (as the client's own where a client is named); the trail says so.

    Raises:
        Refused: another lot has this name, or nothing was weighed.
    """
    if MetalLot.objects.filter(name=name).exists():
        raise Refused("Another lot has this name.")
    row = find(name=alloy)
    lot = MetalLot.objects.create(
        name=name,
        alloy=row.name,
        fineness_ppt=row.fineness_ppt,
        nickel=nickel or row.nickel,
        supplier=supplier,
        client=client,
        opened_at=clock.now(),
    )
    kind = MovementKind.CLIENT_IN if client else MovementKind.IN
    move_metal(lot=lot, kind=kind, mg=mg, person=person, scale=scale)
    return lot


@transaction.atomic
def move_metal(
    *,
    lot: MetalLot,
    kind: str,
    mg: int,
    person: Person,
    commission: Commission | None = None,
    scale: str = "",
    note: str = "",
    tare_mg: int = 0,
    holder: Person | None = None,
    weighing: Weighing | None = None,
    refiner_lot: RefinerLot | None = None,
) -> MetalMovement:
    """
    Move metal from one holder to another; *mg* is net, with *tare_mg* taken off already.

    Effects, in order: the lot is locked; the holder's balance is asked; the movement is written; the
    trail says so.

    Raises:
        Refused: nothing to move, no job where one is needed, more than the holder has, a client's metal
            for another client's ring, or a weighing that is booked already.
    """
    MetalLot.objects.select_for_update().get(pk=lot.pk)
    frm, to = HOLDERS[MovementKind(kind)]
    missing = []
    if mg <= 0:
        missing.append("Write a weight above nothing.")
    if kind in OF_A_JOB and commission is None:
        missing.append("Say for which job.")
    if lot.client_id and commission and commission.client_id != lot.client_id:
        missing.append("This is a client's own metal: it goes into that client's ring alone.")
    if weighing and MetalMovement.objects.filter(weighing=weighing).exists():
        missing.append("This weight is booked already.")
    if frm != "outside" and not missing:
        job = commission if frm in ("job", "piece") else None
        has = queries.metal_balance(lot=lot, holder=frm, commission=job)
        if mg > has:
            missing.append(f"Only {quantities.g(has)} g of {lot} are there to be moved.")
    if missing:
        raise Refused(*missing)
    row = MetalMovement.objects.create(
        lot=lot,
        kind=kind,
        frm=frm,
        to=to,
        commission=commission if kind in OF_A_JOB else None,
        mg=mg,
        tare_mg=tare_mg,
        scale=scale,
        note=note,
        holder=(holder or person) if kind == MovementKind.ISSUE else None,
        weighing=weighing,
        refiner_lot=refiner_lot,
        person=person,
        at=clock.now(),
    )
    write_trail(
        actor=person,
        verb="moved metal",
        subject=commission.reference if commission else lot.name,
        facts={"kind": kind, "lot": lot.name, "mg": mg},
    )
    return row


@transaction.atomic
def reverse_metal(*, movement: MetalMovement, person: Person, reason: str) -> MetalMovement:
    """
    Put a wrong movement right by its reverse.

    Effects, in order: the lot is locked; the reverse is written, once, where the holder still has the
    metal; the trail says so.

    Raises:
        Refused: no reason, or the metal has gone on.
        Overtaken: it was reversed already.
    """
    if not reason.strip():
        raise Refused("Say why it is put right.")
    MetalLot.objects.select_for_update().get(pk=movement.lot_id)
    if movement.kind in (MovementKind.REFINE_OUT, MovementKind.REFINED):
        raise Refused("What went to the refiner is settled with its lot, and not put right one by one.")
    if movement.reverses_id or MetalMovement.objects.filter(reverses=movement).exists():
        raise Overtaken
    job = movement.commission if movement.to in ("job", "piece") else None
    if movement.to != "outside":
        has = queries.metal_balance(lot=movement.lot, holder=movement.to, commission=job)
        if has < movement.mg:
            raise Refused("This metal has gone on since: put the later movement right first.")
    row = MetalMovement.objects.create(
        lot=movement.lot,
        kind=movement.kind,
        frm=movement.to,
        to=movement.frm,
        commission=movement.commission,
        mg=movement.mg,
        note=reason,
        person=person,
        at=clock.now(),
        reverses=movement,
    )
    write_trail(
        actor=person, verb="reversed a metal movement", subject=movement.lot.name, facts={"mg": movement.mg}
    )
    return row
