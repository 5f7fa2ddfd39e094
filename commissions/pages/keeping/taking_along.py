"""Everything a client takes along: one zip with their data as JSON, their pictures, papers and letters as files."""

from __future__ import annotations

import json
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import BinaryIO

from django.apps import apps
from django.conf import settings
from django.core.files.storage import storages
from django.core.serializers.json import DjangoJSONEncoder
from django.utils.translation import gettext as _

from commissions.bench.models import Audience, Photo
from commissions.delivery.taking_along import files_of
from commissions.intake.models import Brief, BriefPicture
from commissions.intake.queries import said
from commissions.money.models import FrozenPaper
from commissions.pages.keeping.own import own_rows
from commissions.pages.keeping.shares import SHARED
from studio import clock
from studio.people.models import ClientAccess

IN_MEMORY = 8 * 1024 * 1024
LARGEST = "2000"


def tables(*, access: ClientAccess) -> dict[str, list[dict]]:
    """Every shared table's rows of this client, by the table's name."""
    conditions = own_rows(access=access)
    found = {}
    for label, share in SHARED.items():
        rows = apps.get_model(label)._base_manager.filter(conditions[label]).filter(share.rows)
        found[label] = list(rows.order_by("pk").values(*share.columns))
    return found


def counts(*, access: ClientAccess) -> list[dict]:
    """What there is about a client, in words and numbers: one query a table, however many rows."""
    conditions = own_rows(access=access)
    found = [{"words": _("Your briefs"), "count": _briefs(access).count()}]
    for label, share in SHARED.items():
        count = apps.get_model(label)._base_manager.filter(conditions[label]).filter(share.rows).count()
        found.append({"words": share.words, "count": count})
    return [row for row in found if row["count"]]


def _briefs(access: ClientAccess):
    return Brief.objects.filter(email=access.email).order_by("id")


def briefs(*, access: ClientAccess) -> list[dict]:
    """The client's briefs: each answer as it was given and as it reads, and what they said of their pictures."""
    return [
        {
            "reference": brief.reference,
            "state": brief.state,
            "began_at": brief.began_at,
            "sent_at": brief.sent_at,
            "digest": brief.digest,
            "reply": brief.reply,
            "answers": brief.answers,
            "in_words": {
                str(row["short"]): str(row["words"])
                for group in said(brief=brief)
                for row in group["rows"]
                if row["words"]
            },
            "pictures": [
                {"file": f"pictures/{_brief_picture(row)}", "liked": row.liked, "not_this": row.not_this}
                for row in brief.pictures.select_related("picture")
            ],
        }
        for brief in _briefs(access)
    ]


def _brief_picture(row: BriefPicture) -> str:
    return f"brief-{row.pk}.{row.picture.original.rpartition('.')[2]}"


def packed(*, access: ClientAccess) -> BinaryIO:
    """The zip as an open file at its beginning; nobody else's rows, and nothing of our costs, are in it."""
    held = tables(access=access)
    file = tempfile.SpooledTemporaryFile(max_size=IN_MEMORY, mode="w+b")  # noqa: SIM115 - whoever answers closes it
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as bundle:
        bundle.writestr("README.txt", _read_me(held))
        bundle.writestr(
            "data.json",
            json.dumps(
                {"briefs": briefs(access=access), **held}, cls=DjangoJSONEncoder, ensure_ascii=False, indent=1
            ),
        )
        for number, letter in enumerate(held["outbox.letter"], start=1):
            sent = f"{letter['sent_at']:%Y-%m-%d}" if letter["sent_at"] else "-"
            bundle.writestr(f"letters/{number:03}-{sent}.txt", f"{letter['subject']}\n\n{letter['text']}")
        for name, body in _files(access):
            bundle.writestr(zipfile.ZipInfo(name), body, zipfile.ZIP_STORED)
    file.seek(0)
    return file


def _files(access: ClientAccess) -> Iterator[tuple[str, bytes]]:
    pictures = BriefPicture.objects.filter(brief__in=_briefs(access)).select_related("picture")
    for row in pictures.iterator(chunk_size=100):
        if storages["originals"].exists(row.picture.original):
            with storages["originals"].open(row.picture.original) as file:
                yield f"pictures/{_brief_picture(row)}", file.read()
    photos = Photo.objects.filter(
        commission__client__access=access, audience=Audience.CLIENT, removed_at__isnull=True
    ).select_related("picture", "commission")
    for row in photos.order_by("pk").iterator(chunk_size=100):
        made = row.picture.renditions
        entry = made.get(LARGEST) or (made[max(made, key=int)] if made else None)
        if entry:
            with storages["default"].open(entry["jpeg"]) as file:
                yield f"photographs/{row.commission.reference}-{row.pk}.jpg", file.read()
    papers = FrozenPaper.objects.filter(commission__client__access=access).exclude(file_name="")
    for paper in papers.order_by("pk"):
        path = Path(settings.MEDIA_ROOT) / "papers" / paper.file_name
        if path.exists():
            yield f"papers/{paper.number}.pdf", path.read_bytes()
    yield from files_of(access=access)


def _read_me(held: dict) -> str:
    lines = [
        _("What %(studio)s keeps about you, on %(day)s")
        % {"studio": settings.STUDIO_NAME, "day": clock.today()},
        "",
        _("data.json – everything in one file; every table below is one list in it"),
        _("pictures/ – the pictures you sent, as you sent them"),
        _("photographs/ – the photographs we showed you"),
        _("papers/ – quotations, receipts and the like, as they were sent"),
        _("letters/ – the letters we wrote to you"),
        "",
        _(
            "Sums are whole numbers of the smallest unit (pence, cents). Lengths end in _hmm and are hundredths"
        ),
        _(
            "of a millimetre; weights end in _mct (thousandths of a carat) or _mg (milligrams). Times are UTC."
        ),
        "",
    ]
    for label, share in SHARED.items():
        if held[label]:
            lines.append(f"{label}: {share.words} ({len(held[label])})")
            lines.append(f"    {', '.join(share.columns)}")
    return "\n".join(str(line) for line in lines) + "\n"
