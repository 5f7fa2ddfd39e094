"""The stones to order for one ring: what the agreed halo counts, what the drawer has, what is left to buy."""

from __future__ import annotations

from dataclasses import dataclass

from commissions.design import computing
from commissions.design.models import Revision
from commissions.design.queries import agreed, centre_words, newest
from commissions.record.models import Commission
from commissions.sourcing.models import Origin, Stone
from commissions.sourcing.queries.issued import issued_to, sizes_at
from commissions.sourcing.queries.melee import drawer_stock, lots
from commissions.sourcing.queries.stones import chosen, seat_of
from gemcalc.melee.sizes import melee_of_diameter

SPARE_PCT = 10
"""Stones to have over, % of a size, at least one: some break, some do not match. Common practice, no source."""

SEAT_FIT_MM = 0.03
"""A stone may differ from its seat's size by this much, mm: seats are cut to the stone. Common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class OrderRow:
    """One size: wanted by the design, over, at the job already, in the drawer, and to be ordered."""

    size: str
    wanted: int
    spare: int
    there: int
    drawer: int
    each_ct: float

    @property
    def to_order(self) -> int:
        """What neither the job nor the drawer has."""
        return max(self.wanted + self.spare - self.there - self.drawer, 0)

    @property
    def weight_ct(self) -> float:
        """About what the order weighs, by the chart."""
        return self.to_order * self.each_ct


@dataclass(frozen=True, kw_only=True)
class Order:
    """What is to be ordered for one ring, from one revision's stored figures."""

    revision: Revision
    is_agreed: bool
    digest: str
    species: str
    origin: str
    centre: str
    stone: Stone | None
    rows: list[OrderRow]
    halo_ct: float
    void: str

    @property
    def origin_words(self) -> str:
        """The declared origin that every stone of the order has."""
        return Origin(self.origin).label

    @property
    def to_order(self) -> int:
        """Stones to be ordered in all."""
        return sum(row.to_order for row in self.rows)


def order_of(*, commission: Commission) -> Order | None:
    """
    The order for a ring by its agreed (or else newest) revision; None before there is a design.

    Halo stones have the declared origin of the centre: origins are never mixed in one ring.
    """
    revision = agreed(commission=commission) or newest(commission=commission)
    if revision is None:
        return None
    stone = chosen(commission=commission)
    centre = revision.parameters["centre"]
    origin = stone.origin if stone else centre.get("origin", Origin.NATURAL)
    layout = revision.outputs.get("layout")
    figures = layout["figures"] if layout and layout["feasible"] else {"counts": {}, "weight_ct": 0.0}
    there = {
        row.size: row.there for row in sizes_at(commission=commission, lots=issued_to(commission=commission))
    }
    drawer = drawer_stock(species="diamond", origin=origin)
    rows = [
        OrderRow(
            size=size,
            wanted=count,
            spare=max(1, -(-count * SPARE_PCT // 100)),
            there=there.get(size, 0),
            drawer=drawer.get(size, 0),
            each_ct=melee_of_diameter(diameter_mm=float(size)).weight_ct,
        )
        for size, count in sorted(figures["counts"].items(), key=lambda row: float(row[0]))
    ]
    return Order(
        revision=revision,
        is_agreed=revision.status == "agreed",
        digest=computing.digest(revision.outputs),
        species="diamond",
        origin=origin,
        centre=centre_words(revision.parameters),
        stone=stone,
        rows=rows,
        halo_ct=figures["weight_ct"],
        void=seat.words if (seat := seat_of(commission=commission, stone=stone)) and seat.voids else "",
    )


def lots_for(*, order: Order):
    """The lots of the drawer from which this order can be issued, oldest first, with what lies in them."""
    sizes = [round(float(row.size) * 100) for row in order.rows]
    return (
        lots()
        .filter(species=order.species, origin=order.origin, size_hmm__in=sizes)
        .filter(drawer_count__gt=0)
        .order_by("size_hmm", "id")
    )
