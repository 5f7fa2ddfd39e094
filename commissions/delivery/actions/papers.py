"""Writes of papers as they are handed over: the row with its cause, the bytes afterwards and once."""

from __future__ import annotations

import logging
from collections.abc import Iterable

from django.db import transaction

from commissions.delivery import papers
from commissions.delivery.models import KeptPaper
from commissions.record.models import Commission
from studio import clock, filing
from studio.outbox.queue import nudge
from studio.papers import PapersUnavailable

log = logging.getLogger(__name__)


@transaction.atomic
def keep_papers(*, commission: Commission, kinds: Iterable[str], cause: str) -> list[KeptPaper]:
    """
    Keep what papers say at this moment, in the transaction of their cause.

    Effects, in order: a row is written for every kind that there is something to say of, the next edition of
    it, once for a cause; the sweep is nudged, which draws the bytes.
    """
    made = []
    for kind in kinds:
        data = papers.data_of(kind=kind, commission=commission)
        if data is None or KeptPaper.objects.filter(commission=commission, kind=kind, cause=cause).exists():
            continue
        made.append(
            KeptPaper.objects.create(
                commission=commission,
                kind=kind,
                edition=KeptPaper.objects.filter(commission=commission, kind=kind).count() + 1,
                cause=cause,
                language=commission.client.access.language,
                data=data,
                at=clock.now(),
            )
        )
    nudge()
    return made


def draw_paper(*, paper: KeptPaper) -> bytes:
    """
    The bytes of a kept paper, drawn now where nobody has drawn them yet. To be called outside a transaction.

    Effects, in order: the file is written under a random name; name and digest are written, only where there
    were none (whoever comes second gives the first one's bytes).

    Raises:
        PapersUnavailable: this machine cannot make PDFs.
        Damaged: the file is not the one that was kept.
    """
    if paper.sha256:
        return filing.read(name=paper.file_name, sha256=paper.sha256)
    content = papers.draw(
        kind=paper.kind, commission=paper.commission, data=paper.data, language=paper.language, kept=paper
    ).content
    name = filing.keep(content=content)
    changed = KeptPaper.objects.filter(pk=paper.pk, sha256="").update(
        file_name=name, sha256=filing.digest(content)
    )
    paper.refresh_from_db()
    if changed != 1:
        filing.forget(name=name)
        return filing.read(name=paper.file_name, sha256=paper.sha256)
    return content


def draw_waiting(*, rows: list[KeptPaper]) -> int:
    """
    Draw the papers that nobody has opened yet; how many.

    Effects, for each: as draw_paper; one that fails does not keep the others from theirs.
    """
    done = 0
    for row in rows:
        try:
            draw_paper(paper=row)
            done += 1
        except PapersUnavailable:
            return done
        except MemoryError:
            raise
        except Exception:
            log.exception("Paper %s could not be drawn; the next sweep tries again", row.pk)
    return done
