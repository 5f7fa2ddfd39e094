"""What goes of this room when a client is erased: what they wrote and sent; what was done to the ring stays."""

from __future__ import annotations

from django.core.files.storage import storages
from django.db import transaction

from commissions.delivery.models import CareDate, CarePhoto, Consent, KindWords, Worry
from studio import clock
from studio.guards import names_give_way
from studio.people.models import ClientAccess
from studio.pictures.models import Picture, State

NO_WORDS = "(erased)"
TAKEN_DOWN = "The client was erased: nothing of theirs is shown any more."


@transaction.atomic
def forget_words(*, access: ClientAccess) -> dict[str, int]:
    """
    Empty what a client wrote here and take down what of it was public; how many rows of what.

    Effects, in order: every consent that stands is taken back by a further row; the words of worries, checks
    and kind words give way; their photographs of the worn ring are refused from now on, and at commit their
    files go.
    """
    mine = {"commission__client__access": access}
    for row in KindWords.objects.filter(**mine):
        standing = row.consents.order_by().values_list("photo", flat=True).distinct()
        Consent.objects.bulk_create(
            Consent(
                kind_words=row, photo_id=photo, given=False, text=TAKEN_DOWN, access=access, at=clock.now()
            )
            for photo in standing
        )
    report = {}
    for model, columns in (
        (Worry, {"words": NO_WORDS}),
        (KindWords, {"words": NO_WORDS, "shown_name": ""}),
        (CareDate, {"findings": NO_WORDS}),
    ):
        rows = model.objects.filter(**mine)
        if model is CareDate:
            rows = rows.filter(done_at__isnull=False, how="wearer")
        if rows.exists():
            with names_give_way(model._meta.db_table):
                report[model._meta.model_name] = rows.update(**columns)
    pictures = list(Picture.objects.filter(pk__in=CarePhoto.objects.filter(**mine).values("picture")))
    Picture.objects.filter(pk__in=[row.pk for row in pictures]).update(
        state=State.REFUSED, refusal=NO_WORDS, renditions={}
    )
    report["care photographs"] = len(pictures)

    def remove() -> None:
        for row in pictures:
            storages["originals"].delete(row.original)
            for entry in row.renditions.values():
                for ending in ("webp", "jpeg"):
                    storages["default"].delete(entry[ending])

    transaction.on_commit(remove, robust=True)
    return report
