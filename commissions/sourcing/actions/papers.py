"""Keeping the paper of a condition: made once, read ever after."""

from __future__ import annotations

import hashlib
import os
import secrets

from django.db import IntegrityError, transaction

from commissions.sourcing import papers
from commissions.sourcing.models import Condition, ConditionPaper
from studio import clock


def keep_paper(*, condition: Condition, kind: str) -> tuple[ConditionPaper, bytes]:
    """
    The paper of a condition, as sent or as signed, as it was first made; made and kept now where there is none.

    Effects, in order: the bytes are made and written to disk under a random name (outside any transaction);
    the row is written with their digest. Of two who make it at once one keeps theirs, and the other's file goes.

    Raises:
        NotReadyYet: a photograph of it is not prepared yet.
        PapersUnavailable: this machine cannot make PDFs.
    """
    paper = ConditionPaper.objects.filter(condition=condition, kind=kind).first()
    if paper is not None:
        return paper, papers.kept(paper)
    content = papers.drawn_up(condition=condition, kind=kind)
    path = papers.folder() / f"{secrets.token_urlsafe(24)}.pdf"
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    try:
        with transaction.atomic():
            paper = ConditionPaper.objects.create(
                condition=condition,
                kind=kind,
                file_name=path.name,
                sha256=hashlib.sha256(content).hexdigest(),
                at=clock.now(),
            )
    except IntegrityError:
        path.unlink(missing_ok=True)
        paper = ConditionPaper.objects.get(condition=condition, kind=kind)
        return paper, papers.kept(paper)
    return paper, content
