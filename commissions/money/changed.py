"""What has changed between a bundle that was shown and the one that is there now, as a client reads it."""

from __future__ import annotations

import datetime

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from commissions.design.comparing import compare_lines, lines_of
from studio import amounts


def changes_in_words(before: dict, after: dict) -> list[str]:
    """What differs, one sentence for each thing; empty where nothing does."""
    if before == after:
        return []
    rows = [
        *_design(before["design"], after["design"]),
        *_stones(before["stones"], after["stones"]),
        *_price(before["quote"], after["quote"]),
        *_dates(before["promised_on"], after["promised_on"]),
    ]
    if before["terms"] != after["terms"]:
        rows.append(_("The terms have a new version: %(version)s.") % {"version": after["terms"]})
    if before["changes"] != after["changes"]:
        rows.append(_("A change note was approved in the meantime."))
    return rows or [_("A detail of the agreement is another one now.")]


def _design(before: dict | None, after: dict | None) -> list[str]:
    if before == after:
        return []
    if before is None or after is None:
        return [_("The design is being drawn anew.")]
    rows = []
    if before["revision"] != after["revision"]:
        rows.append(
            _("The design is revision %(now)s; you were shown revision %(then)s.")
            % {"now": after["revision"], "then": before["revision"]}
        )
    old, new = before["parameters"], after["parameters"]
    for change in compare_lines(lines_of(old, None), lines_of(new, None)).changes:
        rows.append(f"{change.name}: {change.before} → {change.after}.")
    if old.get("halo") != new.get("halo"):
        rows.append(_("The halo is laid differently."))
    return rows or [_("The figures of the design were computed anew and differ.")]


def _stones(before: list[dict], after: list[dict]) -> list[str]:
    if before == after:
        return []
    if [row["stone"] for row in before] != [row["stone"] for row in after]:
        return [_("Another stone is chosen.")]
    return [_("The stone was measured anew, and its measures are others.")]


def _price(before: dict, after: dict) -> list[str]:
    rows = []
    old, new = _total(before), _total(after)
    if old != new:
        rows.append(_("The price is %(now)s; you were shown %(then)s.") % {"now": new, "then": old})
    elif before["lines"] != after["lines"]:
        rows.append(_("The lines of the price are others; the sum is the same."))
    if before["instalments"] != after["instalments"] or before["plan"] != after["plan"]:
        rows.append(_("The price is divided into other payments."))
    if before["valid_until"] != after["valid_until"]:
        rows.append(_("The offer holds until another day."))
    rest = {"version", "currency", "plan", "valid_until", "lines", "instalments"}
    if any(before.get(key) != after.get(key) for key in {*before, *after} - rest):
        rows.append(_("What is said beside the price (metal, tax, duty, other currency) is another."))
    return rows


def _total(quote: dict) -> str:
    minor = sum(line[4] + line[6] for line in quote["lines"])
    return amounts.written(minor=minor, currency=quote["currency"])


def _dates(before: str | None, after: str | None) -> list[str]:
    if before == after:
        return []
    now = date_format(datetime.date.fromisoformat(after), "j F Y") if after else _("open")
    then = date_format(datetime.date.fromisoformat(before), "j F Y") if before else _("open")
    return [_("The promised day is %(now)s; you were shown %(then)s.") % {"now": now, "then": then}]
