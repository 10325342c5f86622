"""The piece file: a TOML text that describes a piece at take-in, read into a TakeIn and written back.

Every key is told in docs/piece-file.md; `piece.schema.json` beside this file says the same for editors and scripts.
Every complaint begins with the name of the file and names the key, what was found and what would be accepted.
"""

from __future__ import annotations

import difflib
import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from datetime import date, datetime
from pathlib import PurePosixPath
from typing import Any

from tallboy.errors import BadFile, BadInput
from tallboy.front.kinds import FITTING_KINDS, LARGEST_PIECE, MOST_POSITIONS, SMALLEST_PIECE, Front
from tallboy.front.positions import Position, merged, positions
from tallboy.front.reading import Table, near, shown
from tallboy.front.ready import KINDS, ready_for, ready_fronts
from tallboy.front.shape import (
    DOOR_KEYS,
    DRAWER_KEYS,
    front_from_dict,
    front_to_dict,
    read_door_fit,
    read_drawer_fit,
    read_extra,
)
from tallboy.front.takein import (
    FAULT_KINDS,
    LEAD_TESTS,
    PAINTED,
    Fault,
    FreeDrawing,
    FreePoint,
    PhotoFile,
    SpotTest,
    SurfaceArea,
    TakeIn,
    check_promise,
    free_positions,
)
from tallboy.front.toml_text import toml_text
from tallboy.work.words import GROUPS

__all__ = ["TakeIn", "check_promise", "free_positions", "piece_file", "read_piece_file", "take_in_positions"]

LARGEST_FILE = 1_000_000
MOST_ENTRIES = 200
LONGEST_WOODS = 200
TOP_KEYS = (
    "piece", "owner", "promise", "route", "note", "spot_tests", "faults", "photos", "surfaces", "front", "fittings",
    "free", "missing",
)  # fmt: skip
PIECE_KEYS = (
    "name", "kind", "width", "height", "depth", "woods", "old_finish", "age", "painted_before", "lead_test", "note",
    "promise", "route",
)  # fmt: skip
_LINE = re.compile(r"\s*\(at (line \d+, column \d+|end of document)\)")


def read_piece_file(text: str, *, name: str) -> TakeIn:
    """Read a piece file. `name` is what the file is called, for the messages.

    Raises BadFile naming the file and the key (or the line, where it is no TOML), what was found and what would do.
    """
    if len(text.encode("utf-8", "replace")) > LARGEST_FILE:
        raise BadFile(f"{name} is larger than 1 MB.", "A piece file is a short text; photographs lie beside it.")
    data = _parsed(text, name)
    try:
        return _take_in(Table(data, ""))
    except BadInput as trouble:
        raise BadFile(f"{name}: {trouble.message}", trouble.hint) from None


def _parsed(text: str, name: str) -> dict[str, Any]:
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise BadFile(f"{name}: its lists or tables are nested too deeply.", "Rows may be nested 4 deep.") from None
    except ValueError as trouble:
        said = str(trouble)
        where = _LINE.search(said)
        end = f"line {len(text.splitlines())}, the end of the file"
        place = f", {where[1].replace('end of document', end)}" if where else ""
        raise BadFile(f"{name}{place}: this is not TOML. {_LINE.sub('', said)}.", "See docs/piece-file.md.") from None


def take_in_positions(takein: TakeIn) -> tuple[Position, ...]:
    """The positions of a piece that is taken in: of its front, or the points of its free drawing."""
    if takein.front is not None:
        return positions(takein.front, takein.width, takein.height, takein.depth)
    return free_positions(takein.free) if takein.free else ()


def _take_in(table: Table) -> TakeIn:
    table.only(*TOP_KEYS)
    table.need("piece", '{ name = "Pine dresser", … }')
    piece, owner = table.table("piece"), _owner(table)
    piece.only(*PIECE_KEYS)
    kind = _needed_choice(piece, "kind", KINDS, '"dresser"')
    width, height, depth = (_size(piece, key) for key in ("width", "height", "depth"))
    free = _free(table.table("free")) if table.has("free") else None
    takein = TakeIn(
        name=_name(piece, '"Pine dresser"', 120),
        kind=kind,
        width=width,
        height=height,
        depth=depth,
        woods=_woods(piece),
        old_finish=piece.text("old_finish", limit=200),
        age=piece.text("age", "unknown", limit=80) or "unknown",
        painted_before=_painted(piece),
        lead_test=piece.choice("lead_test", LEAD_TESTS, "not tested"),
        promise=_date(piece if piece.has("promise") else table, "promise"),
        note=(piece if piece.has("note") else table).text("note"),
        route=(piece if piece.has("route") else table).text("route", limit=60),
        spot_tests=tuple(_spot_test(item) for item in table.tables("spot_tests", MOST_ENTRIES)),
        photos=tuple(_photo(item) for item in table.tables("photos", MOST_ENTRIES)),
        surfaces=_surfaces(table),
        front=_front(table, kind, free),
        free=free,
    )
    return _with_places(table, _owned(owner, takein))


