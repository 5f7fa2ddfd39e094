"""The sieve plates, one row for the stones that lie between two of them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Plate:
    """
    The stones that a plate holds back and the plate above lets through.

    Args:
        sieve: Its name: `+6.5-7` lies on plate 6.5 and falls through 7.
        low_mm: Hole of the lower plate, mm.
        high_mm: Hole of the upper plate, mm.
        weight_ct: Printed mean weight of one stone, ct.
        source: Key of its source.
    """

    sieve: str
    low_mm: float
    high_mm: float
    weight_ct: float
    source: str

    @property
    def middle_mm(self) -> float:
        """Middle diameter, mm."""
        return (self.low_mm + self.high_mm) / 2


def _row(sieve: str, low_mm: float, high_mm: float, weight_ct: float, source: str) -> Plate:
    return Plate(sieve=sieve, low_mm=low_mm, high_mm=high_mm, weight_ct=weight_ct, source=source)


PLATES: tuple[Plate, ...] = (
    _row("-0000", 0.70, 0.80, 0.0033, "sieve-chart"),
    _row("+0000-000", 0.80, 0.90, 0.004, "sieve-chart"),
    _row("+000-0", 0.90, 1.10, 0.005, "sieve-chart"),
    _row("+0-1", 1.10, 1.15, 0.006, "sieve-chart"),
    _row("+1-1.5", 1.15, 1.20, 0.007, "sieve-chart"),
    _row("+1.5-2", 1.20, 1.25, 0.008, "sieve-chart"),
    _row("+2-2.5", 1.25, 1.30, 0.009, "sieve-chart"),
    _row("+2.5-3", 1.30, 1.35, 0.01, "sieve-chart"),
    _row("+3-3.5", 1.35, 1.40, 0.011, "sieve-chart"),
    _row("+3.5-4", 1.40, 1.45, 0.012, "sieve-chart"),
    _row("+4-4.5", 1.45, 1.50, 0.013, "sieve-chart"),
    _row("+4.5-5", 1.50, 1.55, 0.014, "sieve-chart"),
    _row("+5-5.5", 1.55, 1.60, 0.016, "sieve-chart"),
    _row("+5.5-6", 1.60, 1.70, 0.018, "sieve-chart"),
    _row("+6-6.5", 1.70, 1.80, 0.021, "sieve-chart"),
    _row("+6.5-7", 1.80, 1.90, 0.025, "sieve-chart"),
    _row("+7-7.5", 1.90, 2.00, 0.029, "sieve-chart"),
    _row("+7.5-8", 2.00, 2.10, 0.035, "sieve-chart"),
    _row("+8-8.5", 2.10, 2.20, 0.039, "sieve-chart"),
    _row("+8.5-9", 2.20, 2.30, 0.044, "sieve-chart"),
    _row("+9-9.5", 2.30, 2.40, 0.052, "sieve-chart"),
    _row("+9.5-10", 2.40, 2.50, 0.058, "sieve-chart"),
    _row("+10-10.5", 2.50, 2.60, 0.069, "sieve-chart"),
    _row("+10.5-11", 2.60, 2.70, 0.074, "sieve-chart"),
    _row("+11-11.5", 2.70, 2.80, 0.078, "sieve-chart"),
    _row("+11.5-12", 2.80, 2.90, 0.086, "sieve-chart"),
    _row("+12-12.5", 2.90, 3.00, 0.095, "sieve-chart"),
    _row("+12.5-13", 3.00, 3.10, 0.108, "sieve-chart"),
    _row("+13-13.5", 3.10, 3.20, 0.116, "sieve-chart"),
    _row("+13.5-14", 3.20, 3.30, 0.125, "sieve-chart"),
    _row("+14-14.5", 3.30, 3.40, 0.135, "sieve-chart"),
    _row("+14.5-15", 3.40, 3.50, 0.146, "sieve-chart"),
    _row("+15-15.5", 3.50, 3.60, 0.159, "sieve-chart"),
    _row("+15.5-16", 3.60, 3.70, 0.175, "sieve-chart"),
    _row("+16-16.5", 3.70, 3.80, 0.192, "sieve-memory"),
    _row("+16.5-17", 3.80, 3.90, 0.208, "sieve-memory"),
    _row("+17-17.5", 3.90, 4.00, 0.224, "sieve-memory"),
    _row("+17.5-18", 4.00, 4.10, 0.242, "sieve-memory"),
    _row("+18-18.5", 4.10, 4.20, 0.26, "sieve-memory"),
    _row("+18.5-19", 4.20, 4.30, 0.28, "sieve-memory"),
    _row("+19-19.5", 4.30, 4.40, 0.3, "sieve-memory"),
    _row("+19.5-20", 4.40, 4.50, 0.321, "sieve-memory"),
)
"""Plates from fine to coarse, contiguous. The rows from memory carry the weight of the published gauge law.

Plate 00 is not listed in the source. Below plate 0 the printed weights follow round counts to the carat
(300, 250, 200) and not geometry.
"""
