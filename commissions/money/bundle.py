"""What is agreed, as one canonical bundle, and its fingerprint."""

from __future__ import annotations

import hashlib
import json

from commissions.design.queries import bundle_part as design_part
from commissions.money.models import ChangeNote, ChangeStatus, Quote
from commissions.record.models import Commission
from commissions.record.queries import small_job_part
from commissions.sourcing.queries import bundle_part as stones_part

TERMS_VERSION = "2026-01"


def bundle(*, commission: Commission, quote: Quote) -> dict:
    """
    Design revision, stones and their measures, quotation, plan, size, engraving, promised date and terms.

    Plain JSON values only, integers at their rest units, so that the same agreement always reads the same.
    """
    design = design_part(commission=commission)
    parameters = (design or {}).get("parameters", {})
    job = small_job_part(commission=commission)
    return {
        **({"job": job} if job else {}),
        "commission": commission.reference,
        "design": design,
        "stones": stones_part(commission=commission),
        "quote": {
            "version": quote.version,
            "currency": quote.currency,
            "plan": quote.plan,
            "valid_until": quote.valid_until.isoformat() if quote.valid_until else None,
            "metal_clause": quote.metal_clause,
            "tax_note": quote.tax_note,
            "second": [quote.second_currency, str(quote.second_rate.normalize()), quote.second_on.isoformat()]
            if quote.second_rate
            else None,
            "landed": [str(quote.landed_duty or 0), str(quote.landed_tax or 0), quote.landed_source]
            if quote.landed_on
            else None,
            "lines": [
                [
                    line.kind,
                    line.words,
                    str(line.quantity.normalize()),
                    line.unit,
                    line.total_minor,
                    line.tax_code,
                    line.tax_minor,
                ]
                for line in quote.lines.all()
            ],
            "instalments": [
                [row.number, row.event, row.minor]
                for row in quote.instalments.all()
                if row.change_note_id is None
            ],
        },
        "changes": [
            change_part(note)
            for note in ChangeNote.objects.filter(commission=commission, status=ChangeStatus.APPROVED)
        ],
        "size_mm": parameters.get("circumference_mm"),
        "engraving": parameters.get("engraving", ""),
        "promised_on": commission.promised_on.isoformat() if commission.promised_on else None,
        "terms": TERMS_VERSION,
    }


def change_part(note: ChangeNote) -> dict:
    """What a change note adds to what was agreed."""
    return {
        "number": note.number,
        "what": note.what,
        "net": note.net_minor,
        "tax": note.tax_minor,
        "days": note.days,
        "metal_mg": note.metal_mg,
    }


def canonical(value: dict) -> str:
    """The one way to write a bundle: sorted keys, no blanks, UTF-8."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def digest(value: dict) -> str:
    """SHA-256 of the canonical bundle, 64 hex digits."""
    return hashlib.sha256(canonical(value).encode()).hexdigest()


def short(full: str) -> str:
    """The form that stands on papers: ``7F3C-91A2-08``."""
    head = full[:10].upper()
    return f"{head[:4]}-{head[4:8]}-{head[8:]}"


def differences(before: dict, after: dict) -> list[str]:
    """What differs between two bundles, in words."""
    rows: list[str] = []

    def walk(path: str, a: object, b: object) -> None:
        if isinstance(a, dict) and isinstance(b, dict):
            for key in sorted({*a, *b}):
                walk(f"{path} {key}".strip(), a.get(key), b.get(key))
        elif a != b:
            rows.append(f"{path.replace('_', ' ')}: agreed {_plain(a)}, now {_plain(b)}")

    walk("", before, after)
    return rows


def _plain(value: object) -> str:
    text = "nothing" if value in (None, "", [], {}) else str(value)
    return text if len(text) < 60 else text[:57] + "…"
