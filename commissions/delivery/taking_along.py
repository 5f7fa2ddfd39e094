"""Files of this room that a client takes along: papers as they were handed over, and photographs they sent."""

from __future__ import annotations

from collections.abc import Iterator

from django.core.files.storage import storages

from commissions.delivery import papers
from commissions.delivery.models import CarePhoto, KeptPaper
from studio import filing
from studio.people.models import ClientAccess


def files_of(*, access: ClientAccess) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of every file, one after the other."""
    rows = KeptPaper.objects.filter(commission__client__access=access, kind__in=papers.CLIENTS)
    for row in rows.exclude(sha256="").select_related("commission").order_by("pk"):
        name = papers.file_name(kind=row.kind, commission=row.commission, edition=row.edition)
        yield f"papers/{name}", filing.read(name=row.file_name, sha256=row.sha256)
    photos = CarePhoto.objects.filter(commission__client__access=access)
    for row in photos.select_related("picture", "commission").order_by("pk"):
        original = row.picture.original
        if storages["originals"].exists(original):
            with storages["originals"].open(original) as file:
                yield (
                    f"pictures/care-{row.commission.reference}-{row.pk}.{original.rpartition('.')[2]}",
                    file.read(),
                )
