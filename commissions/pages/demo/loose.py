"""Pictures of a loose stone at check-in, drawn like the bench pictures: face up, from the side, in its packet."""

from __future__ import annotations

import math
import random

from PIL import Image, ImageDraw, ImageFilter

from commissions.pages.demo.photographs import HEIGHT, OVER, WIDTH, _bench, _brilliant, _developed, _shade

MAT = (96, 101, 104)


def _ground(seed: int) -> tuple[Image.Image, random.Random]:
    dice = random.Random(seed)  # noqa: S311 - the demo looks the same every time
    return _bench(dice, tone=MAT), dice


def _shadow(image: Image.Image, box: list[float]) -> Image.Image:
    mask = Image.new("L", image.size, 0)
    ImageDraw.Draw(mask).ellipse(box, fill=165)
    soft = mask.reduce(4).filter(ImageFilter.GaussianBlur(14)).resize(image.size, Image.Resampling.BILINEAR)
    return Image.composite(Image.new("RGB", image.size, (22, 24, 26)), image, soft)


def face(*, seed: int, near: bool = False, feather_deg: float | None = None) -> bytes:
    """The stone face up; *near* fills the picture, and a feather runs in from the girdle at *feather_deg*."""
    image, dice = _ground(seed)
    cx, cy = WIDTH * OVER / 2, HEIGHT * OVER / 2
    r = HEIGHT * OVER * (0.44 if near else 0.3)
    image = _shadow(image, [cx - r + 40, cy - r + 60, cx + r + 60, cy + r + 80])
    draw = ImageDraw.Draw(image)
    _brilliant(draw, cx, cy, r, dice)
    if feather_deg is not None:
        angle = math.radians(feather_deg)
        for branch in range(9):
            turn = angle + dice.uniform(-0.06, 0.06)
            deep = dice.uniform(0.72, 0.86)
            line = [
                (cx + r * share * math.cos(turn + 0.03 * dice.uniform(-1, 1)),
                 cy - r * share * math.sin(turn + 0.03 * dice.uniform(-1, 1)))
                for share in (0.995, (1 + deep) / 2, deep)
            ]  # fmt: skip
            draw.line(line, fill=_shade((250, 250, 252), dice.uniform(0.8, 1.0)), width=3 + branch % 3)
    return _developed(image, dice)


def side(*, seed: int) -> bytes:
    """The stone from the side, its girdle level: table, crown, girdle, pavilion."""
    image, dice = _ground(seed)
    cx, cy, r = WIDTH * OVER / 2, HEIGHT * OVER * 0.44, HEIGHT * OVER * 0.34
    image = _shadow(image, [cx - r * 0.8, cy + r * 0.8, cx + r * 0.9, cy + r * 1.15])
    draw = ImageDraw.Draw(image)
    table, crown, girdle, deep = 0.53 * r, 0.34 * r, 0.05 * r, 0.86 * r
    low = cy + girdle
    for place in range(8):
        left, right = -1 + place / 4, -1 + (place + 1) / 4
        light = 0.62 + 0.4 * dice.random()
        draw.polygon(
            [(cx + left * r, cy), (cx + right * r, cy),
             (cx + right * table, cy - crown), (cx + left * table, cy - crown)],
            fill=_shade((224, 232, 238), light),
        )  # fmt: skip
        draw.polygon(
            [(cx + left * r, low), (cx + right * r, low), (cx, cy + deep)],
            fill=_shade((206, 216, 224), 0.55 + 0.5 * dice.random()),
        )
    draw.rectangle([cx - r, cy, cx + r, low], fill=(188, 196, 202))
    return _developed(image, dice)


def packet(*, seed: int, words: str) -> bytes:
    """An opened stone paper with the stone in it and its seal beside it."""
    image, dice = _ground(seed)
    draw = ImageDraw.Draw(image)
    w, h = WIDTH * OVER, HEIGHT * OVER
    draw.polygon(
        [(0.2 * w, 0.2 * h), (0.78 * w, 0.16 * h), (0.82 * w, 0.8 * h), (0.17 * w, 0.84 * h)],
        fill=(236, 232, 222),
    )
    for share in (0.4, 0.62):
        draw.line([(0.19 * w, share * h), (0.8 * w, (share - 0.03) * h)], fill=(206, 200, 188), width=5)
    image = _shadow(image, [0.46 * w, 0.44 * h, 0.57 * w, 0.58 * h])
    draw = ImageDraw.Draw(image)
    _brilliant(draw, 0.5 * w, 0.48 * h, 0.075 * h, dice)
    draw.rectangle([0.58 * w, 0.66 * h, 0.76 * w, 0.75 * h], fill=(70, 96, 132))
    draw.text((0.6 * w, 0.685 * h), words, fill=(240, 242, 245), font_size=0.036 * h)
    return _developed(image, dice)
