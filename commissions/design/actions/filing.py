"""Files of a revision: added and removed while it is a draft, sealed when it is sent."""

from __future__ import annotations

import secrets

from django.core.files.base import ContentFile
from django.core.files.storage import storages
from django.db import IntegrityError, transaction

from commissions.design import incoming
from commissions.design.models import FileKind, Revision, RevisionFile, Status
from commissions.record.errors import Refused
from gemcalc.errors import BadInput
from studio import clock
from studio.people.models import Person
from studio.pictures.actions import discard, receive
from studio.pictures.errors import PictureRefused
from studio.trail.actions import record as write_trail

MOST_FILES = 20
FOLDER = "designs"


def add_file(*, revision: Revision, kind: str, upload, person: Person, words: str = "") -> RevisionFile:
    """
    Add one file to a draft. Call it outside a transaction: it writes a file.

    Effects, in order: the file is read to its end by the reader of its format; a picture goes through the
    house's own door, anything else is written to the private store under a random name; the row is written,
    only if the revision still is a draft; the trail says so. Where it is refused nothing is left behind.

    Raises:
        BadInput: the file cannot be taken; its words are for the sender.
        Refused: the revision was sent, has its most files, or has this very file already.
    """
    _must_be_draft(revision)
    if RevisionFile.objects.filter(revision=revision).count() >= MOST_FILES:
        raise Refused(f"A revision holds at most {MOST_FILES} files. Remove one first.")
    name = getattr(upload, "name", "") or ""
    if kind == FileKind.RENDER:
        return _add_render(revision=revision, upload=upload, name=name, words=words, person=person)
    read = incoming.read_model if kind == FileKind.MODEL else incoming.read_scan
    found = read(getattr(upload, "file", upload), name=name)
    store = storages["default"]
    stored = store.save(f"{FOLDER}/{secrets.token_hex(16)}.{found.form}", ContentFile(found.content))
    try:
        return _written(
            revision=revision,
            kind=kind,
            name=incoming.plain_name(name, form=found.form),
            form=found.form,
            words=words,
            stored=stored,
            sha256=found.sha256,
            bytes=len(found.content),
            facts=found.facts,
            person=person,
        )
    except BaseException:
        store.delete(stored)
        raise


def _add_render(*, revision: Revision, upload, name: str, words: str, person: Person) -> RevisionFile:
    try:
        picture = receive(upload=upload, kind="design", person_words=str(person))
    except PictureRefused as error:
        raise BadInput(error.words, field="file") from None
    form = picture.original.rpartition(".")[2]
    try:
        return _written(
            revision=revision,
            kind=FileKind.RENDER,
            name=incoming.plain_name(name, form=form),
            form=form,
            words=words,
            picture=picture,
            sha256=picture.sha256,
            bytes=picture.bytes,
            facts={"width_px": picture.width, "height_px": picture.height},
            person=person,
        )
    except BaseException:
        discard(picture=picture)
        raise


def _must_be_draft(revision: Revision) -> None:
    if not Revision.objects.filter(pk=revision.pk, status=Status.DRAFT).exists():
        raise Refused("This revision was sent: its files stay as they are. Draft the next one.")


def _written(*, revision: Revision, person: Person, **columns) -> RevisionFile:
    try:
        with transaction.atomic():
            # Held until the row is there, so that sending cannot slip in between.
            if not Revision.objects.select_for_update().filter(pk=revision.pk, status=Status.DRAFT).exists():
                raise Refused("This revision was sent: its files stay as they are. Draft the next one.")
            row = RevisionFile.objects.create(
                revision=revision, added_by=person, added_at=clock.now(), **columns
            )
            write_trail(
                actor=person,
                verb="added a file to a revision",
                subject=revision.commission.reference,
                facts={"letter": revision.letter, "kind": row.kind, "sha256": row.sha256},
            )
            return row
    except IntegrityError:
        raise Refused("This very file is among the files of the revision already.") from None


@transaction.atomic
def remove_file(*, row: RevisionFile, person: Person) -> None:
    """
    Take a file out of a draft again.

    Effects, in order: the row goes, only if it was never sent; the trail says so; at commit the file itself
    goes.

    Raises:
        Refused: the revision was sent.
    """
    picture, stored = row.picture, row.stored
    gone, _each = RevisionFile.objects.filter(
        pk=row.pk, sealed_at__isnull=True, revision__status=Status.DRAFT
    ).delete()
    if not gone:
        raise Refused("This revision was sent: its files stay as they are.")
    write_trail(
        actor=person,
        verb="removed a file from a draft",
        subject=row.revision.commission.reference,
        facts={"letter": row.revision.letter, "kind": row.kind, "sha256": row.sha256},
    )
    if picture is not None:
        discard(picture=picture)
    else:
        transaction.on_commit(lambda: storages["default"].delete(stored), robust=True)


def seal(*, revision: Revision) -> list[dict]:
    """
    Seal the files of a revision that is being sent; to be called inside that transaction.

    Effects: every file is marked with the time. The listing with their digests is handed back.
    """
    rows = RevisionFile.objects.filter(revision=revision)
    rows.filter(sealed_at__isnull=True).update(sealed_at=clock.now())
    return [row.listed for row in rows.order_by("id")]
