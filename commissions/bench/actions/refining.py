"""Closing the loop of metal: the account of a job, and what the refiner makes of filings and sweeps."""

from __future__ import annotations

from django.db import IntegrityError, transaction

from commissions.bench import queries
from commissions.bench.actions.metal import move_metal
from commissions.bench.models import MetalLot, MetalMovement, MovementKind, RefinerLot, RefinerSettlement
from commissions.record.errors import Missing, Overtaken, Refused
from commissions.record.models import Commission
from gemcalc.alloys import find
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

LOSS_FLAG_PCT = 5.0
"""Loss of the metal worked above which somebody has to say why: the upper end that is published for the clean-up
and polishing of a casting (1 to 5 %)."""


@transaction.atomic
def close_account(*, commission: Commission, person: Person, reason: str = "") -> int:
    """
    Close the metal account of a job: what is not accounted for is given up as loss; how many mg.

    Effects, in order: for each lot, what still lies at the job is moved to loss, with the account's own words,
    which name the base of every percentage; the trail says so for each.

    Raises:
        Refused: a mount is not booked, nothing is left over, or the loss is above 5 % of the metal worked
            and nobody says why.
    """
    accounts = queries.job_accounts(commission=commission)
    missing = [
        f"The finished mount in {row.alloy} is not booked yet."
        for row in accounts
        if not row.account.mount_mg
    ]
    for row in accounts:
        share = row.account.loss_of_worked_pct
        if share is not None and share > LOSS_FLAG_PCT and not reason.strip():
            missing.append(
                f"{row.alloy}: {row.account.words} That is more than {LOSS_FLAG_PCT:.0f} % of the metal worked: "
                "sweep the bench, weigh again, or say why."
            )
    if missing:
        raise Refused(*missing)
    words = {row.alloy: row.account.words for row in accounts}
    given_up = 0
    for lot in queries.lots_issued(commission=commission):
        left = queries.metal_balance(lot=lot, holder="job", commission=commission)
        if left > 0:
            note = f"{words[lot.alloy]} {reason}".strip()[:200]
            move_metal(
                lot=lot, kind=MovementKind.LOSS, mg=left, commission=commission, person=person, note=note
            )
            given_up += left
    if not given_up:
        raise Refused("Nothing is left over: the account is closed.")
    return given_up


@transaction.atomic
def send_to_refiner(
    *, name: str, refiner: str, lots: list[MetalLot], person: Person, sweeps_mg: int = 0, scale: str = ""
) -> RefinerLot:
    """
    Send filings, and sweeps with them, to a refiner.

    Effects, in order: the refiner's lot is written; all filings of each lot move to the refiner under it;
    the trail says so.

    Raises:
        Refused: the name is taken, nothing is sent, precious metals are mixed, or a client's own metal would
            be refined together with other metal.
    """
    missing = []
    if RefinerLot.objects.filter(name=name).exists():
        missing.append("Another lot has this name.")
    symbols = {find(name=lot.alloy).metal for lot in lots}
    if len(symbols) != 1:
        missing.append("Choose filings of one precious metal: each is refined by itself.")
    owners = {lot.client_id for lot in lots}
    if len(owners) > 1 or (owners - {None} and sweeps_mg):
        missing.append("A client's own metal is refined alone, without other filings and without sweeps.")
    held = {lot.pk: queries.metal_balance(lot=lot, holder="filings") for lot in lots}
    missing += [f"{lot} has no filings to send." for lot in lots if held[lot.pk] <= 0]
    if missing:
        raise Refused(*missing)
    parcel = RefinerLot.objects.create(
        name=name,
        refiner=refiner,
        metal=symbols.pop(),
        client_id=owners.pop(),
        sweeps_mg=sweeps_mg,
        scale=scale,
        person=person,
        sent_at=clock.now(),
    )
    for lot in lots:
        move_metal(
            lot=lot,
            kind=MovementKind.REFINE_OUT,
            mg=held[lot.pk],
            person=person,
            scale=scale,
            note=f"{name}, {refiner}"[:200],
            refiner_lot=parcel,
        )
    write_trail(actor=person, verb="sent to the refiner", subject=name, facts={"sweeps mg": sweeps_mg})
    return parcel


@transaction.atomic
def settle_refining(
    *,
    parcel: RefinerLot,
    received_mg: int,
    assay_ppt: int,
    fine_mg: int,
    person: Person,
    fee: str = "",
    note: str = "",
) -> RefinerSettlement:
    """
    Write down what the refiner found and credited, which closes the lot.

    Effects, in order: the settlement is written, once; what lies at the refiner of each lot is closed; the
    trail says so with the fine grams.

    Raises:
        Refused: more fine metal would be credited than the assay found, or the figures cannot be.
        Overtaken: it is settled already.
    """
    missing = []
    if not 0 < assay_ppt <= 1000:
        missing.append("The assay is from 1 to 1000 parts per thousand.")
    if fine_mg * 1000 > received_mg * assay_ppt:
        missing.append(
            f"More is credited than the assay found: {received_mg / 1000:.2f} g at {assay_ppt} ‰ hold "
            f"{received_mg * assay_ppt / 1e6:.3f} g fine."
        )
    if missing:
        raise Refused(*[Missing(words=words) for words in missing])
    try:
        with transaction.atomic():
            row = RefinerSettlement.objects.create(
                lot=parcel,
                received_mg=received_mg,
                assay_ppt=assay_ppt,
                fine_mg=fine_mg,
                fee=fee,
                note=note,
                person=person,
                at=clock.now(),
            )
    except IntegrityError:
        raise Overtaken from None
    for sent in MetalMovement.objects.filter(refiner_lot=parcel, kind=MovementKind.REFINE_OUT).select_related(
        "lot"
    ):
        move_metal(
            lot=sent.lot,
            kind=MovementKind.REFINED,
            mg=sent.mg,
            person=person,
            note=parcel.name,
            refiner_lot=parcel,
        )
    write_trail(
        actor=person,
        verb="settled a refining",
        subject=parcel.name,
        facts={"fine mg": fine_mg, "assay": assay_ppt},
    )
    return row