def _needed_choice(table: Table, key: str, options: Sequence[str], example: str) -> str:
    table.need(key, example)
    return table.choice(key, options)


def _name(table: Table, example: str, limit: int) -> str:
    table.need("name", example)
    name = table.text("name", limit=limit)
    if not name:
        raise BadInput(f"{table.at('name')} is empty.", f"Give it, for example name = {example}.")
    return name


def _size(piece: Table, key: str) -> float:
    """A size of the piece: a text with its unit, so that nobody has to guess it."""
    piece.need(key, '"1220 mm"')
    if not isinstance(piece.data[key], str):
        found = shown(piece.data[key])
        raise BadInput(f"{piece.at(key)} is {found}.", 'It must be a text with its unit, such as "1220 mm" or "48 in".')
    return piece.length(key, SMALLEST_PIECE, LARGEST_PIECE)


def _woods(piece: Table) -> tuple[str, ...]:
    woods = piece.texts("woods")
    if len(", ".join(woods)) > LONGEST_WOODS:
        raise BadInput(
            f"{piece.at('woods')} is a list of {len(woods)}.", f"It may have {LONGEST_WOODS} letters in all."
        )
    return woods


def _painted(piece: Table) -> str:
    value = piece.data.get("painted_before", "unknown")
    if isinstance(value, bool):
        return "yes" if value else "no"
    return piece.choice("painted_before", PAINTED, "unknown")


def _date(table: Table, key: str) -> date | None:
    value = table.data.get(key)
    if isinstance(value, str) and value:
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    if value is None or value == "":
        return None
    if isinstance(value, date) and not isinstance(value, datetime):
        return value
    raise BadInput(f"{table.at(key)} is {shown(value)}.", "It must be a date as year-month-day, such as 2026-03-24.")


def _owner(table: Table) -> Table:
    """The owner's table; a name alone stands for a customer."""
    if isinstance(table.data.get("owner"), str):
        return Table({"customer": table.data["owner"]}, "owner")
    return table.table("owner")


def _owned(owner: Table, takein: TakeIn) -> TakeIn:
    owner.only("own_stock", "customer")
    own, customer = owner.flag("own_stock"), owner.text("customer", limit=120)
    if own and customer:
        raise BadInput(f"owner has own_stock = true and customer {shown(customer)}.", "Give one of the two.")
    return replace(takein, own_stock=own, customer=customer)


def _spot_test(table: Table) -> SpotTest:
    table.only("liquid", "where", "result")
    table.need("liquid", '"alcohol"')
    table.need("result", '"softened in 20 seconds"')
    return SpotTest(table.text("liquid", limit=80), table.text("where", limit=120), table.text("result", limit=200))


def _photo(table: Table) -> PhotoFile:
    table.only("file", "caption")
    table.need("file", '"front.jpg"')
    return PhotoFile(_photo_path(table, "file"), table.text("caption", limit=200))


def _photo_path(table: Table, key: str) -> str:
    """A path inside the folder of the piece file; none that leads out of it."""
    given = table.text(key, limit=200)
    path = PurePosixPath(given)
    if not given or path.is_absolute() or ".." in path.parts or "\\" in given or ":" in given:
        raise BadInput(
            f"{table.at(key)} is {shown(given)}.", 'It must be a file in the piece file\'s folder: "front.jpg".'
        )
    return given


def _surfaces(table: Table) -> tuple[SurfaceArea, ...]:
    """The measured areas, each under a name of its own; the name of a group means that group."""
    surfaces = tuple(_surface(item) for item in table.tables("surfaces", MOST_ENTRIES))
    names = [surface.name for surface in surfaces]
    for at, surface in enumerate(surfaces):
        if surface.name in names[:at] or (surface.name in GROUPS and surface.name != surface.group):
            raise BadInput(
                f"surfaces[{at}].name is {shown(surface.name)}, which another surface is called.",
                "Give each surface a name of its own.",
            )
    return surfaces


def _surface(table: Table) -> SurfaceArea:
    table.only("name", "group", "area_m2")
    table.need("area_m2", "1.4")
    name = _name(table, '"outside of the doors"', 80)
    return SurfaceArea(name, _needed_choice(table, "group", GROUPS, '"doors"'), table.number("area_m2", 0, 1000))


def _free(table: Table) -> FreeDrawing:
    table.only("photo", "points")
    table.need("photo", '"front.jpg"')
    points = tuple(_free_point(item) for item in table.tables("points", MOST_POSITIONS))
    return FreeDrawing(_photo_path(table, "photo"), points)


def _free_point(table: Table) -> FreePoint:
    table.only("x", "y", "name", "kind")
    name = _name(table, '"left hook"', 120)
    x, y = table.number("x", 0, 1), table.number("y", 0, 1)
    return FreePoint(x, y, name, table.choice("kind", FITTING_KINDS, "other"))


