"""What stands in a house, said as one line of JSON: run in the house's own environment."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path

import django


def standing() -> dict:
    """Balances, fingerprints that still hold, the trail, and the digest of every file of pictures and letters."""
    from django.conf import settings
    from django.db.models import Sum

    from commissions.money.bundle import digest
    from commissions.money.models import Approval, Posting
    from commissions.record.models import Message
    from studio.pictures.models import Picture
    from studio.trail.models import Entry
    from studio.trail.queries import first_break

    balances = (
        Posting.objects.values("account__code", "account__currency")
        .annotate(sum=Sum("minor"))
        .order_by("account__code", "account__currency")
    )
    approvals = list(Approval.objects.order_by("pk"))
    files = {
        f"{folder}/{path.relative_to(settings.DATA_DIR / folder).as_posix()}": hashlib.sha256(
            path.read_bytes()
        ).hexdigest()
        for folder in ("media", "originals", "outbox")
        for path in sorted(Path(settings.DATA_DIR / folder).rglob("*"))
        if path.is_file()
    }
    return {
        "balances": [[row["account__code"], row["account__currency"], row["sum"]] for row in balances],
        "approvals": [row.digest for row in approvals],
        "fingerprints_hold": all(digest(row.bundle) == row.digest for row in approvals),
        "trail": [Entry.objects.count(), first_break()],
        "messages": list(Message.objects.order_by("pk").values_list("pk", flat=True)),
        "pictures": sorted(Picture.objects.values_list("sha256", flat=True)),
        "originals_hold": all(
            files.get(f"originals/{row.original}") == row.sha256
            for row in Picture.objects.exclude(state="refused")
        ),
        "files": files,
    }


if __name__ == "__main__":
    django.setup()
    print(json.dumps(standing()))
