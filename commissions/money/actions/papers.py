"""Freezing papers: a number without a gap, the bytes on disk, their digest."""

from __future__ import annotations

from collections.abc import Callable

from django.db import IntegrityError, transaction
from django.db.models import F

from commissions.money.models import FrozenPaper, PaperKind, Series
from commissions.record.models import Commission
from studio import clock, filing

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
        return paper, filing.read(name=paper.file_name, sha256=paper.sha256)
    content = draw(paper)
    name = filing.keep(content=content)
    changed = FrozenPaper.objects.filter(pk=paper.pk, sha256="").update(
        file_name=name, sha256=filing.digest(content)
    )
    paper.refresh_from_db()
    if changed != 1:
        filing.forget(name=name)
        return paper, filing.read(name=paper.file_name, sha256=paper.sha256)
    return paper, content
