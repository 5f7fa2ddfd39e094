"""Pages of the bench."""

from commissions.bench.views.acts import act, undo
from commissions.bench.views.check import check, check_line, pass_check
from commissions.bench.views.dates import date, take_back_date, your_cancelling, your_date
from commissions.bench.views.metal import (
    book_weight,
    close_account,
    job_metal,
    metal,
    refiner_lot,
    reverse_metal,
)
from commissions.bench.views.papers import capacity_line, job_card
from commissions.bench.views.phone import count, job, jobs, photograph, problem, weigh
from commissions.bench.views.photos import photo, photo_file, photos, withdraw
from commissions.bench.views.steps import begin, leave_out, solve, steps, template, templates, time
from commissions.bench.views.suppliers import later, outside, slip, supplier_link, suppliers, take_back
from commissions.bench.views.worker import worker

__all__ = [
    "act",
    "begin",
    "book_weight",
    "capacity_line",
    "check",
    "check_line",
    "close_account",
    "count",
    "date",
    "job",
    "job_card",
    "job_metal",
    "jobs",
    "later",
    "leave_out",
    "metal",
    "outside",
    "pass_check",
    "photo",
    "photo_file",
    "photograph",
    "photos",
    "problem",
    "refiner_lot",
    "reverse_metal",
    "slip",
    "solve",
    "steps",
    "supplier_link",
    "suppliers",
    "take_back",
    "take_back_date",
    "template",
    "templates",
    "time",
    "undo",
    "weigh",
    "withdraw",
    "worker",
    "your_cancelling",
    "your_date",
]
