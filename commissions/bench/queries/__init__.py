"""Reads of the bench."""

from commissions.bench.queries.acts import act_by_key
from commissions.bench.queries.check import halo_figures, sheet_of, standings
from commissions.bench.queries.dates import (
    date_notices,
    notice_of,
    open_notice,
    standing_of,
    wishes_to_cancel,
)
from commissions.bench.queries.facts import (
    latest_count,
    latest_weight,
    open_problems,
    running_clock,
    time_entries,
    weighings,
)
from commissions.bench.queries.jobs import (
    current_step,
    held_at,
    hold_on,
    job_for,
    jobs_for,
    next_step,
    steps,
    templates,
)
from commissions.bench.queries.metal import (
    alloys_issued,
    by_alloy,
    job_accounts,
    lots_issued,
    metal_balance,
    metal_lots,
    metal_of_job,
    on_jobs,
    unbooked,
)
from commissions.bench.queries.piece import piece_part
from commissions.bench.queries.refining import refinings
from commissions.bench.queries.showing import (
    final_shots_missing,
    photo_of,
    photos,
    photos_at_hold,
    photos_without_letter,
    released_photos,
)
from commissions.bench.queries.stones import issued_lots, lacking, needed, stones_missing, tallies
from commissions.bench.queries.suppliers import by_link, jobs_of_step, out_of_house, supplier_jobs, was_sent

__all__ = [
    "act_by_key",
    "alloys_issued",
    "by_alloy",
    "by_link",
    "current_step",
    "date_notices",
    "final_shots_missing",
    "halo_figures",
    "held_at",
    "hold_on",
    "issued_lots",
    "job_accounts",
    "job_for",
    "jobs_for",
    "jobs_of_step",
    "lacking",
    "latest_count",
    "latest_weight",
    "lots_issued",
    "metal_balance",
    "metal_lots",
    "metal_of_job",
    "needed",
    "next_step",
    "notice_of",
    "on_jobs",
    "open_notice",
    "open_problems",
    "out_of_house",
    "photo_of",
    "photos",
    "photos_at_hold",
    "photos_without_letter",
    "piece_part",
    "refinings",
    "released_photos",
    "running_clock",
    "sheet_of",
    "standing_of",
    "standings",
    "steps",
    "stones_missing",
    "supplier_jobs",
    "tallies",
    "templates",
    "time_entries",
    "unbooked",
    "was_sent",
    "weighings",
    "wishes_to_cancel",
]
