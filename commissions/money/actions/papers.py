"""Freezing papers: a number without a gap, the bytes on disk, their digest."""

from __future__ import annotations

import hashlib
import os
import secrets
from collections.abc import Callable
from pathlib import Path

from django.conf import settings
from django.db import IntegrityError, transaction
from django.db.models import F

from commissions.money.models import FrozenPaper, PaperKind, Series
from commissions.record.models import Commission
from studio import clock

PREFIX = {
    PaperKind.QUOTATION: "Q",
    PaperKind.AGREEMENT: "A",
    PaperKind.CHANGE: "C",
    PaperKind.REQUEST: "P",
    PaperKind.RECEIPT: "R",
    PaperKind.STATEMENT: "S",
    PaperKind.CANCELLATION: "X",
    PaperKind.INVOICE: "I",
}


def _folder() -> Path:
    return Path(settings.MEDIA_ROOT) / "papers"


def next_number(*, kind: str) -> str:
    """
    The next number of a kind's series, such as ``R-2026-0017``.

    To be called in the transaction that writes the paper: then no number is lost or given twice.
    """
    year = clock.today().year
    Series.objects.get_or_create(kind=kind, year=year)
    Series.objects.filter(kind=kind, year=year).update(last=F("last") + 1)
    last = Series.objects.values_list("last", flat=True).get(kind=kind, year=year)
    return f"{PREFIX[PaperKind(kind)]}-{year}-{last:04d}"


def freeze(
    *,
    commission: Commission,
    kind: str,
    subject: str,
    draw: Callable[[FrozenPaper], bytes],
    data: dict | None = None,
) -> tuple[FrozenPaper, bytes]:
    """
    The paper of *kind* for *subject* as it was first made; made and kept now where there is none yet.

    Effects, in order: the row is written with the next number; the bytes are made and written to disk under
    a random name (outside any transaction); the row gets their digest, only if it had none. A process killed
    in between leaves a row without bytes, which the next call completes under the same number.

    Raises:
        PapersUnavailable: this machine cannot make PDFs.
    """
    paper = FrozenPaper.objects.filter(kind=kind, subject=subject).first()
    if paper is None:
        try:
            with transaction.atomic():
                paper = FrozenPaper.objects.create(
                    commission=commission,
                    kind=kind,
                    subject=subject,
                    number=next_number(kind=kind),
                    data=data or {},
                    at=clock.now(),
                )
        except IntegrityError:
            paper = FrozenPaper.objects.get(kind=kind, subject=subject)
    if paper.sha256:
        content = (_folder() / paper.file_name).read_bytes()
        if hashlib.sha256(content).hexdigest() != paper.sha256:
            raise RuntimeError(f"the file of paper {paper.number} is not the one that was sent")
        return paper, content
    content = draw(paper)
    name = f"{secrets.token_urlsafe(24)}.pdf"
    _write(_folder() / name, content)
    changed = FrozenPaper.objects.filter(pk=paper.pk, sha256="").update(
        file_name=name, sha256=hashlib.sha256(content).hexdigest()
    )
    if changed != 1:
        (_folder() / name).unlink(missing_ok=True)
        paper.refresh_from_db()
        return paper, (_folder() / paper.file_name).read_bytes()
    paper.refresh_from_db()
    return paper, content


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
