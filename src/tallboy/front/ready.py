"""Ready fronts: the usual pieces, to start from and to change. Sizes are ordinary ones; nothing in them is binding."""

from __future__ import annotations

from tallboy.front.kinds import (
    Base,
    Bay,
    Chair,
    Door,
    DoorFit,
    Doors,
    Drawer,
    DrawerFit,
    Extra,
    Flap,
    Front,
    Open,
    Panel,
    Row,
    Stack,
    Top,
    Upper,
)

Size = tuple[float, float, float]

KINDS = (
    "dresser", "chest", "wardrobe", "desk", "bedside", "table", "chair", "trolley", "hall stand", "writing slope",
    "mirror", "box", "other",
)  # fmt: skip


def _row(*bays: Bay, height: float | None = None) -> Row:
    return Row(bays, height)


def _drawers(count: int, height: float | None = None) -> Row:
    return Row(tuple(Drawer() for _ in range(count)), height)


KEYED = DoorFit(2, "butt", "none", True, True, True, 0)
NO_TOP = Top(0.0, 0.0)


def _dresser() -> Front:
    rows = (_drawers(3, 170.0), _row(Doors()))
    return Front(rows, base=Base("feet", 90.0), drawers=DrawerFit(1, "cup pull"), doors=KEYED)


def _dresser_with_rack() -> Front:
    rack = Upper((_row(Open(shelves=2)),), 1000.0, inset=25.0, top=Top(30.0, 25.0), name="rack")
    hooks = tuple(Extra("hook", f"rack hook {n + 1}", 0.2 + 0.15 * n, 0.735, shares=True) for n in range(5))
    rows = (_drawers(3, 150.0), _row(Door("left"), Panel(width=260.0), Door("right")))
    fit = DrawerFit(1, "knob")
    return Front(rows, base=Base("plinth", 90.0), upper=rack, drawers=fit, doors=DoorFit(2, "butt"), fittings=hooks)


def _chest() -> Front:
    rows = (_drawers(2, 140.0), _drawers(1, 170.0), _drawers(1, 200.0), _drawers(1, 230.0))
    return Front(rows, base=Base("feet", 110.0), drawers=DrawerFit(2, "bail pull", True, True))


def _chest_on_chest() -> Front:
    upper = Upper(
        (_drawers(2, 120.0), _drawers(1, 150.0), _drawers(1, 170.0)), 720.0, 20.0, Top(40.0, 20.0), "upper chest"
    )
    rows = (_drawers(1, 200.0), _drawers(1, 220.0), _drawers(1, 240.0))
    fit = DrawerFit(2, "drop pull", True, False)
    return Front(rows, base=Base("plinth", 100.0), upper=upper, drawers=fit)


def _wardrobe() -> Front:
    rows = (_row(Doors()), _drawers(1, 260.0))
    doors = DoorFit(3, "butt", "knob", True, True, False, 2)
    return Front(rows, top=Top(60.0, 30.0), base=Base("plinth", 110.0), drawers=DrawerFit(2, "knob"), doors=doors)


def _wardrobe_three() -> Front:
    middle = Stack(
        (_row(Door("right", name="middle door")), _drawers(1, 200.0), _drawers(1, 200.0)), name="middle part"
    )
    rows = (_row(Door("left", name="left door"), middle, Door("right", name="right door")),)
    doors = DoorFit(3, "lift-off", "drop pull", True, True)
    return Front(rows, top=Top(70.0, 35.0), base=Base("plinth", 120.0), drawers=DrawerFit(2, "drop pull"), doors=doors)


def _pedestal(side: str) -> Stack:
    return Stack((_drawers(1), _drawers(1), _drawers(1)), 360.0, f"{side} pedestal")


def _desk() -> Front:
    below = _row(_pedestal("left"), Open(540.0, "knee hole", to_floor=True), _pedestal("right"))
    top = Row((Drawer(360.0), Drawer(540.0), Drawer(360.0)), 110.0)
    return Front((top, below), top=Top(28.0, 20.0), base=Base("plinth", 70.0), drawers=DrawerFit(1, "bail pull", True))


def _bureau() -> Front:
    fall = Flap("bottom", name="fall", fit=DoorFit(3, "butt", "none", True, True))
    rows = (_row(fall, height=330.0), _drawers(1, 140.0), _drawers(1, 170.0), _drawers(1, 200.0))
    return Front(rows, base=Base("feet", 100.0), drawers=DrawerFit(2, "bail pull", True))


def _bedside() -> Front:
    rows = (_drawers(1, 120.0), _row(Door("left")))
    return Front(rows, base=Base("legs", 120.0), doors=DoorFit(2, "butt", "knob", False, False, True))


def _bedside_pair() -> Front:
    plain = _bedside()
    return Front(plain.rows, base=plain.base, copies=2, doors=plain.doors)


def _table() -> Front:
    return Front((_drawers(1, 90.0),), "table", Top(25.0, 30.0), Base("legs"), drawers=DrawerFit(1, "knob"))


def _side_table() -> Front:
    return Front(
        (_drawers(2, 85.0),), "table", Top(20.0, 20.0), Base("legs", wheels=True), drawers=DrawerFit(1, "ring pull")
    )


def _plain_table() -> Front:
    return Front((_row(Panel(name="apron", raised=False), height=90.0),), "table", Top(28.0, 60.0), Base("legs"), 6.0)


