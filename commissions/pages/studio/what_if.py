"""What if: a revision with something else in it, computed and priced beside what stands."""

from __future__ import annotations

from dataclasses import dataclass

from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET

from commissions.design import computing, drawings, forms, queries
from commissions.design.models import Revision
from commissions.design.variations import Change, varied
from commissions.design.views.common import revision_of
from commissions.money.lines import rounded
from commissions.money.models import LineKind
from commissions.money.pricing import price_list, proposed_tax, work_out
from commissions.record.route import Stage
from commissions.sourcing import queries as sourcing
from gemcalc.errors import BadInput
from studio.amounts import written
from studio.people.access import staff


@dataclass(frozen=True, kw_only=True)
class Column:
    """One design of the table: its change, the revision that would be, and where a draft of it begins."""

    change: Change
    revision: Revision
    begin: str

    @property
    def head(self) -> str:
        """The change as the head of a column."""
        return self.change.words if len(self.change.parts) < 3 else "All of it"

    @property
    def layout(self) -> dict | None:
        """Its halo, where it has a sound one."""
        layout = self.revision.outputs.get("layout")
        return layout if layout and layout["feasible"] else None


def _columns(revision: Revision, change: Change) -> list[Change]:
    """Nothing changed, each change by itself, and where there are several all of them together."""
    parts = change.parts
    alone = [Change(**{name: value}) for name, value in parts.items()]
    return [Change(), *alone, *([change] if len(parts) > 1 else [])]


def _column(revision: Revision, change: Change) -> Column:
    parameters = varied(revision.parameters, change)
    outputs = revision.outputs if change.empty else computing.outputs(parameters)
    made = Revision(letter=revision.letter, parameters=parameters, outputs=outputs)
    address = reverse("pages:draft", args=[revision.commission.reference])
    return Column(change=change, revision=made, begin=f"{address}?{change.query(revision.letter)}")


class Pricer:
    """The quotation's lines worked out for each column, with the same prices and the same tax."""

    def __init__(self, revision: Revision) -> None:
        self.commission = revision.commission
        self.stone = sourcing.chosen(commission=self.commission)
        self.prices = price_list(currency=self.commission.currency)
        self.tax = proposed_tax(country=self.commission.client.country)

    def of(self, column: Column) -> dict | None:
        """Sums of a column in minor units, without and with the centre stone; None without a price list."""
        if self.prices is None:
            return None
        worked = work_out(
            commission=self.commission,
            revision=column.revision,
            stone=None if column.change.centre_mm else self.stone,
            prices=self.prices,
            tax=self.tax,
        )
        sums = [(line.kind, rounded(line.quantity * line.unit_minor)) for line in worked.lines]
        return {
            "ring": sum(minor for kind, minor in sums if kind != LineKind.CENTRE),
            "centre": next((minor for kind, minor in sums if kind == LineKind.CENTRE), None),
            # The centre is told apart in a row of its own; what else lacks a price is said.
            "notes": [note for note in worked.notes if "allowance for the centre" not in note],
        }


def _rows(columns: list[Column], prices: list[dict | None], currency: str) -> list[dict]:
    def row(name: str, words: list[str]) -> dict:
        return {
            "name": name,
            "cells": [
                {
                    "head": columns[place].head,
                    "words": text,
                    "differs": place > 0 and text != words[0],
                }
                for place, text in enumerate(words)
            ],
        }

    def of_halo(write) -> list[str]:
        return [write(column.layout["figures"]) if column.layout else "no sound halo" for column in columns]

    metals = [column.revision.outputs["metal"] for column in columns]
    rows = [
        row("Centre", [queries.centre_words(column.revision.parameters) for column in columns]),
        row("Halo stones", of_halo(lambda figures: f"{figures['stones']}")),
        row(
            "Per size",
            of_halo(
                lambda figures: ", ".join(f"{n} × {size}" for size, n in sorted(figures["counts"].items()))
            ),
        ),
        row("Halo weight", of_halo(lambda figures: f"{figures['weight_ct']:.3f} ct")),
        row("Least gap", of_halo(lambda figures: f"{figures['gap_least_mm']:.3f} mm")),
        row(
            "Over all", of_halo(lambda figures: f"{figures['width_mm']:.2f} × {figures['length_mm']:.2f} mm")
        ),
        row("Metal", [metal["alloy"] for metal in metals]),
        row("Finished", [f"{metal['finished_mg'] / 1000:.2f} g" for metal in metals]),
        row("As cast", [f"{metal['cast_mg'] / 1000:.2f} g" for metal in metals]),
    ]
    if not any(column.revision.outputs.get("layout") for column in columns):
        rows = [
            one for one in rows if one["name"] not in ("Halo stones", "Per size", "Halo weight", "Least gap")
        ]
    if all(prices):
        rows += _money_rows(row, columns, prices, currency)
    return rows


