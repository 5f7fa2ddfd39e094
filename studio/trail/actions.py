"""Writing the trail."""

from __future__ import annotations

import hashlib
import json

from django.db import transaction

from studio import clock
from studio.trail.models import Entry, Head

ORIGIN = "0" * 64


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
    *actor* is a person, a client's access, or words such as ``"the studio's clock"``.
    *facts* holds plain JSON values and never an address, a secret or a bank detail.
    """
    head = Head.objects.select_for_update().filter(pk=1).first()
    if head is None:
        Head.objects.get_or_create(pk=1)
        head = Head.objects.select_for_update().get(pk=1)
    number = head.number + 1
    at = clock.now()
    facts = facts or {}
    digest = digest_of(
        number=number,
        at=at.isoformat(),
        actor=str(actor),
        verb=verb,
        subject=subject,
        facts=facts,
        previous=head.digest,
    )
    entry = Entry.objects.create(
        number=number,
        at=at,
        actor=str(actor),
        verb=verb,
        subject=subject,
        facts=facts,
        previous=head.digest,
        digest=digest,
    )
    Head.objects.filter(pk=1).update(number=number, digest=digest)
    return entry