def _front(table: Table, kind: str, free: FreeDrawing | None) -> Front | None:
    """The front that is given, or made from a ready one; none beside a free drawing unless it is asked for."""
    if not table.has("front") and free is not None:
        if table.has("fittings"):
            raise BadInput(
                "fittings is given, but there is no front.", "Give a [front], or put points on the photograph."
            )
        return None
    given = dict(table.table("front").data)
    ready = given.pop("ready", None if given else ready_for(kind))
    fronts = ready_fronts()
    if ready is None:
        return _fitted(table.table("fittings"), front_from_dict(given))
    if not isinstance(ready, str) or ready not in fronts:
        hint = near(ready, tuple(fronts)) if isinstance(ready, str) else "It must be the name of a ready front."
        raise BadInput(f"front.ready is {shown(ready)}.", hint)
    return _fitted(table.table("fittings"), front_from_dict(_over(front_to_dict(fronts[ready]), given)))


def _over(usual: dict[str, Any], given: Mapping[str, Any]) -> dict[str, Any]:
    """Own keys laid over those of a ready front: a table key by key, anything else as a whole."""
    out = dict(usual)
    for key, value in given.items():
        both = isinstance(value, Mapping) and isinstance(out.get(key), Mapping)
        out[key] = {**out[key], **value} if both else value
    return out


def _fitted(table: Table, front: Front) -> Front:
    table.only("drawers", "doors", "extra")
    drawers, doors = table.table("drawers"), table.table("doors")
    drawers.only(*DRAWER_KEYS)
    doors.only(*DOOR_KEYS)
    extra = tuple(read_extra(item) for item in table.tables("extra", MOST_POSITIONS))
    return replace(
        front,
        drawers=merged(read_drawer_fit(drawers), front.drawers),
        doors=merged(read_door_fit(doors), front.doors),
        fittings=front.fittings + extra,
    )


def _with_places(table: Table, takein: TakeIn) -> TakeIn:
    """The faults and missing fittings, whose positions are known only once the front is."""
    places = take_in_positions(takein)
    faults = tuple(_fault(item, places) for item in table.tables("faults", MOST_ENTRIES))
    given = table.data.get("missing", [])
    if not isinstance(given, list):
        raise BadInput(f"missing is {shown(given)}.", "It must be a list of codes or numbers of positions.")
    codes = tuple(_code(f"missing[{at}]", value, places) for at, value in enumerate(given))
    return replace(takein, faults=faults, missing=tuple(dict.fromkeys(codes)))


def _fault(table: Table, places: Sequence[Position]) -> Fault:
    table.only("kind", "where", "position", "note")
    kind = _needed_choice(table, "kind", FAULT_KINDS, '"loose joint"')
    code = _code(table.at("position"), table.data["position"], places) if table.has("position") else ""
    return Fault(kind, table.text("where", limit=120), code, table.text("note"))


def _code(path: str, value: object, places: Sequence[Position]) -> str:
    """The code of a position that is given by its code or its number."""
    codes = [place.code for place in places]
    if isinstance(value, int) and not isinstance(value, bool) and 1 <= value <= len(codes):
        return codes[value - 1]
    if isinstance(value, str) and value in codes:
        return value
    if not codes:
        raise BadInput(f"{path} is {shown(value)}, but this piece has no positions.", "Give it a front with fittings.")
    close = difflib.get_close_matches(shown(value).strip("'").lower(), codes, n=1)
    ask = f"Did you mean '{close[0]}'? " if close else ""
    accepted = f"It must be the code of a position, such as '{codes[0]}', or a number from 1 to {len(codes)}."
    raise BadInput(f"{path} is {shown(value)}, which is no position of this piece.", ask + accepted)


def piece_file(takein: TakeIn) -> str:
    """The piece file of a TakeIn; `read_piece_file` gives the same TakeIn back."""
    sizes = {key: f"{getattr(takein, key)!r} mm".replace(".0 mm", " mm") for key in ("width", "height", "depth")}
    piece: dict[str, Any] = {"name": takein.name, "kind": takein.kind, **sizes, "woods": list(takein.woods)}
    for key in ("old_finish", "age", "painted_before", "lead_test", "promise", "route", "note"):
        piece[key] = getattr(takein, key)
    out: dict[str, Any] = {"missing": list(takein.missing), "piece": piece}
    out["owner"] = {"own_stock": takein.own_stock, "customer": takein.customer}
    for name in ("spot_tests", "faults", "photos", "surfaces"):
        out[name] = [_filled(asdict(item)) for item in getattr(takein, name)]
    if takein.front is not None:
        out["front"] = front_to_dict(takein.front)
    if takein.free is not None:
        out["free"] = asdict(takein.free)
    out = {key: _filled(value) if isinstance(value, dict) else value for key, value in out.items()}
    return toml_text({key: value for key, value in out.items() if value or value is False})


def _filled(table: dict[str, Any]) -> dict[str, Any]:
    """A table without what is empty; false and 0 stay."""
    kept = {key: value for key, value in table.items() if value not in (None, "", [], ())}
    return {key: list(value) if isinstance(value, tuple) else value for key, value in kept.items()}
