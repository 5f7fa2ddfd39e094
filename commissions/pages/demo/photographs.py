"""
Bench pictures of the demo, drawn by our own code from the computed halo: no photograph of anybody's ring.

They are drawn at twice their size with light from the upper left, a shallow depth of field and a little
grain, so that they look like a picture taken at a bench and still are to scale.
"""

from __future__ import annotations

import io
import math
import random

import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFilter

WIDTH, HEIGHT, OVER = 1280, 960, 2
METALS = {
    "white": (214, 214, 210),
    "yellow": (222, 184, 104),
    "rose": (222, 160, 132),
    "platinum": (206, 208, 210),
}
LIGHT = math.radians(135)


def _bench(dice: random.Random, *, tone: tuple[int, int, int]) -> Image.Image:
    """A worn wooden bench or a grey mat: long grain, soft light from one side."""
    # Drawn at its last size and enlarged: it lies out of focus, and nobody sees the difference but the clock.
    noise = np.random.default_rng(dice.randrange(10**6))
    grain = noise.standard_normal((HEIGHT // 2, WIDTH // 32), np.float32).repeat(32, axis=1).repeat(2, axis=0)
    fine = noise.standard_normal((HEIGHT, WIDTH), np.float32)
    y, x = np.ogrid[0:HEIGHT, 0:WIDTH]
    light = (1.12 - 0.5 * np.hypot(x - 0.3 * WIDTH, y - 0.25 * HEIGHT) / WIDTH).astype(np.float32)
    rough = 3.2 * grain + 1.8 * fine
    pixels = np.stack([np.clip(part * light + rough, 0, 255).astype(np.uint8) for part in tone], axis=-1)
    near = Image.fromarray(pixels).filter(ImageFilter.GaussianBlur(1.5))
    return near.resize((WIDTH * OVER, HEIGHT * OVER), Image.Resampling.BILINEAR)


def _shade(colour: tuple[int, int, int], light: float) -> tuple[int, int, int]:
    return tuple(max(0, min(255, round(part * light))) for part in colour)


def _brilliant(
    draw: ImageDraw.ImageDraw, x: float, y: float, r: float, dice: random.Random, *, squeeze: float = 1.0
) -> None:
    """A faceted stone: table, star, bezel and upper girdle facets, each with its own glance of light."""

    def point(radius: float, angle: float) -> tuple[float, float]:
        return x + radius * math.cos(angle), y - radius * squeeze * math.sin(angle)

    turn = dice.uniform(0, math.pi / 4)
    draw.ellipse([x - r, y - r * squeeze, x + r, y + r * squeeze], fill=(176, 186, 194))
    for place in range(8):
        angle = turn + place * math.pi / 4
        for start, end, inner, outer in (
            (-math.pi / 8, 0.0, 0.74, 1.0),
            (0.0, math.pi / 8, 0.74, 1.0),
            (-math.pi / 8, math.pi / 8, 0.56, 0.76),
        ):
            middle = angle + (start + end) / 2
            glance = 0.55 + 0.42 * max(0, math.cos(middle - LIGHT)) + dice.uniform(-0.22, 0.3)
            shape = [
                point(outer * r, angle + start),
                point(outer * r, angle + end),
                point(inner * r, angle + end),
                point(inner * r, angle + start),
            ]
            draw.polygon(shape, fill=_shade((226, 234, 240), glance))
        draw.polygon(
            [point(0.56 * r, angle - math.pi / 8), point(0.56 * r, angle + math.pi / 8), (x, y)],
            fill=_shade((236, 242, 246), 0.55 + dice.random() * 0.55),
        )
    for place in range(8):
        angle = turn + (place + 0.5) * math.pi / 4
        draw.line(
            [point(0.1 * r, angle), point(0.5 * r, angle)],
            fill=_shade((200, 210, 220), dice.uniform(0.5, 1.2)),
            width=max(1, round(r / 60)),
        )
    flash = point(0.36 * r, LIGHT)
    draw.ellipse(
        [flash[0] - r * 0.1, flash[1] - r * 0.07, flash[0] + r * 0.1, flash[1] + r * 0.07],
        fill=(255, 255, 255),
    )


def _ball(image: Image.Image, x: float, y: float, r: float, colour: tuple[int, int, int]) -> None:
    draw = ImageDraw.Draw(image)
    for step in range(12, 0, -1):
        share = step / 12
        shift = (1 - share) * r * 0.45
        draw.ellipse(
            [
                x - r * share - shift * 0.7,
                y - r * share - shift,
                x + r * share - shift * 0.7,
                y + r * share - shift,
            ],
            fill=_shade(colour, 0.62 + 0.62 * (1 - share)),
        )


def _outline(centre: dict, scale: float) -> list[tuple[float, float]]:
    half_w = (centre.get("diameter_mm") or centre["width_mm"]) / 2 * scale
    half_l = (centre.get("diameter_mm") or centre["length_mm"]) / 2 * scale
    return [
        (half_w * math.cos(t), half_l * math.sin(t)) for t in np.linspace(0, 2 * math.pi, 160, endpoint=False)
    ]


def face_up(
    *,
    parameters: dict,
    layout: dict,
    metal: str,
    seed: int,
    centre_set: bool,
    halo_set: bool,
    shank: bool = True,
) -> bytes:
    """JPEG of the head from above at the bench: bare seats, halo set, or everything set."""
    dice = random.Random(seed)  # noqa: S311  (the demo looks the same every time)
    image = _bench(dice, tone=(128, 104, 78) if seed % 2 else (112, 114, 112))
    colour = METALS[metal]
    across = max(layout["figures"]["width_mm"], layout["figures"]["length_mm"])
    scale = 0.62 * HEIGHT * OVER / across
    cx, cy = WIDTH * OVER * 0.5, HEIGHT * OVER * 0.5
    shadow = Image.new("L", image.size, 0)
    pen = ImageDraw.Draw(shadow)
    for stone in layout["stones"]:
        r = (stone["diameter_mm"] / 2 + 0.35) * scale
        x, y = cx + stone["x_mm"] * scale + 40, cy - stone["y_mm"] * scale + 55
        pen.ellipse([x - r, y - r, x + r, y + r], fill=150)
    pen.ellipse(
        [
            cx - across * scale * 0.36,
            cy - across * scale * 0.36,
            cx + across * scale * 0.36,
            cy + across * scale * 0.36,
        ],
        fill=150,
    )
    soft = (
        shadow.reduce(4)
        .filter(ImageFilter.GaussianBlur(46 / 4))
        .resize(image.size, Image.Resampling.BILINEAR)
    )
    image = Image.composite(Image.new("RGB", image.size, (28, 24, 20)), image, soft)
    draw = ImageDraw.Draw(image)
    if shank:
        band = parameters["shank"]["width_mm"] * scale * 0.5
        for step in range(20):
            share = abs(step - 9.5) / 9.5
            top, bottom = cy - band + step * band / 10, cy - band + (step + 1) * band / 10 + 1
            draw.rectangle([0, top, WIDTH * OVER, bottom], fill=_shade(colour, 1.12 - 0.5 * share**2))
    for stone in layout["stones"]:
        r = (stone["diameter_mm"] / 2 + 0.32) * scale
        x, y = cx + stone["x_mm"] * scale, cy - stone["y_mm"] * scale
        glance = 0.8 + 0.28 * math.cos(math.atan2(stone["y_mm"], stone["x_mm"]) - LIGHT)
        draw.ellipse([x - r, y - r, x + r, y + r], fill=_shade(colour, glance))
    inner = [(cx + x * 1.06, cy - y * 1.06) for x, y in _outline(parameters["centre"]["outline"], scale)]
    draw.polygon(inner, fill=_shade(colour, 0.72))
    for stone in layout["stones"]:
        r = stone["diameter_mm"] / 2 * scale
        x, y = cx + stone["x_mm"] * scale, cy - stone["y_mm"] * scale
        if halo_set:
            _brilliant(draw, x, y, r, dice)
        else:
            draw.ellipse([x - r, y - r, x + r, y + r], fill=_shade(colour, 0.5))
            draw.ellipse([x - r * 0.55, y - r * 0.55, x + r * 0.55, y + r * 0.55], fill=(38, 34, 30))
    if halo_set:
        for bead in layout.get("beads", []):
            _ball(
                image,
                cx + bead["x_mm"] * scale,
                cy - bead["y_mm"] * scale,
                max(bead["radius_mm"], 0.09) * scale,
                colour,
            )
    draw = ImageDraw.Draw(image)
    seat = [(cx + x, cy - y) for x, y in _outline(parameters["centre"]["outline"], scale)]
    if centre_set:
        half_w = max(x for x, _y in seat) - cx
        half_l = max(y for _x, y in seat) - cy
        _brilliant(draw, cx, cy, half_w, dice, squeeze=half_l / half_w)
        _claws(image, parameters, cx, cy, half_w, half_l, colour, scale)
    else:
        draw.polygon(seat, fill=_shade(colour, 0.42))
        draw.polygon([(cx + (x - cx) * 0.8, cy + (y - cy) * 0.8) for x, y in seat], fill=(34, 30, 27))
        _claws(
            image,
            parameters,
            cx,
            cy,
            max(x for x, _y in seat) - cx,
            max(y for _x, y in seat) - cy,
            colour,
            scale,
        )
    return _developed(image, dice)


def _claws(image, parameters, cx, cy, half_w, half_l, colour, scale) -> None:
    draw = ImageDraw.Draw(image)
    wire = parameters["claws"]["wire_mm"] / 2 * scale
    for degrees in parameters["claws"]["angles_deg"]:
        angle = math.radians(degrees)
        ux, uy = math.cos(angle), -math.sin(angle)
        edge = 1 / math.hypot(ux / half_w, uy / half_l)
        vx, vy = -uy, ux
        foot, tip = edge + wire * 0.7, edge - wire * 1.5
        shape = [
            (cx + foot * ux + wire * 0.62 * vx, cy + foot * uy + wire * 0.62 * vy),
            (cx + tip * ux, cy + tip * uy),
            (cx + foot * ux - wire * 0.62 * vx, cy + foot * uy - wire * 0.62 * vy),
        ]
        draw.polygon(shape, fill=_shade(colour, 1.02))
        _ball(image, cx + foot * ux, cy + foot * uy, wire * 0.62, colour)
        draw.line(
            [(cx + foot * ux, cy + foot * uy), shape[1]],
            fill=_shade(colour, 1.2),
            width=max(2, round(wire / 9)),
        )


def on_scale(*, grams: str, words: str, seed: int, colour: tuple[int, int, int] = (60, 84, 128)) -> bytes:
    """JPEG of a thing on the pan of a balance with its reading: a model, a casting, a mount."""
    dice = random.Random(seed)  # noqa: S311
    image = _bench(dice, tone=(120, 118, 112))
    draw = ImageDraw.Draw(image)
    s = OVER * WIDTH / 1600
    draw.rounded_rectangle([300 * s, 640 * s, 1300 * s, 1090 * s], radius=40 * s, fill=(58, 60, 62))
    draw.ellipse([430 * s, 250 * s, 1170 * s, 760 * s], fill=(150, 152, 150))
    draw.ellipse([450 * s, 260 * s, 1150 * s, 735 * s], fill=(196, 198, 196))
    draw.ellipse([470 * s, 272 * s, 1130 * s, 716 * s], fill=(206, 208, 206))
    ring = [650 * s, 360 * s, 950 * s, 610 * s]
    for step in range(26):
        share = step / 25
        draw.ellipse(
            [ring[0] + step * 1.2 * s, ring[1] + step * s, ring[2] - step * 1.2 * s, ring[3] - step * s],
            outline=_shade(colour, 0.7 + 0.8 * math.sin(share * math.pi)),
            width=round(3 * s),
        )
    draw.ellipse([735 * s, 318 * s, 865 * s, 420 * s], fill=_shade(colour, 1.1))
    draw.ellipse([765 * s, 336 * s, 835 * s, 392 * s], fill=_shade(colour, 0.5))
    draw.rounded_rectangle([560 * s, 850 * s, 1040 * s, 1010 * s], radius=12 * s, fill=(172, 190, 164))
    _digits(draw, grams, 610 * s, 880 * s, 100 * s)
    for place in range(60):
        x = 340 * s + place * 15 * s
        draw.line(
            [(x, 1120 * s), (x, (1120 + (34 if place % 10 == 0 else 20)) * s)],
            fill=(224, 220, 210),
            width=round(2 * s),
        )
    return _developed(image, dice)


SEGMENTS = {
    "0": "abcdef",
    "1": "bc",
    "2": "abged",
    "3": "abgcd",
    "4": "fgbc",
    "5": "afgcd",
    "6": "afgedc",
    "7": "abc",
    "8": "abcdefg",
    "9": "abfgcd",
}


def _digits(draw: ImageDraw.ImageDraw, text: str, x: float, y: float, high: float) -> None:
    wide, thick, ink = high * 0.55, high * 0.1, (38, 46, 38)
    for character in text:
        if character == ".":
            draw.rectangle([x, y + high - thick, x + thick, y + high], fill=ink)
            x += thick * 2.4
            continue
        bars = {
            "a": [x, y, x + wide, y + thick],
            "g": [x, y + high / 2 - thick / 2, x + wide, y + high / 2 + thick / 2],
            "d": [x, y + high - thick, x + wide, y + high],
            "f": [x, y, x + thick, y + high / 2],
            "b": [x + wide - thick, y, x + wide, y + high / 2],
            "e": [x, y + high / 2, x + thick, y + high],
            "c": [x + wide - thick, y + high / 2, x + wide, y + high],
        }
        for name in SEGMENTS.get(character, ""):
            draw.rectangle(bars[name], fill=ink)
        x += wide + thick * 2.2


def _developed(image: Image.Image, dice: random.Random) -> bytes:
    """Down to size, soft at the edges, a little grain."""
    image = image.resize((WIDTH, HEIGHT), Image.Resampling.LANCZOS)
    wide, high = WIDTH // 4, HEIGHT // 4
    mask = Image.new("L", (wide, high), 255)
    ImageDraw.Draw(mask).ellipse([-0.06 * wide, -0.1 * high, 1.06 * wide, 1.1 * high], fill=0)
    mask = mask.filter(ImageFilter.GaussianBlur(30)).resize(image.size, Image.Resampling.BILINEAR)
    image = Image.composite(image.filter(ImageFilter.GaussianBlur(6)), image, mask)
    noise = np.random.default_rng(dice.randrange(10**6))
    grain = np.float32(2.2) * noise.standard_normal((HEIGHT, WIDTH, 1), np.float32)
    pixels = np.clip(np.asarray(image, dtype=np.float32) + grain, 0, 255).astype(np.uint8)
    image = ImageChops.lighter(Image.fromarray(pixels), Image.new("RGB", (WIDTH, HEIGHT), (6, 6, 6)))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=88)
    return out.getvalue()
