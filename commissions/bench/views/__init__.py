"""Pages of the bench."""

from commissions.bench.views.acts import act, undo
from commissions.bench.views.check import check, check_line, pass_check
from commissions.bench.views.phone import count, job, jobs, photograph, problem, weigh
from commissions.bench.views.photos import photo, photo_file, photos, withdraw
from commissions.bench.views.steps import begin, leave_out, solve, steps, template, templates, time
from commissions.bench.views.worker import worker

__all__ = [
    "act",
    "begin",
    "check",
    "check_line",
    "count",
    "job",
    "jobs",
    "leave_out",
    "pass_check",
    "photo",
    "photo_file",
    "photograph",
    "photos",
    "problem",
    "solve",
    "steps",
    "template",
    "templates",
    "time",
    "undo",
    "weigh",
    "withdraw",
    "worker",
]