def _trolley() -> Front:
    rows = (_row(Open(name="upper tray space")), _row(Open(name="lower tray space")))
    handles = tuple(Extra("rail", f"{side} hand rail", x, 0.9, True) for side, x in (("left", 0.03), ("right", 0.97)))
    return Front(rows, "trolley", Top(20.0, 0.0), Base("wheels", 100.0), fittings=handles)


def _hall_stand() -> Front:
    back = Stack((_row(Panel(name="hat rail", raised=False), height=160.0), _row(Panel(name="mirror"), height=760.0)))
    rows = (_row(back), _drawers(1, 120.0), _row(Open(name="umbrella bay")))
    places = (
        (0.12, 0.93, "left upper"),
        (0.88, 0.93, "right upper"),
        (0.06, 0.72, "left lower"),
        (0.94, 0.72, "right lower"),
    )
    hooks = tuple(Extra("hook", f"{name} hook", x, y, True) for x, y, name in places)
    return Front(
        rows,
        top=Top(30.0, 25.0),
        base=Base("feet", 80.0),
        frame=26.0,
        drawers=DrawerFit(1, "drop pull"),
        fittings=hooks,
    )


def _writing_slope() -> Front:
    lid = Flap("top", name="lid", fit=DoorFit(2, "butt", "none", True, True))
    rows = (_row(lid, height=90.0), _drawers(1, 45.0))
    corners = tuple(
        Extra("corner", f"{side} corner mount", x, 0.1, True) for side, x in (("left", 0.02), ("right", 0.98))
    )
    return Front(rows, top=NO_TOP, base=Base("none"), frame=6.0, drawers=DrawerFit(1, "ring pull"), fittings=corners)


def _mirror() -> Front:
    ends = tuple(Extra("knob", f"{side} swing screw", x, 0.55, True) for side, x in (("left", 0.05), ("right", 0.95)))
    rows = (_row(Panel(name="glass"), height=420.0), _drawers(2, 80.0))
    return Front(rows, top=NO_TOP, base=Base("feet", 30.0), frame=14.0, fittings=ends)


def _box() -> Front:
    lid = Flap("top", name="lid", fit=DoorFit(2, "strap", "none", True, True))
    rows = (_row(lid, height=90.0), _row(Panel(), Panel(), height=330.0))
    handles = tuple(
        Extra("pull", f"{side} lifting handle", x, 0.55, True, "bail") for side, x in (("left", 0.08), ("right", 0.92))
    )
    return Front(rows, top=NO_TOP, base=Base("plinth", 80.0, wheels=False), fittings=handles)


def _sideboard() -> Front:
    rows = (_row(Door("left"), Stack((_drawers(1), _drawers(1), _drawers(1)), name="middle part"), Door("right")),)
    return Front(
        rows,
        base=Base("legs", 200.0),
        drawers=DrawerFit(1, "bar pull"),
        doors=DoorFit(2, "pin", "bar pull", catch=True),
    )


def _bookcase() -> Front:
    return Front((_row(Open(shelves=4)),), top=Top(30.0, 20.0), base=Base("plinth", 90.0))


def _chairs(copies: int = 1, arms: bool = False) -> Front:
    return Front(
        outline="chair", base=Base("legs"), copies=copies, chair=Chair(arms=arms, back="rails" if arms else "slats")
    )


def ready_fronts() -> dict[str, Front]:
    """The ready fronts by plain name. The name of every kind of piece is among them."""
    return {
        "dresser": _dresser(),
        "dresser with rack": _dresser_with_rack(),
        "sideboard": _sideboard(),
        "chest": _chest(),
        "chest on chest": _chest_on_chest(),
        "wardrobe": _wardrobe(),
        "wardrobe with three doors": _wardrobe_three(),
        "desk": _desk(),
        "bureau": _bureau(),
        "bedside": _bedside(),
        "bedside pair": _bedside_pair(),
        "table": _table(),
        "side table on wheels": _side_table(),
        "table without drawers": _plain_table(),
        "chair": _chairs(),
        "armchair": _chairs(arms=True),
        "set of four chairs": _chairs(copies=4),
        "trolley": _trolley(),
        "hall stand": _hall_stand(),
        "writing slope": _writing_slope(),
        "mirror": _mirror(),
        "box": _box(),
        "bookcase": _bookcase(),
        "other": Front((_row(Panel()),)),
    }


USUAL_SIZES: dict[str, Size] = {
    "dresser": (1220, 900, 460), "dresser with rack": (1450, 2000, 480), "sideboard": (1500, 850, 450),
    "chest": (1050, 1030, 500), "chest on chest": (1080, 1640, 520), "wardrobe": (1150, 2000, 560),
    "wardrobe with three doors": (1750, 2050, 580), "desk": (1370, 770, 650), "bureau": (920, 1050, 480),
    "bedside": (420, 660, 380), "bedside pair": (420, 660, 380), "table": (1000, 760, 650),
    "side table on wheels": (900, 720, 480), "table without drawers": (1800, 760, 900), "chair": (420, 880, 430),
    "armchair": (580, 980, 520), "set of four chairs": (420, 880, 430), "trolley": (720, 760, 440),
    "hall stand": (900, 2000, 320), "writing slope": (420, 170, 280), "mirror": (520, 640, 220), "box": (980, 540, 480),
    "bookcase": (900, 1600, 300), "other": (600, 600, 400),
}  # fmt: skip


def usual_size(name: str) -> Size:
    """An ordinary width, height and depth [mm] for a ready front, to begin a form with."""
    return USUAL_SIZES[name]


def ready_for(kind: str) -> str:
    """The name of the ready front that a piece of this kind begins with."""
    return kind if kind in USUAL_SIZES else "other"
