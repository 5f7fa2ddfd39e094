"""
Quotation lines worked out from what is already known: the agreed revision, the chosen stone, the studio's prices.

Every line carries what it was computed from, so that *why this figure* has an answer.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from commissions.design.models import Revision
from commissions.money.lines import NewLine, plainly
from commissions.money.models import LineKind, PriceKind, PriceList, TaxCode
from commissions.money.pricelists import PriceTable, price_list, proposed_tax
from commissions.record.models import Commission
from commissions.sourcing.models import Owner, Stone
from gemcalc.alloys import find
from gemcalc.troy import price_per_gram
from studio.quantities import ct

__all__ = ["Worked", "metal_clause", "price_list", "proposed_tax", "taxed", "work_out"]


@dataclass(kw_only=True)
class Worked:
    """Lines worked out, and what could not be, in words."""

    lines: list[NewLine] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


def work_out(
    *,
    commission: Commission,
    revision: Revision,
    stone: Stone | None,
    prices: PriceList,
    tax: TaxCode | None,
    metal: str | None = None,
) -> Worked:
    """
    The lines of a ring from its revision, in the currency of *prices*.

    *metal* prices the same ring in another alloy: its mass is scaled by the density (see gemcalc.alloys).
    """
    table = PriceTable(prices)
    worked = Worked()
    _centre(worked, table, stone=stone)
    counts = (revision.outputs.get("layout") or {}).get("figures", {}).get("counts", {})
    _halo(worked, table, counts=counts)
    _metal(worked, table, outputs=revision.outputs, metal=metal, letter=revision.letter)
    _making(worked, table)
    _setting(worked, table, stones=sum(counts.values()))
    for kind, price_kind, words in (
        (LineKind.FINISHING, PriceKind.FINISHING, "Filing, polishing and finishing"),
        (LineKind.MARKING, PriceKind.MARKING, "Fineness and maker's mark"),
    ):
        _single(worked, table, kind=kind, price_kind=price_kind, words=words)
    engraving = revision.parameters.get("engraving")
    if engraving:
        _single(
            worked,
            table,
            kind=LineKind.ENGRAVING,
            price_kind=PriceKind.ENGRAVING,
            words=f"Engraving: {engraving}",
        )
    _single(
        worked,
        table,
        kind=LineKind.DELIVERY,
        price_kind=PriceKind.DELIVERY,
        words="Insured delivery to your door",
    )
    if tax:
        worked.lines = [taxed(line, tax=tax) for line in worked.lines]
    else:
        worked.notes.append("No tax code fits the country of delivery: choose one for every line.")
    return worked


def taxed(line: NewLine, *, tax: TaxCode) -> NewLine:
    """*line* with a tax code and its rate."""
    return NewLine(**{**line.__dict__, "tax_code": tax.code, "tax_rate": tax.rate})


def _centre(worked: Worked, table: PriceTable, *, stone: Stone | None) -> None:
    if stone is None:
        worked.notes.append("No stone is chosen: add a line with an allowance for the centre.")
        return
    if stone.owner == Owner.CLIENT:
        return
    if stone.price_minor is None:
        worked.notes.append(f"{stone.name} has no price yet.")
        return
    if stone.currency and stone.currency != table.list.currency:
        worked.notes.append(
            f"{stone.name} is priced in {stone.currency}: enter its price in {table.list.currency} by hand."
        )
        return
    markup = table.percent(PriceKind.STONE_MARKUP)
    # What the client read beside the stone when they chose it is what they are quoted.
    asked = (
        stone.asked_minor if stone.commission and stone.commission.currency == table.list.currency else None
    )
    origin = "laboratory-grown " if stone.origin == "laboratory-grown" else ""
    weight = f", {ct(stone.weight_mct)} ct" if stone.weight_mct else ""
    worked.lines.append(
        NewLine(
            kind=LineKind.CENTRE,
            words=f"Centre: {origin}{stone.species}{weight}, {stone.name}"[:200],
            unit="stone",
            unit_minor=Decimal(asked)
            if asked is not None
            else Decimal(stone.price_minor) * (100 + markup) / 100,
            cost_minor=stone.price_minor,
            computed_from={
                "stone": stone.pk,
                "price": stone.price_minor,
                **(
                    {"told to the client": asked}
                    if asked is not None
                    else {"on top, percent": plainly(markup)}
                ),
                **table.since,
            },
        )
    )


def _halo(worked: Worked, table: PriceTable, *, counts: dict[str, int]) -> None:
    for size, count in sorted(counts.items(), reverse=True):
        row = table.get(PriceKind.MELEE, size)
        if row is None:
            worked.notes.append(f"The price list has no halo stone of {size} mm.")
            continue
        worked.lines.append(
            NewLine(
                kind=LineKind.HALO,
                words=f"Halo: {count} stones of {size} mm",
                quantity=Decimal(count),
                unit="stone" if count == 1 else "stones",
                unit_minor=table.minor(row.price),
                cost_minor=int(table.minor(row.cost) * count),
                computed_from={"size mm": size, "count": count, **table.since},
            )
        )


def _metal(worked: Worked, table: PriceTable, *, outputs: dict, metal: str | None, letter: str) -> None:
    figures = outputs["metal"]
    alloy = find(name=metal or figures["alloy"])
    ounce = table.get(PriceKind.METAL, alloy.metal)
    if ounce is None:
        worked.notes.append(f"The price list has no price for {alloy.metal}, the metal of {alloy.name}.")
        return
    scale = Decimal(str(alloy.density_g_cm3)) / Decimal(str(figures["density_g_cm3"]))
    mass = (Decimal(figures["cast_mg"]) * scale / 1000).quantize(Decimal("0.01"))
    markup = table.percent(PriceKind.METAL_MARKUP)
    fineness = Decimal(str(alloy.fineness_ppt))
    # Rounded once to a hundredth of a minor unit, so that the printed price times the mass is the sum.
    gram = price_per_gram(price_per_troy_ounce=table.minor(ounce.price), fineness_ppt=fineness)
    unit = (gram * (100 + markup) / 100).quantize(Decimal("0.01"))
    cost = price_per_gram(price_per_troy_ounce=table.minor(ounce.cost or ounce.price), fineness_ppt=fineness)
    worked.lines.append(
        NewLine(
            kind=LineKind.METAL,
            words=f"{alloy.name}, forecast mass as cast",
            quantity=mass,
            unit="g",
            unit_minor=unit,
            cost_minor=int(cost * mass),
            computed_from={
                "revision": letter,
                "alloy": alloy.name,
                "fineness, parts per thousand": plainly(fineness),
                "price of a troy ounce": plainly(ounce.price),
                "on top, percent": plainly(markup),
                **table.since,
            },
        )
    )


def _making(worked: Worked, table: PriceTable) -> None:
    hour, steps = table.get(PriceKind.HOUR), table.of(PriceKind.STEP)
    if hour is None or not steps:
        worked.notes.append("The price list has no price of an hour or no steps of the making.")
        return
    for step in steps:
        worked.lines.append(
            NewLine(
                kind=LineKind.MAKING,
                words=f"Making: {step.name.lower()}",
                quantity=step.price,
                unit="h",
                unit_minor=table.minor(hour.price),
                cost_minor=int(table.minor(hour.cost) * step.price),
                computed_from={"step": step.name, "hours": plainly(step.price), **table.since},
            )
        )


def _setting(worked: Worked, table: PriceTable, *, stones: int) -> None:
    for kind, count, words in (
        (PriceKind.SET_CENTRE, 1, "Setting the centre stone"),
        (PriceKind.SET_HALO, stones, "Setting the halo stones"),
    ):
        row = table.get(kind)
        if not count:
            continue
        if row is None:
            worked.notes.append(f"The price list has no price for: {PriceKind(kind).label.lower()}.")
            continue
        worked.lines.append(
            NewLine(
                kind=LineKind.SETTING,
                words=words,
                quantity=Decimal(count),
                unit="stone" if count == 1 else "stones",
                unit_minor=table.minor(row.price),
                cost_minor=int(table.minor(row.cost) * count),
                computed_from={"count": count, **table.since},
            )
        )


def _single(worked: Worked, table: PriceTable, *, kind: str, price_kind: str, words: str) -> None:
    row = table.get(price_kind)
    if row is None:
        worked.notes.append(f"The price list has no price for: {PriceKind(price_kind).label.lower()}.")
        return
    worked.lines.append(
        NewLine(
            kind=kind,
            words=words[:200],
            unit_minor=table.minor(row.price),
            cost_minor=int(table.minor(row.cost)),
            computed_from=dict(table.since),
        )
    )


def metal_clause(*, worked: Worked, prices: PriceList) -> str:
    """The metal clause in one line, with its formula; empty where no line is metal."""
    line = next((row for row in worked.lines if row.kind == LineKind.METAL), None)
    if line is None:
        return ""
    return (
        f"The metal price is fixed if you agree before this offer ends. After that it is worked out anew: "
        f"{line.quantity} g × {line.computed_from['fineness, parts per thousand']}/1000 × price of a troy ounce that day "
        f"/ 31.1034768 g, plus {line.computed_from['on top, percent']} %. Today: {prices.currency} "
        f"{line.computed_from['price of a troy ounce']} a troy ounce ({prices.source}, {prices.from_on:%d %B %Y})."
    )
