"""Writes of supplier jobs."""

from __future__ import annotations

import datetime
import hashlib
import secrets

from django.db import transaction

from commissions.bench import queries
from commissions.bench.actions.holding import catch_up
from commissions.bench.models import Step, SupplierJob
from commissions.record import actions as record
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

LINK_DAYS = 14


def question_key(job: SupplierJob) -> str:
    """Key of the question that a supplier job is while it is out."""
    return f"bench.supplier:{job.pk}"


@transaction.atomic
def send_out(
    *,
    commission: Commission,
    task: str,
    supplier: str,
    words: str,
    due_on: datetime.date,
    person: Person,
    sent_mg: int = 0,
    sent_stones: int = 0,
    sent_mct: int = 0,
) -> SupplierJob:
    """
    Send work to a supplier.

    Effects, in order: the commission moves on where the client's word was waited for; the job is written, with
    the present step where that is such work; the question to the supplier is opened with its date; the trail
    says so.

    Raises:
        Refused: nothing leaves the house, the date has passed, or the client has not said go at a hold point.
    """
    missing = []
    if not (sent_mg or sent_stones):
        missing.append("Write what leaves the house: its weight, or the number of stones.")
    if due_on < clock.today():
        missing.append("The date it is due back has passed.")
    if missing:
        raise Refused(*missing)
    step: Step | None = queries.current_step(commission=commission)
    if step and step.supplier_task == task:
        catch_up(commission=commission, step=step, person=person)
    job = SupplierJob.objects.create(
        commission=commission,
        step=step if step and step.supplier_task == task else None,
        task=task,
        supplier=supplier,
        words=words,
        due_on=due_on,
        sent_mg=sent_mg,
        sent_stones=sent_stones,
        sent_mct=sent_mct,
        sent_at=clock.now(),
        sent_by=person,
    )
    if job.step_id:
        record.answer_question(commission=commission, key="bench.step", by_words=str(person))
    _ask_back(job=job, commission=commission)
    write_trail(
        actor=person,
        verb="sent out",
        subject=commission.reference,
        facts={"task": task, "supplier": supplier, "mg": sent_mg, "stones": sent_stones},
    )
    return job


@transaction.atomic
def take_back(
    *,
    job: SupplierJob,
    person: Person,
    returned_mg: int = 0,
    returned_stones: int = 0,
    returned_mct: int = 0,
    shortfall: str = "",
) -> None:
    """
    Take work back from a supplier.

    Effects, in order: what came back is written, once; the link ends; the supplier's question is closed,
    and the present step is ours to call done; the trail says so.

    Raises:
        Refused: more came back than went out, or less without a word why.
        Overtaken: it is back already.
    """
    missing = []
    if returned_stones > job.sent_stones:
        missing.append(f"{job.sent_stones} stones went out: more cannot come back.")
    if job.sent_mg and returned_mg > job.sent_mg and not shortfall.strip():
        missing.append("More metal came back than went out: say why.")
    less = returned_stones < job.sent_stones or returned_mg < job.sent_mg
    if less and not shortfall.strip():
        missing.append("Less came back than went out: say what is missing, and why.")
    if missing:
        raise Refused(*missing)
    changed = SupplierJob.objects.filter(pk=job.pk, returned_at__isnull=True).update(
        returned_at=clock.now(),
        returned_by=person,
        returned_mg=returned_mg,
        returned_stones=returned_stones,
        returned_mct=returned_mct,
        shortfall=shortfall,
        link_hash="",
        link_until=None,
    )
    if changed != 1:
        raise Overtaken
    commission = Commission.objects.get(pk=job.commission_id)
    record.answer_question(commission=commission, key=question_key(job), by_words=str(person))
    step = queries.current_step(commission=commission)
    if step and job.step_id == step.pk and not queries.out_of_house(commission=commission).exists():
        record.open_question(
            commission=commission,
            key="bench.step",
            addressee=Turn.US,
            words=f"Look at what came back: {step.name}",
            client_words="We are looking at the work",
            path=f"/studio/bench/{commission.reference}/",
            due_on=clock.add_working_days(clock.today(), 1),
        )
    write_trail(
        actor=person,
        verb="took back",
        subject=commission.reference,
        facts={
            "supplier": job.supplier,
            "mg": returned_mg,
            "stones": returned_stones,
            "shortfall": shortfall,
        },
    )


@transaction.atomic
def owe_later(*, job: SupplierJob, due_on: datetime.date, reason: str, person: Person) -> None:
    """
    Write down that a supplier owes its work on another day.

    Effects, in order: the job carries the new day, only while it is out, and so does its step, from which the
    ring's own date is reckoned; the supplier's question carries it too; the trail says so with the reason.

    Raises:
        Refused: the day has passed, or nobody says why.
        Overtaken: the work is back.
    """
    missing = []
    if due_on < clock.today():
        missing.append("The date it is due back has passed.")
    if not reason.strip():
        missing.append("Say why it is owed on another day.")
    if missing:
        raise Refused(*missing)
    changed = SupplierJob.objects.filter(pk=job.pk, returned_at__isnull=True).update(due_on=due_on)
    if changed != 1:
        raise Overtaken
    before, job.due_on = job.due_on, due_on
    commission = Commission.objects.get(pk=job.commission_id)
    if job.step_id:
        Step.objects.filter(pk=job.step_id).update(due_on=due_on)
    _ask_back(job=job, commission=commission)
    write_trail(
        actor=person,
        verb="moved a supplier's date",
        subject=commission.reference,
        facts={"supplier": job.supplier, "before": str(before), "due": str(due_on), "reason": reason},
    )


def _ask_back(*, job: SupplierJob, commission: Commission) -> None:
    record.open_question(
        commission=commission,
        key=question_key(job),
        addressee=Turn.SUPPLIER,
        words=f"Back from {job.supplier}: {job.get_task_display().lower()}",
        client_words="A specialist is working on your ring",
        path=f"/studio/commissions/{commission.reference}/suppliers/",
        due_on=job.due_on,
    )


def hash_of(token: str) -> str:
    """What is kept of a link's token."""
    return hashlib.sha256(token.encode()).hexdigest()


@transaction.atomic
def make_link(*, job: SupplierJob, person: Person) -> str:
    """
    A new link for the supplier, shown once: an older one ends with it.

    Effects, in order: the hash of a new token is kept with its last day; the trail says so.

    Raises:
        Refused: the job is back.
    """
    token = secrets.token_urlsafe(24)
    changed = SupplierJob.objects.filter(pk=job.pk, returned_at__isnull=True).update(
        link_hash=hash_of(token), link_until=clock.now() + datetime.timedelta(days=LINK_DAYS)
    )
    if changed != 1:
        raise Refused("This work is back: it needs no link any more.")
    write_trail(
        actor=person, verb="made a link", subject=job.commission.reference, facts={"supplier": job.supplier}
    )
    return token