def _new_findings(columns: list[Column]) -> list[dict]:
    """What the checks say of a change and do not say of what stands."""
    known = {row["words"] for row in columns[0].revision.outputs["findings"]}
    told = [
        {
            "head": column.head,
            "rows": [row for row in column.revision.outputs["findings"] if row["words"] not in known],
        }
        for column in columns[1:]
    ]
    return [one for one in told if one["rows"]]


def _money_rows(row, columns, prices, currency: str) -> list[dict]:
    def amount(minor: int) -> str:
        return written(minor=minor, currency=currency)

    first = prices[0]["ring"]
    rings = [
        amount(price["ring"])
        if column.layout or not column.revision.outputs.get("layout")
        else "not priced: no sound halo"
        for column, price in zip(columns, prices, strict=True)
    ]
    more = [
        "–" if not place else _signed(price["ring"] - first, amount) for place, price in enumerate(prices)
    ]
    centres = [
        "another stone, not priced"
        if column.change.centre_mm
        else "no stone priced"
        if price["centre"] is None
        else amount(price["centre"])
        for column, price in zip(columns, prices, strict=True)
    ]
    return [
        row("Ring without its centre, before tax", rings),
        row("Against what stands", more),
        row("Centre stone, before tax", centres),
    ]


def _signed(minor: int, amount) -> str:
    return "the same" if minor == 0 else f"{amount(abs(minor))} {'more' if minor > 0 else 'less'}"


@staff("owner", "jeweller")
@require_GET
def what_if(request, reference: str, letter: str):
    """One or more changes to a revision, side by side: halo, metal, and for the owner the price."""
    revision = revision_of(reference, letter)
    asked = any(name in request.GET for name in forms.Variation.base_fields)
    form = forms.Variation(request.GET if asked else None)
    columns: list[Column] = []
    change = form.change() if asked and form.is_valid() else Change()
    try:
        columns = [_column(revision, one) for one in _columns(revision, change)]
    except BadInput as error:
        box = "centre_mm" if (error.field or "").startswith("centre") else None
        form.add_error(box, error.message)
        columns = [_column(revision, Change())]
    pricer = Pricer(revision) if request.user.is_owner else None
    prices = [pricer.of(column) if pricer else None for column in columns]
    scenes = [drawings.top(column.revision, variant="mini") for column in columns]
    return render(
        request,
        "pages/what_if.html",
        {
            "commission": revision.commission,
            "revision": revision,
            "form": form,
            "columns": list(zip(columns, drawings.at_one_scale(scenes), strict=True)),
            "new_findings": _new_findings(columns),
            "rows": _rows(columns, prices, revision.commission.currency),
            "notes": prices[0]["notes"] if prices[0] else [],
            "priced": all(prices),
            "no_prices": pricer is not None and pricer.prices is None,
            "prices": pricer.prices if pricer else None,
            "asked": asked and not form.errors and not change.empty,
            "can_draft": revision.commission.stage in (Stage.DESIGN, Stage.STONES),
        },
        status=422 if form.errors else 200,
    )
