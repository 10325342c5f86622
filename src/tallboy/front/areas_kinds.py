"""The patches that areas are made of, and how furniture is usually built where its front does not say."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tallboy.sums.areas import DOOR_THICKNESS_MM, DRAWER_SIDE_MM, MM2_PER_M2


@dataclass(frozen=True, slots=True)
class Construction:
    """Thicknesses [mm] where the front does not say; common practice, no source."""

    door_mm: float = DOOR_THICKNESS_MM
    drawer_side_mm: float = DRAWER_SIDE_MM
    drawer_shorter_mm: float = 30.0
    shelf_mm: float = 18.0


@dataclass(frozen=True, slots=True)
class Patch:
    """One surface, or several alike: its name, which faces count, the sizes [mm] it follows from, how many, and the area of all [m²]."""

    name: str
    faces: str
    sizes_mm: tuple[float, ...]
    times: int
    area_m2: float


Found = Iterator[tuple[str, Patch]]
"""Patches with the group that each belongs to."""


def flat(name: str, one_mm: float, other_mm: float, times: int = 1) -> Patch:
    """A face, or several alike."""
    return Patch(name, "", (one_mm, other_mm), times, times * one_mm * other_mm / MM2_PER_M2)


def solid(name: str, faces: str, sizes_mm: tuple[float, ...], area_m2: float, times: int = 1) -> Patch:
    """Several faces of one thing, or of several alike; the area is that of all of them."""
    return Patch(name, faces, sizes_mm, times, area_m2)
