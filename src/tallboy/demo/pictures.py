"""Plain drawn pictures that stand in for photographs in the demo: no camera was there."""

from __future__ import annotations

import io

from PIL import Image, ImageDraw

WALL, FLOOR, SHADOW = (222, 214, 200), (150, 132, 112), (96, 80, 66)
SIZE = (1200, 900)


def piece_picture(width: float, height: float, wood: tuple[int, int, int], rows: tuple[int, ...]) -> bytes:
    """A piece against a wall: its outline in proportion, with rows of panels. JPEG bytes."""
    image = Image.new("RGB", SIZE, WALL)
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, 690, *SIZE), fill=FLOOR)
    scale = min(900 / width, 620 / height)
    w, h = width * scale, height * scale
    left, top = (SIZE[0] - w) / 2, 740 - h
    draw.ellipse((left - 30, 710, left + w + 30, 780), fill=SHADOW)
    draw.rectangle((left, top, left + w, 740), fill=wood, outline=SHADOW, width=5)
    _panels(draw, (left, top, w, h), rows)
    return _jpeg(image)


def _panels(draw: ImageDraw.ImageDraw, box: tuple[float, float, float, float], rows: tuple[int, ...]) -> None:
    left, top, w, h = box
    row_height = h / max(1, len(rows))
    for number, count in enumerate(rows):
        for column in range(count):
            x, y = left + w * column / count, top + row_height * number
            inner = (x + 12, y + 12, x + w / count - 12, y + row_height - 12)
            draw.rectangle(inner, outline=SHADOW, width=3)
            middle = (inner[0] + inner[2]) / 2, (inner[1] + inner[3]) / 2
            draw.ellipse((middle[0] - 12, middle[1] - 8, middle[0] + 12, middle[1] + 8), fill=(181, 139, 52))


def part_picture(metal: tuple[int, int, int], holes: int) -> bytes:
    """A fitting on a cloth: a plate with holes. JPEG bytes."""
    image = Image.new("RGB", (900, 675), (58, 78, 104))
    draw = ImageDraw.Draw(image)
    draw.rounded_rectangle((250, 200, 650, 470), radius=30, fill=metal, outline=SHADOW, width=6)
    for number in range(holes):
        x = 300 + 300 * number / max(1, holes - 1)
        draw.ellipse((x - 14, 320, x + 14, 348), fill=(58, 78, 104), outline=SHADOW, width=3)
    return _jpeg(image)


def _jpeg(image: Image.Image) -> bytes:
    out = io.BytesIO()
    image.save(out, "JPEG", quality=85)
    return out.getvalue()
