"""The condition of a stone on paper, made from what was frozen with it and from nothing else."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path
from types import SimpleNamespace

from django.conf import settings
from django.utils import translation
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from commissions.record.models import Commission
from commissions.sourcing.models import (
    Bearer,
    Condition,
    ConditionAnswer,
    ConditionPaper,
    PaperKind,
    Shot,
    StonePhoto,
)
from commissions.sourcing.plans import plot_svg
from studio.papers import make
from studio.pictures.actions import render
from studio.pictures.queries import rendition

EDGE = 1000
PLOT_MM = 62


class NotReadyYet(RuntimeError):
    """A photograph of the record is still being prepared; the paper can be made in a moment."""


def short(digest: str) -> str:
    """A digest as it stands on papers: ``7F3C-91A2-08``."""
    head = digest[:10].upper()
    return f"{head[:4]}-{head[4:8]}-{head[8:]}"


def drawn(condition: Condition, *, paper_mm: float | None = None) -> SafeString:
    """The plot as it was frozen; *paper_mm* wide on paper."""
    shown = condition.content["shown"]
    rows = [SimpleNamespace(**row) for row in shown["marks"]]
    return plot_svg(outline=shown["outline"], rows=rows, paper_mm=paper_mm)


def read(condition: Condition) -> dict:
    """What both sides read, on page and paper."""
    content = condition.content
    return {
        "condition": condition,
        "content": content,
        "facts": content["stone"],
        "bearer_words": Bearer(condition.bearer).label,
        "fingerprint": short(condition.digest),
        "plot": drawn(condition),
    }


def name_of(commission: Commission) -> str:
    """What the paper is called where others may see it."""
    return _("Paper") if commission.discreet else _("Condition of a stone")


def file_name(condition: Condition, kind: str) -> str:
    """The name under which a paper is saved; of a surprise its reference alone."""
    commission = condition.stone.commission
    word = "paper" if commission.discreet else "stone-condition"
    return (
        f"{word}-{commission.reference}-{condition.number}{'-signed' if kind == PaperKind.SIGNED else ''}.pdf"
    )


def drawn_up(*, condition: Condition, kind: str) -> bytes:
    """
    The bytes of the paper, in the client's language.

    Raises:
        NotReadyYet: a photograph is not prepared yet.
        PapersUnavailable: this machine cannot make PDFs.
    """
    commission = condition.stone.commission
    signature: ConditionAnswer | None = None
    if kind == PaperKind.SIGNED:
        signature = condition.answers.filter(signed=True).get()
    language = commission.client.access.language
    with translation.override(language):
        return make(
            template="print/stone_condition.html",
            context={
                **read(condition),
                "plot": drawn(condition, paper_mm=PLOT_MM),
                "signature": signature,
                "pictures": _pictures(condition),
                "reference": commission.reference,
                "paper_name": name_of(commission),
                "language": language,
            },
        ).content


def _pictures(condition: Condition) -> list[dict]:
    kept = condition.content["shown"]["photos"]
    rows = {
        row.pk: row
        for row in StonePhoto.objects.filter(pk__in=[photo["photo"] for photo in kept]).select_related(
            "picture"
        )
    }
    made = []
    for photo in kept:
        row = rows[photo["photo"]]
        if not row.picture.is_ready and not row.picture.refusal:
            render(pk=row.picture.pk)
            row.picture.refresh_from_db()
        body = rendition(picture=row.picture, edge=EDGE)
        if body is None and not row.picture.refusal:
            raise NotReadyYet
        if body is not None:
            source = f"data:image/jpeg;base64,{base64.b64encode(body).decode()}"
            made.append({"src": source, "words": photo["caption"] or Shot(photo["shot"]).label})
    return made


def folder() -> Path:
    """Where the bytes of papers lie; nothing serves it."""
    return Path(settings.MEDIA_ROOT) / "papers"


def kept(paper: ConditionPaper) -> bytes:
    """
    The bytes of a paper as they were first made.

    Raises:
        RuntimeError: the file is not the one that was kept.
    """
    content = (folder() / paper.file_name).read_bytes()
    if hashlib.sha256(content).hexdigest() != paper.sha256:
        raise RuntimeError(
            f"the file of paper {paper.pk} of a stone's condition is not the one that was kept"
        )
    return content
