"""Coats as films: how far a litre goes, how thick wet and dry, how much to have ready, and the areas of a piece."""

from __future__ import annotations

from collections.abc import Sequence

from tallboy.errors import BadInput
from tallboy.sums.ranges import within

Size = tuple[float, float]

DOOR_THICKNESS_MM = 20.0
LEG_WIDTH_MM = 45.0
MM2_PER_M2 = 1_000_000.0


def spreading_rate(volume_solids: float, dry_film_um: float) -> float:
    """Area that a litre covers when nothing is lost.

    Formula: 10 * volume solids / dry film

    Parameters
    ----------
    volume_solids : [%] share of the liquid that stays, 1 to 100
    dry_film_um : [µm] thickness of the dry film, 1 to 5000

    Returns
    -------
    [m²/l] theoretical spreading rate

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    Geometry: a litre spread one micrometre thick covers 1000 m²; the same in trade pages and data sheets (read).
    """
    within("Volume solids", volume_solids, 1, 100, "%")
    within("Dry film", dry_film_um, 1, 5000, "µm")
    return 10 * volume_solids / dry_film_um


def wet_film_at_rate(rate: float) -> float:
    """Thickness of the wet film when a litre is spread over so much area.

    Formula: 1000 / rate

    Parameters
    ----------
    rate : [m²/l] spreading rate, 0.1 to 100

    Returns
    -------
    [µm] wet film

    Raises
    ------
    OutOfRange outside the range.

    Source
    ------
    Geometry; the same in trade pages (read).
    """
    within("Spreading rate", rate, 0.1, 100, "m²/l")
    return 1000 / rate


def wet_film(dry_film_um: float, volume_solids: float, thinned: float = 0.0) -> float:
    """Thickness to lay wet so that so much is left when dry.

    Formula: dry film * (1 + thinned) / (volume solids / 100)

    Parameters
    ----------
    dry_film_um : [µm] thickness of the dry film, 1 to 5000
    volume_solids : [%] of the liquid before thinning, 1 to 100
    thinned : [1] volume of thinner per volume of paint, 0 to 2; "15 % of the mix" is 0.15 / 0.85

    Returns
    -------
    [µm] wet film

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    MIL-HDBK-1110 (dry film = wet film * volume solids), read; with thinner: a trade page, read.
    """
    within("Dry film", dry_film_um, 1, 5000, "µm")
    return dry_film_um / _share_left(volume_solids, thinned)


def dry_film(wet_film_um: float, volume_solids: float, thinned: float = 0.0) -> float:
    """Thickness that is left of a wet film when it is dry.

    Formula: wet film * (volume solids / 100) / (1 + thinned)

    Parameters
    ----------
    wet_film_um : [µm] thickness of the wet film, 1 to 10 000
    volume_solids : [%] of the liquid before thinning, 1 to 100
    thinned : [1] volume of thinner per volume of paint, 0 to 2

    Returns
    -------
    [µm] dry film

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    MIL-HDBK-1110 (dry film = wet film * volume solids), read; with thinner: a trade page, read.
    """
    within("Wet film", wet_film_um, 1, 10_000, "µm")
    return wet_film_um * _share_left(volume_solids, thinned)


def practical_rate(rate: float, loss: float) -> float:
    """Area that a litre covers when a share of it is lost in brush, roller, tray and mist.

    Formula: rate * (1 - loss)

    Parameters
    ----------
    rate : [m²/l] theoretical spreading rate, 0.1 to 100
    loss : [1] share lost, 0 to 0.95; brush and roller 0.03 to 0.10 (from memory), spray guns 0.2 to 0.75 (read)

    Returns
    -------
    [m²/l] practical spreading rate

    Raises
    ------
    OutOfRange outside the ranges.

    Source
    ------
    definition (transfer efficiency = 1 - loss)
    """
    within("Spreading rate", rate, 0.1, 100, "m²/l")
    within("Loss", loss, 0, 0.95, "")
    return rate * (1 - loss)


