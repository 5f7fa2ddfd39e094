"""Writing the trail."""

from __future__ import annotations

import datetime
import hashlib
import json
import logging

from django.conf import settings
from django.db import transaction
from django.utils.module_loading import import_string

from studio import clock
from studio.trail.models import Entry, Head, Proof

ORIGIN = "0" * 64
log = logging.getLogger(__name__)


def digest_of(
    *, number: int, at: str, actor: str, verb: str, subject: str, facts: dict, previous: str
) -> str:
    """SHA-256 over the canonical JSON of one entry and the digest of the one before."""
    body = json.dumps(
        [number, at, actor, verb, subject, facts, previous],
        ensure_ascii=False,
        sort_keys=True,
        separators=(",", ":"),
    )
    return hashlib.sha256(body.encode()).hexdigest()


@transaction.atomic
def record(*, actor: object, verb: str, subject: str, facts: dict | None = None) -> Entry:
    """
    Append one entry, in the transaction of its cause.

    Effects, in order: the head is locked; the entry is written with the head's digest; the head moves on.
    *actor* is a person, a client's access, or words such as ``"the studio's clock"``. A client's name is not
    kept here, where nothing can be taken out again: their key stands for it (``settings.TRAIL_ACTOR``).
    *facts* holds plain JSON values and never an address, a secret or a bank detail.
    """
    head = Head.objects.select_for_update().filter(pk=1).first()
    if head is None:
        Head.objects.get_or_create(pk=1)
        head = Head.objects.select_for_update().get(pk=1)
    number = head.number + 1
    at = clock.now()
    facts = facts or {}
    actor = import_string(settings.TRAIL_ACTOR)(actor=str(actor), subject=subject)
    digest = digest_of(
        number=number,
        at=at.isoformat(),
        actor=actor,
        verb=verb,
        subject=subject,
        facts=facts,
        previous=head.digest,
    )
    entry = Entry.objects.create(
        number=number,
        at=at,
        actor=actor,
        verb=verb,
        subject=subject,
        facts=facts,
        previous=head.digest,
        digest=digest,
    )
    Head.objects.filter(pk=1).update(number=number, digest=digest)
    return entry


def prove() -> Proof:
    """
    Walk the whole chain and keep what came out.

    Effects, in order: every link is proven; the proof is written, those older than a year go; a break is logged.
    """
    from studio.trail.queries import first_break  # it needs digest_of from here

    head = Head.objects.filter(pk=1).first()
    proof = Proof(entries=head.number if head else 0, broken_at=first_break(), at=clock.now())
    proof.save(force_insert=True)
    Proof.objects.filter(at__lt=proof.at - datetime.timedelta(days=365)).delete()
    if proof.broken_at is not None:
        log.error("The trail does not hold at entry %s.", proof.broken_at)
    return proof


def prove_daily() -> bool:
    """Prove the chain once a day, as the sweep asks; whether it was done now."""
    day = clock.now() - datetime.timedelta(days=1)
    if Proof.objects.filter(at__gt=day).exists():
        return False
    prove()
    return True
