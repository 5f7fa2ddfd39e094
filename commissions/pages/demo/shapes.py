"""Invented files of the trade, made from numbers: a scan of a girdle, a halo's plate as a model."""

from __future__ import annotations

import struct

import numpy as np


def ellipse(length_mm: float, width_mm: float, *, points: int = 360) -> np.ndarray:
    """An ellipse in order, mm, its length along y."""
    turn = np.arange(points) * 2 * np.pi / points
    return np.column_stack((width_mm / 2 * np.cos(turn), length_mm / 2 * np.sin(turn)))


def scan_csv(
    length_mm: float, width_mm: float, *, noise_mm: float = 0.004, per_mm: float = 1.0, seed: int = 5
) -> bytes:
    """Points of an oval girdle as an optical gauge writes them, with its noise; *per_mm* units to a mm."""
    chance = np.random.default_rng(seed)
    ring = ellipse(length_mm, width_mm, points=720) + chance.normal(0, noise_mm, (720, 2))
    return (
        "x,y\n" + "\n".join(f"{x:.5f},{y:.5f}" for x, y in (ring + np.array((4.2, 3.1))) * per_mm)
    ).encode()


def plate_stl(inner: np.ndarray, outer: np.ndarray, *, low_mm: float = 8.0, high_mm: float = 9.1) -> bytes:
    """A flat plate with an opening, as a binary STL: the halo of a model without its stones."""

    def level(ring: np.ndarray, height: float) -> np.ndarray:
        return np.column_stack((ring, np.full(len(ring), height)))

    inner_low, inner_high = level(inner, low_mm), level(inner, high_mm)
    outer_low, outer_high = level(outer, low_mm), level(outer, high_mm)
    faces = []
    for here in range(len(inner)):
        there = (here + 1) % len(inner)
        for a, b, c, d in (
            (outer_low[here], outer_low[there], outer_high[there], outer_high[here]),
            (inner_low[there], inner_low[here], inner_high[here], inner_high[there]),
            (outer_high[here], outer_high[there], inner_high[there], inner_high[here]),
            (inner_low[here], inner_low[there], outer_low[there], outer_low[here]),
        ):
            faces += [(a, b, c), (a, c, d)]
    body = b"".join(
        struct.pack("<12fH", 0, 0, 0, *corners[0], *corners[1], *corners[2], 0) for corners in faces
    )
    return b"halo plate".ljust(80, b"\0") + struct.pack("<I", len(faces)) + body