def litres(area_m2: float, coats: int, rate: float, loss: float = 0.0) -> float:
    """How much to have ready.

    Formula: area * coats / (rate * (1 - loss))

    Parameters
    ----------
    area_m2 : [m²] area to coat, 0 to 10 000
    coats : [1] how many coats, 0 to 100
    rate : [m²/l] spreading rate of one coat, 0.1 to 100
    loss : [1] share lost, 0 to 0.95

    Returns
    -------
    [l] volume

    Raises
    ------
    OutOfRange outside the ranges.

    Validity
    --------
    Bare and open-grained wood drinks more in the first coat than a label's rate says.

    Source
    ------
    definition
    """
    within("Area", area_m2, 0, 10_000, "m²")
    within("Coats", coats, 0, 100, "")
    return area_m2 * coats / practical_rate(rate, loss)


def surface_areas(
    width_mm: float,
    height_mm: float,
    depth_mm: float,
    *,
    drawers: Sequence[Size] = (),
    doors: Sequence[Size] = (),
    open_bays: Sequence[Size] = (),
    legs: int = 0,
    leg_height_mm: float = 0.0,
) -> dict[str, float]:
    """Areas of a piece from its outer size, by groups of surfaces.

    Formula: top w d; sides 2 d h'; back w h'; front frame w h' less drawers, doors and bays; drawer fronts one face; doors two faces and
    four edges of 20 mm; inside: behind each door and in each bay five faces; legs four faces of 45 mm. h' is the height less the legs.

    Parameters
    ----------
    width_mm : [mm] 10 to 10 000
    height_mm : [mm] over all, 10 to 10 000
    depth_mm : [mm] 10 to 10 000
    drawers : [mm] width and height of each drawer front
    doors : [mm] width and height of each door
    open_bays : [mm] width and height of each open bay
    legs : [1] how many legs, 0 to 20
    leg_height_mm : [mm] 0 to less than the height

    Returns
    -------
    [m²] area of each group: top, sides, front frame, drawer fronts, doors, inside, back, legs

    Raises
    ------
    OutOfRange outside the ranges; BadInput when drawers, doors and bays are together larger than the face.

    Validity
    --------
    A plain box: mouldings, turnings and the insides of drawers are not in it. Two doors before one room count the wall between them
    that is not there. Good to about a tenth.

    Source
    ------
    own derivation (geometry; thicknesses common practice, no source)
    """
    _check_size(width_mm, height_mm, depth_mm, legs, leg_height_mm)
    for name, sizes in (("Drawer", drawers), ("Door", doors), ("Open bay", open_bays)):
        for width, height in sizes:
            within(f"{name} width", width, 1, 10_000, "mm")
            within(f"{name} height", height, 1, 10_000, "mm")
    carcass = height_mm - (leg_height_mm if legs else 0.0)
    frame = width_mm * carcass - sum(width * height for width, height in (*drawers, *doors, *open_bays))
    if frame < -1e-6 * width_mm * carcass:
        raise BadInput(
            "Drawers, doors and bays together are larger than the face.", "Check their sizes and that of the piece."
        )
    areas = {
        "top": width_mm * depth_mm,
        "sides": 2 * depth_mm * carcass,
        "front frame": max(frame, 0.0),
        "drawer fronts": sum(width * height for width, height in drawers),
        "doors": sum(2 * width * height + 2 * (width + height) * DOOR_THICKNESS_MM for width, height in doors),
        "inside": sum(width * height + 2 * (width + height) * depth_mm for width, height in (*doors, *open_bays)),
        "back": width_mm * carcass,
        "legs": 4 * LEG_WIDTH_MM * leg_height_mm * legs,
    }
    return {group: area / MM2_PER_M2 for group, area in areas.items()}


def _check_size(width: float, height: float, depth: float, legs: int, leg_height: float) -> None:
    for name, value in (("Width", width), ("Height", height), ("Depth", depth)):
        within(name, value, 10, 10_000, "mm")
    within("Legs", legs, 0, 20, "")
    within("Leg height", leg_height, 0, height * 0.999, "mm")


def _share_left(volume_solids: float, thinned: float) -> float:
    """Dry film over wet film."""
    within("Volume solids", volume_solids, 1, 100, "%")
    within("Thinned", thinned, 0, 2, "")
    return volume_solids / 100 / (1 + thinned)
