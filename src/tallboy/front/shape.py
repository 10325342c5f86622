"""A front from plain data (a form, a piece file, the database) and back, each value checked.

The data itself, with its words, is in `kinds.py` and can be imported from here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import fields
from typing import Any

from tallboy.errors import BadInput
from tallboy.front.kinds import (
    BACK_KINDS,
    BASE_KINDS,
    BAY_KINDS,
    DEEPEST,
    FACES,
    FITTING_KINDS,
    HANDLE_KINDS,
    HINGE_KINDS,
    LARGEST_PIECE,
    MOST_BAYS,
    MOST_COPIES,
    MOST_POSITIONS,
    MOST_ROWS,
    OUTLINES,
    PULL_KINDS,
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
from tallboy.front.naming import bay_names
from tallboy.front.reading import Table

__all__ = [
    "BACK_KINDS", "BASE_KINDS", "BAY_KINDS", "FACES", "FITTING_KINDS", "HANDLE_KINDS", "HINGE_KINDS", "OUTLINES",
    "PULL_KINDS", "Base", "Bay", "Chair", "Door", "DoorFit", "Doors", "Drawer", "DrawerFit", "Extra", "Flap", "Front",
    "Open", "Panel", "Row", "Stack", "Top", "Upper", "front_from_dict", "front_to_dict", "read_door_fit", "read_drawer_fit", "read_extra",
]  # fmt: skip

DRAWER_KEYS = ("pulls", "pull", "escutcheon", "lock")
DOOR_KEYS = ("hinges", "hinge", "handle", "escutcheon", "lock", "catch", "bolts")
SIDES = ("left", "right")
FRONT_KEYS = tuple(item.name for item in fields(Front))


def front_from_dict(d: Mapping[str, Any]) -> Front:
    """A front from plain data. Raises BadInput naming the place, e.g. "front.rows[1].bays[0].hung"."""
    table = Table(d, "front")
    table.only(*FRONT_KEYS)
    outline = table.choice("outline", OUTLINES, "case")
    front = Front(
        rows=_rows(table, 1),
        outline=outline,
        top=_top(table.table("top")),
        base=_base(table.table("base"), outline),
        frame=_length(table, "frame", 0, 300, 18.0),
        copies=table.whole("copies", 1, MOST_COPIES, 1),
        upper=_upper(table.table("upper")) if table.has("upper") else None,
        chair=_chair(table.table("chair")) if outline == "chair" else None,
        drawers=read_drawer_fit(_only(table.table("drawers"), DRAWER_KEYS)),
        doors=read_door_fit(_only(table.table("doors"), DOOR_KEYS)),
        fittings=tuple(read_extra(item) for item in table.tables("fittings", MOST_POSITIONS)),
    )
    _check_whole(table, front)
    return front


def count_rows(rows: tuple[Row, ...]) -> int:
    """How many rows there are, those of nested stacks counted."""
    stacks = [bay for row in rows for bay in row.bays if isinstance(bay, Stack)]
    return len(rows) + sum(count_rows(stack.rows) for stack in stacks)


def _check_whole(table: Table, front: Front) -> None:
    if front.outline != "chair" and not front.rows:
        raise BadInput("front.rows has no row in it.", "Give at least one row with one bay.")
    for key, wanted in (("chair", front.outline == "chair"), ("rows", front.outline != "chair")):
        if table.has(key) and table.data[key] and not wanted:
            raise BadInput(f"front.{key} is given, but front.outline is '{front.outline}'.", f"Take {key} away.")
    if front.upper and front.outline != "case":
        raise BadInput(f"front.upper is given, but front.outline is '{front.outline}'.", "Only a 'case' can carry one.")
    _check_floor(front.rows[:-1], "front.rows", True)
    _check_floor(front.rows[-1:], "front.rows", False)
    if front.upper:
        _check_floor(front.upper.rows, "front.upper.rows", True)
    bay_names(front)
    total = count_rows(front.rows) + (count_rows(front.upper.rows) if front.upper else 0)
    if total > MOST_ROWS:
        raise BadInput(f"front has {total} rows in all.", f"It may have at most {MOST_ROWS}.")


def _check_floor(rows: tuple[Row, ...], path: str, refused: bool) -> None:
    """Refuse an open bay that should reach the floor where other bays are below it."""
    for row in rows:
        for bay in row.bays:
            if refused and isinstance(bay, Open) and bay.to_floor:
                raise BadInput(
                    f"{path} has an open bay with to_floor = true.", "Only one of the lowest row can have it."
                )
            if isinstance(bay, Stack):
                _check_floor(bay.rows, f"{path} in a stack", True)


def _length(table: Table, key: str, low: float, high: float, default: float) -> float:
    return table.length(key, low, high) if table.has(key) else default


def _share(table: Table, key: str) -> float | None:
    return table.length(key, 1, LARGEST_PIECE) if table.has(key) else None


def _only(table: Table, keys: tuple[str, ...]) -> Table:
    table.only(*keys)
    return table


def _top(table: Table) -> Top:
    table.only("thickness", "overhang")
    plain = Top()
    thickness = _length(table, "thickness", 0, 300, plain.thickness)
    return Top(thickness, _length(table, "overhang", 0, 300, plain.overhang))


def _base(table: Table, outline: str) -> Base:
    table.only("kind", "height", "count", "wheels")
    usual = {"case": "plinth", "trolley": "wheels"}.get(outline, "legs")
    return Base(
        kind=table.choice("kind", BASE_KINDS, usual),
        height=table.length("height", 0, LARGEST_PIECE) if table.has("height") else None,
        count=table.whole("count", 2, 8, 4),
        wheels=table.flag("wheels"),
    )


def _upper(table: Table) -> Upper:
    table.only("rows", "height", "inset", "top", "name")
    table.need("height", '"900 mm"')
    rows = _rows(table, 1)
    if not rows:
        raise BadInput(f"{table.at('rows')} has no row in it.", "Give at least one row with one bay.")
    return Upper(
        rows=rows,
        height=table.length("height", 10, LARGEST_PIECE),
        inset=_length(table, "inset", 0, 1000, 0.0),
        top=_top(table.table("top")),
        name=table.text("name", limit=60),
    )


def _chair(table: Table) -> Chair:
    table.only("back", "bars", "seat_height", "brackets", "stretchers", "arms")
    plain = Chair()
    return Chair(
        back=table.choice("back", BACK_KINDS, plain.back),
        bars=table.whole("bars", 1, 12, plain.bars),
        seat_height=_length(table, "seat_height", 20, 1500, plain.seat_height),
        brackets=table.whole("brackets", 0, 4, plain.brackets),
        stretchers=table.whole("stretchers", 0, 3, plain.stretchers),
        arms=table.flag("arms"),
    )


def _rows(table: Table, depth: int) -> tuple[Row, ...]:
    if depth > DEEPEST:
        raise BadInput(f"{table.at('rows')} is {depth} stacks deep.", f"Rows may be nested at most {DEEPEST} deep.")
    return tuple(_row(item, depth) for item in table.tables("rows", MOST_ROWS))


def _row(table: Table, depth: int) -> Row:
    table.only("height", "bays")
    bays = tuple(_bay(item, depth) for item in table.tables("bays", MOST_BAYS))
    if not bays:
        raise BadInput(f"{table.at('bays')} has no bay in it.", 'Give at least one, for example { kind = "drawer" }.')
    return Row(bays, _share(table, "height"))


def _bay(table: Table, depth: int) -> Bay:
    table.need("kind", '"drawer"')
    kind = table.choice("kind", BAY_KINDS)
    if kind == "rows":
        return _stack(table, depth)
    return READERS[kind](table)


def _stack(table: Table, depth: int) -> Stack:
    table.only("kind", "width", "name", "rows")
    rows = _rows(table, depth + 1)
    if not rows:
        raise BadInput(f"{table.at('rows')} has no row in it.", "Give at least one row with one bay.")
    return Stack(rows, _share(table, "width"), table.text("name", limit=60))


def _drawer(table: Table) -> Drawer:
    table.only("kind", "width", "name", *DRAWER_KEYS)
    return Drawer(_share(table, "width"), table.text("name", limit=60), read_drawer_fit(table))


def _door(table: Table) -> Door:
    table.only("kind", "width", "name", "hung", *DOOR_KEYS)
    table.need("hung", '"left"')
    hung = table.choice("hung", SIDES)
    return Door(hung, _share(table, "width"), table.text("name", limit=60), read_door_fit(table))


def _doors(table: Table) -> Doors:
    table.only("kind", "width", "name", "opens_first", *DOOR_KEYS)
    first = table.choice("opens_first", SIDES, "right")
    return Doors(_share(table, "width"), table.text("name", limit=60), first, read_door_fit(table))


def _flap(table: Table) -> Flap:
    table.only("kind", "width", "name", "hung", *DOOR_KEYS)
    hung = table.choice("hung", ("top", "bottom"), "bottom")
    return Flap(hung, _share(table, "width"), table.text("name", limit=60), read_door_fit(table))


def _open(table: Table) -> Open:
    table.only("kind", "width", "name", "shelves", "to_floor")
    shelves = table.whole("shelves", 0, 20, 0)
    return Open(_share(table, "width"), table.text("name", limit=60), shelves, table.flag("to_floor"))


def _panel(table: Table) -> Panel:
    table.only("kind", "width", "name", "raised")
    return Panel(_share(table, "width"), table.text("name", limit=60), table.flag("raised", True))


READERS: dict[str, Callable[[Table], Bay]] = {
    "drawer": _drawer,
    "door": _door,
    "doors": _doors,
    "flap": _flap,
    "open": _open,
    "panel": _panel,
}


def read_drawer_fit(table: Table) -> DrawerFit:
    """What drawers carry, from a table that may have other keys too."""
    return DrawerFit(
        pulls=table.whole("pulls", 0, 4, 0) if table.has("pulls") else None,
        pull=table.choice("pull", PULL_KINDS) if table.has("pull") else None,
        escutcheon=table.flag("escutcheon") if table.has("escutcheon") else None,
        lock=table.flag("lock") if table.has("lock") else None,
    )


def read_door_fit(table: Table) -> DoorFit:
    """What doors, falls and lids carry, from a table that may have other keys too."""
    return DoorFit(
        hinges=table.whole("hinges", 0, 4, 0) if table.has("hinges") else None,
        hinge=table.choice("hinge", HINGE_KINDS) if table.has("hinge") else None,
        handle=table.choice("handle", HANDLE_KINDS) if table.has("handle") else None,
        escutcheon=table.flag("escutcheon") if table.has("escutcheon") else None,
        lock=table.flag("lock") if table.has("lock") else None,
        catch=table.flag("catch") if table.has("catch") else None,
        bolts=table.whole("bolts", 0, 2, 0) if table.has("bolts") else None,
    )


def read_extra(table: Table) -> Extra:
    """A fitting that stands by itself."""
    table.only("kind", "name", "x", "y", "across", "up", "detail", "face", "screws")
    table.need("kind", '"hook"')
    table.need("name", '"left hook"')
    if not table.text("name", limit=80):
        raise BadInput(f"{table.at('name')} is empty.", "Give the fitting a name of its own.")
    shares = table.has("across") or table.has("up")
    x, y = _place(table, shares)
    return Extra(
        kind=table.choice("kind", FITTING_KINDS),
        name=table.text("name", limit=80),
        x=x,
        y=y,
        shares=shares,
        detail=table.text("detail", limit=60),
        face=table.choice("face", FACES, "front"),
        screws=table.whole("screws", 0, 40, 0) if table.has("screws") else None,
    )


def _place(table: Table, shares: bool) -> tuple[float, float]:
    if shares and (table.has("x") or table.has("y")):
        raise BadInput(
            f"{table.path} has both x, y and across, up.", "Give x and y in mm, or across and up from 0 to 1."
        )
    if shares:
        return table.number("across", 0, 1), table.number("up", 0, 1)
    table.need("x", '"120 mm"')
    table.need("y", '"640 mm"')
    return table.length("x", 0, 4 * LARGEST_PIECE), table.length("y", 0, LARGEST_PIECE)


def front_to_dict(front: Front) -> dict[str, Any]:
    """Plain data of a front; `front_from_dict` gives the same front back. What is as usual is left out."""
    out: dict[str, Any] = {"outline": front.outline, "copies": front.copies, "frame": front.frame}
    out["top"] = _plain(front.top)
    out["base"] = _plain(front.base)
    if front.outline != "chair":
        out["rows"] = [_row_out(row) for row in front.rows]
    if front.upper:
        upper = {"rows": [_row_out(row) for row in front.upper.rows], "height": front.upper.height}
        out["upper"] = upper | {"inset": front.upper.inset, "top": _plain(front.upper.top)}
        if front.upper.name:
            out["upper"]["name"] = front.upper.name
    if front.chair:
        out["chair"] = _plain(front.chair)
    for key, fit in (("drawers", front.drawers), ("doors", front.doors)):
        if _plain(fit):
            out[key] = _plain(fit)
    if front.fittings:
        out["fittings"] = [_extra_out(extra) for extra in front.fittings]
    return out


def _plain(thing: Top | Base | Chair | DrawerFit | DoorFit) -> dict[str, Any]:
    values = {item.name: getattr(thing, item.name) for item in fields(thing)}
    return {key: value for key, value in values.items() if value is not None}


def _row_out(row: Row) -> dict[str, Any]:
    out: dict[str, Any] = {} if row.height is None else {"height": row.height}
    return out | {"bays": [_bay_out(bay) for bay in row.bays]}


KIND_OF = {Drawer: "drawer", Door: "door", Doors: "doors", Flap: "flap", Open: "open", Panel: "panel", Stack: "rows"}


def _bay_out(bay: Bay) -> dict[str, Any]:
    out: dict[str, Any] = {"kind": KIND_OF[type(bay)]}
    for item in fields(bay):
        value = getattr(bay, item.name)
        if item.name == "fit":
            out |= _plain(value)
        elif item.name == "rows":
            out["rows"] = [_row_out(row) for row in value]
        elif value is not None and value != "":
            out[item.name] = value
    return out


def _extra_out(extra: Extra) -> dict[str, Any]:
    across, up = ("across", "up") if extra.shares else ("x", "y")
    out: dict[str, Any] = {"kind": extra.kind, "name": extra.name, across: extra.x, up: extra.y, "face": extra.face}
    if extra.detail:
        out["detail"] = extra.detail
    return out if extra.screws is None else out | {"screws": extra.screws}
