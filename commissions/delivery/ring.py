"""What is so of a finished ring: the facts of its record, computed from what was measured and checked."""

from __future__ import annotations

import hashlib
import json

from django.conf import settings

from commissions.bench import queries as bench
from commissions.bench.evidence import alloy_of
from commissions.bench.models import WeighingKind
from commissions.delivery.models import Disclosure, SecondReading
from commissions.design import queries as design
from commissions.record.models import Commission
from commissions.record.route import Stage, State
from commissions.sourcing import queries as sourcing
from gemcalc.alloys import find

INSCRIPTION_LINE = 18
"""Line of the check sheet on which the inscription is read again after setting."""
MARKS_LINE = 19
"""Line of the check sheet on which the marks are read."""
NICKEL = {
    "none": "no nickel in it, by its composition",
    "contains": "contains nickel",
    "unknown": "its name does not tell whether nickel is in it",
}
NICKEL_OF_LOT = {
    "none": "the supplier's sheet says that no nickel is in it",
    "contains": "the supplier's sheet says that it contains nickel",
}
DIGEST_LETTERS = 10


def facts_of(*, commission: Commission) -> dict:
    """
    Identity, measures, weights, alloy, nickel, marks and the proof that the stone is the same.

    Of a small job: the facts of its ring as the job leaves it. Lengths are 0.01 mm, the ring's weight mg and
    stones 0.001 ct, as at rest. Nothing of the client, no address and no price is in it.
    """
    made = commission.ring or commission
    facts = _made(made)
    jobs = Commission.objects.filter(ring=made, stage__in=(Stage.HANDOVER, Stage.CARE)).exclude(
        state=State.WITHDRAWN
    )
    for job in jobs.select_related("small_job").order_by("id"):
        _changed(facts, job)
    return facts


def _made(commission: Commission) -> dict:
    sheet = bench.sheet_of(commission=commission)
    ring = bench.latest_weight(commission=commission, kind=WeighingKind.RING)
    mount = bench.latest_weight(commission=commission, kind=WeighingKind.MOUNT)
    count = bench.latest_count(commission=commission)
    revision = design.agreed(commission=commission)
    return {
        "maker": settings.STUDIO_NAME,
        "reference": commission.reference,
        "finished_on": str(sheet.final_at.date()) if sheet and sheet.final_at else "",
        "ring_mg": ring.net_mg if ring else None,
        "mount_mg": mount.net_mg if mount else None,
        "circumference_mm": revision.parameters["circumference_mm"] if revision else None,
        "halo_stones": count.set if count else None,
        "engraving": revision.parameters.get("engraving", "") if revision else "",
        "marks": _line(sheet, MARKS_LINE),
        "metal": _metal(commission),
        "stone": _stone(commission, sheet),
        "changes": [],
    }


def _changed(facts: dict, job: Commission) -> None:
    """What a small job changes of the facts: weight, size, the tests that were made again."""
    sheet = bench.sheet_of(commission=job)
    ring = bench.latest_weight(commission=job, kind=WeighingKind.RING)
    facts["ring_mg"] = ring.net_mg if ring else facts["ring_mg"]
    facts["mount_mg"] = None
    if job.small_job.size_hmm:
        facts["circumference_mm"] = job.small_job.size_hmm / 100
    facts["changes"].append(
        {
            "reference": job.reference,
            "work": job.small_job.work,
            "on": str(sheet.final_at.date()) if sheet and sheet.final_at else "",
        }
    )


def _line(sheet, number: int) -> str:
    """What the check sheet says on one line: its note, *passed*, or nothing."""
    row = next((row for row in bench.standings(sheet=sheet) if row.line.number == number), None)
    if row is None or row.answer is None or not row.is_settled or row.answer.verdict != "pass":
        return ""
    return row.answer.note or "legible, passed at the check"


def _metal(commission: Commission) -> dict | None:
    name = alloy_of(commission=commission)
    if not name:
        return None
    alloy = find(name=name)
    said = {lot.nickel for lot in bench.lots_issued(commission=commission)}
    lot = said.pop() if len(said) == 1 else "unknown"
    return {
        "alloy": alloy.name,
        "metal": alloy.metal,
        "fineness_ppt": alloy.fineness_ppt,
        "nickel": NICKEL_OF_LOT.get(lot, NICKEL[alloy.nickel]),
    }


def _stone(commission: Commission, sheet) -> dict | None:
    stone = sourcing.chosen(commission=commission)
    if stone is None:
        return None
    seen = sourcing.newest_check_in(stone=stone)
    measured = seen or stone
    again = SecondReading.objects.filter(commission=commission).order_by("-id").first()
    said = Disclosure.objects.filter(commission=commission).order_by("-id").first()
    to_report = sourcing.working_to_report(stone=stone)
    return {
        "words": f"{stone.get_origin_display()} {stone.species}"
        if stone.origin != "unknown"
        else f"{stone.species}, origin not known",
        "report": stone.report_number,
        "length_hmm": measured.length_hmm,
        "width_hmm": measured.width_hmm,
        "depth_hmm": measured.depth_hmm,
        "weight_mct": measured.weight_mct,
        "measured_by_us": seen is not None,
        "set_to_report": to_report is not None and seen is None,
        "treated": said.treated if said else "",
        "treatment": said.words if said else "",
        "treatment_source": said.source if said else "",
        "treatment_care": said.care_words if said else "",
        "inscription_before": seen.inscription_typed if seen else "",
        "inscription_fits": seen.inscription_fits if seen else None,
        "inscription_after": again.typed if again else "",
        "after_how": again.how if again else "",
        "after_fits": again.fits if again else None,
        "after_on": str(again.at.date()) if again else "",
        "read_after_setting": bool(_line(sheet, INSCRIPTION_LINE)),
    }


def digest(facts: dict) -> str:
    """SHA-256 over the canonical JSON of the facts: sorted keys, no spaces."""
    body = json.dumps(facts, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(body.encode()).hexdigest()


def short(full: str) -> str:
    """
    The form that stands on the paper.

    >>> short("7f3c91a208" + "0" * 54)
    '7F3C-91A2-08'
    """
    head = full[:DIGEST_LETTERS].upper()
    return f"{head[:4]}-{head[4:8]}-{head[8:]}"
