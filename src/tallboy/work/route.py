"""Routes and repairs: what is done to a piece, in order, as data that people may edit.

A route is a list of steps. Each follows the step before it unless `after` says otherwise; its wait counts from the
first step it follows. Metal and fetch steps run in a lane of their own beside the woodwork and meet it at the put-back.
Reading a route from plain data checks everything a plan relies on, and says in words what is wrong and what is accepted.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import MISSING, dataclass, field, fields
from string import Formatter
from typing import Any

from tallboy.errors import BadInput
from tallboy.work.reading import Reader, as_row, rows_in
from tallboy.work.words import (
    BEFORE,
    DOES,
    GROUPS,
    LABELS,
    OVERS,
    PLACEHOLDERS,
    PLACES,
    ROLES,
    ROLES_WITHOUT_CLASS,
    WAIT_KINDS,
)

LEAD_TEST_KEY = "lead-test"
"""The key of the step that is put first when old paint has not been tested; no route may use it for its own."""

LONGEST_SKILL = 40
MOST_CLAMPS = 200

_DAY = 24 * 60
_YEAR = 365 * _DAY


@dataclass(frozen=True)
class RouteStep:
    """One step of a route or a repair. Times are in minutes, areas in square metres.

    `spread` is one standard deviation as a share of the minutes. `minutes` is for each item the step is done over,
    `minutes_per_m2` for the area it covers. The wait (`least_minutes` to `wait_text`) lies before this step and counts
    from the end of the first step named in `after`, or of the step before. `skill` is what one of those at it must know,
    `clamps` how many it takes until the wait in clamps after it is over.
    """

    key: str
    title: str
    does: str
    over: str = "piece"
    groups: tuple[str, ...] = ()
    minutes: float = 0.0
    minutes_per_m2: float = 0.0
    spread: float = 0.3
    hands: int = 1
    place: str = "bench"
    dusty: bool = False
    split: bool = False
    skill: str = ""
    noisy: bool = False
    solvent: bool = False
    ignition: bool = False
    clamps: int = 0
    product: str = ""
    coats: int = 1
    after: tuple[str, ...] = ()
    least_minutes: float = 0.0
    most_minutes: float | None = None
    from_label: str = ""
    wait_kind: str = "order"
    wait_text: str = ""
    cautions: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    parts_kinds: tuple[str, ...] = ()
    optional: bool = False
    note: str = ""


@dataclass(frozen=True)
class Route:
    """A way to work a whole piece. `products` gives, for each role, the coating class used until a real can is chosen."""

    key: str
    name: str
    for_what: str
    steps: tuple[RouteStep, ...]
    products: Mapping[str, str] = field(default_factory=dict)
    source: str = ""


@dataclass(frozen=True)
class Repair:
    """How one kind of fault is put right. `before` says what it holds up: "finish" (the wood) or "put-back"."""

    fault_kind: str
    name: str
    steps: tuple[RouteStep, ...]
    before: str = "finish"
    products: Mapping[str, str] = field(default_factory=dict)
    source: str = ""


def route_from_dict(row: Mapping[str, Any]) -> Route:
    """Read a route from plain data (a table row, a form, a book) and check it; BadInput says what is wrong where."""
    row = as_row(row, "The route")
    read = Reader(row, f"Route {row.get('key', '?')!r}")
    key = read.key("key")
    route = Route(
        key=key,
        name=read.text("name", needed=True),
        for_what=read.text("for_what"),
        steps=_steps(read, "piece"),
        products=read.mapping("products", ROLES),
        source=read.text("source"),
    )
    read.nothing_else()
    _check_order(route)
    _check_products(route.steps, route.products, read.where)
    return route


def repair_from_dict(row: Mapping[str, Any]) -> Repair:
    """Read a repair from plain data and check it; BadInput says what is wrong where."""
    row = as_row(row, "The repair")
    read = Reader(row, f"Repair of {row.get('fault_kind', '?')!r}")
    repair = Repair(
        fault_kind=read.text("fault_kind", needed=True),
        name=read.text("name", needed=True),
        steps=_steps(read, "fault"),
        before=read.choice("before", BEFORE, "finish"),
        products=read.mapping("products", ROLES),
        source=read.text("source"),
    )
    read.nothing_else()
    for step in repair.steps:
        if step.over != "fault":
            raise BadInput(
                f"{read.where}, step {step.key!r}: over is {step.over!r}.", "A repair's steps are over 'fault'."
            )
    if all(step.optional or step.does in ("strip", "rub-down") for step in repair.steps):
        raise BadInput(f"{read.where}: no step of it is always done.", "Make one step neither optional nor stripping.")
    _check_products(repair.steps, repair.products, read.where)
    return repair


def route_to_dict(route: Route) -> dict[str, Any]:
    """The route as plain data that `route_from_dict` reads back; what is at its default is left out."""
    return {
        "key": route.key,
        "name": route.name,
        "for_what": route.for_what,
        "products": dict(route.products),
        "source": route.source,
        "steps": [step_to_dict(step) for step in route.steps],
    }


def repair_to_dict(repair: Repair) -> dict[str, Any]:
    """The repair as plain data that `repair_from_dict` reads back."""
    return {
        "fault_kind": repair.fault_kind,
        "name": repair.name,
        "before": repair.before,
        "products": dict(repair.products),
        "source": repair.source,
        "steps": [step_to_dict(step, over="fault") for step in repair.steps],
    }


def step_to_dict(step: RouteStep, over: str = "piece") -> dict[str, Any]:
    """One step as plain data; what is at its default (with `over` as the default of `over`) is left out."""
    row: dict[str, Any] = {}
    for spec in fields(step):
        value = getattr(step, spec.name)
        default = over if spec.name == "over" else spec.default
        if default is MISSING or value != default:
            row[spec.name] = list(value) if isinstance(value, tuple) else value
    return row


def step_from_dict(row: Mapping[str, Any], where: str, over: str = "piece") -> RouteStep:
    """Read one step; `where` names the route or repair in messages, `over` is the default for what it is done over."""
    read = Reader(row, f"{where}, step {row.get('key', '?')!r}")
    step = RouteStep(
        key=read.key("key"),
        title=read.text("title", needed=True),
        does=read.choice("does", DOES),
        over=read.choice("over", OVERS, over),
        groups=read.choices("groups", GROUPS),
        minutes=read.number("minutes", 0, 10 * _DAY, 0, "minutes"),
        minutes_per_m2=read.number("minutes_per_m2", 0, _DAY, 0, "minutes"),
        spread=read.number("spread", 0, 1, 0.3),
        hands=read.whole("hands", 1, 2, 1),
        place=read.choice("place", PLACES, "bench"),
        dusty=read.flag("dusty"),
        split=read.flag("split"),
        skill=read.text("skill", most=LONGEST_SKILL),
        noisy=read.flag("noisy"),
        solvent=read.flag("solvent"),
        ignition=read.flag("ignition"),
        clamps=read.whole("clamps", 0, MOST_CLAMPS, 0),
        product=read.choice("product", ("", *ROLES), ""),
        coats=read.whole("coats", 1, 12, 1),
        after=read.texts("after"),
        least_minutes=read.number("least_minutes", 0, _YEAR, 0, "minutes"),
        most_minutes=read.number_or_none("most_minutes", 0, _YEAR, "minutes"),
        from_label=read.choice("from_label", LABELS, ""),
        wait_kind=read.choice("wait_kind", WAIT_KINDS, "order"),
        wait_text=read.text("wait_text"),
        cautions=read.texts("cautions"),
        needs=read.texts("needs"),
        parts_kinds=read.texts("parts_kinds"),
        optional=read.flag("optional"),
        note=read.text("note"),
    )
    read.nothing_else()
    _check_step(step, read.where)
    return step


def routes_from_table(table: Mapping[str, Any]) -> dict[str, Route]:
    """Every route of a routes table, by key, in the table's order."""
    return {route.key: route for route in map(route_from_dict, rows_in(table, "routes"))}


def repairs_from_table(table: Mapping[str, Any]) -> dict[str, Repair]:
    """Every repair of a repairs table, by kind of fault, in the table's order."""
    return {repair.fault_kind: repair for repair in map(repair_from_dict, rows_in(table, "repairs"))}


def check_names(
    subject: Route | Repair, cautions: Collection[str], classes: Collection[str], kinds: Collection[str]
) -> None:
    """Refuse a route or repair that names a caution, coating class or part kind that no table has."""
    name = subject.key if isinstance(subject, Route) else subject.fault_kind
    _all_known(f"{name!r}: coating class", subject.products.values(), classes)
    for step in subject.steps:
        _all_known(f"{name!r}, step {step.key!r}: caution", step.cautions, cautions)
        _all_known(f"{name!r}, step {step.key!r}: kind of part", step.parts_kinds, kinds)


def _all_known(what: str, names: Iterable[str], known: Collection[str]) -> None:
    for name in names:
        if name not in known:
            raise BadInput(f"{what} {name!r} is not known.", f"Known are: {', '.join(sorted(known))}.")


def _steps(read: Reader, over: str) -> tuple[RouteStep, ...]:
    steps = tuple(step_from_dict(row, read.where, over) for row in read.rows("steps"))
    if not steps:
        raise BadInput(f"{read.where} has no steps.", "Give it at least one step.")
    seen: list[str] = []
    for step in steps:
        _check_place(step, seen, read.where)
        seen.append(step.key)
    return steps


def _check_place(step: RouteStep, earlier: list[str], where: str) -> None:
    """A key is used once, and a step follows only steps above it: so no route can go round in a ring."""
    if step.key in earlier:
        raise BadInput(f"{where}: two steps have the key {step.key!r}.", "Every step needs a key of its own.")
    if step.key == LEAD_TEST_KEY:
        raise BadInput(f"{where}: the key {LEAD_TEST_KEY!r} is kept for the lead test.", "Choose another key.")
    for name in step.after:
        if name not in earlier:
            above = ", ".join(earlier) or "none, it is the first"
            raise BadInput(
                f"{where}, step {step.key!r}: it follows {name!r}, which is not a step above it.",
                f"A step can follow any step above it: {above}.",
            )


def _check_step(step: RouteStep, where: str) -> None:
    """What one step must be for a plan to make sense of it."""
    _check_title(step, where)
    if step.does == "coat" and not step.product:
        raise BadInput(f"{where}: it puts on a coat but names no product.", f"Name one of: {', '.join(ROLES)}.")
    if step.coats != 1 and step.product in ROLES_WITHOUT_CLASS:
        raise BadInput(f"{where}: several coats of {step.product} cannot be waited for.", "Make each coat a step.")
    if step.coats != 1 and step.does != "coat":
        raise BadInput(f"{where}: only a coat can have several coats.", "Set coats to 1, or make the step a coat.")
    if step.most_minutes is not None and step.most_minutes < step.least_minutes:
        raise BadInput(
            f"{where}: the longest wait ({step.most_minutes:g} min) is shorter than the shortest ({step.least_minutes:g} min).",
            "Leave most_minutes out, or make it the larger of the two.",
        )
    if step.wait_kind == "order" and (step.least_minutes or step.most_minutes or step.from_label):
        raise BadInput(f"{where}: there is a wait but no kind of wait.", f"Choose one of: {', '.join(WAIT_KINDS[1:])}.")
    if step.solvent and step.ignition:
        raise BadInput(
            f"{where}: an open solvent and a flame, heat or sparks in one step.",
            "Make two steps of it, and air between them.",
        )
    if step.does == "check" and (step.over != "piece" or step.optional):
        raise BadInput(f"{where}: the last check is for the whole piece.", "Set over to 'piece' and optional to false.")


def _check_title(step: RouteStep, where: str) -> None:
    accepted = f"Accepted in curly brackets: {', '.join(PLACEHOLDERS)}."
    try:
        parts = list(Formatter().parse(step.title))
    except ValueError as error:
        raise BadInput(f"{where}: the title has an unmatched curly bracket.", accepted) from error
    for _, name, spec, conversion in parts:
        if name is not None and (name not in PLACEHOLDERS or spec or conversion):
            raise BadInput(f"{where}: the title has {{{name}}}, which is not known.", accepted)


def _check_order(route: Route) -> None:
    """A route opens with a look and ends in its one check; fittings come off before stripping, sanding or coating."""
    where = f"Route {route.key!r}"
    kinds = [step.does for step in route.steps]
    opening = route.steps[0]
    if opening.does != "look" or opening.over != "piece" or opening.optional:
        raise BadInput(
            f"{where} must open with a look at the whole piece.", "Make the first step one that does 'look'."
        )
    if kinds.count("check") != 1 or kinds[-1] != "check":
        raise BadInput(f"{where} must end in one check.", "Make the last step, and no other, one that does 'check'.")
    for step in route.steps:
        if step.over == "fault":
            raise BadInput(
                f"{where}, step {step.key!r}: over is 'fault'.", "Faults are put right by repairs, not by a route."
            )
    if "take-down" in kinds:
        early = [s.key for s in route.steps[: kinds.index("take-down")] if s.does in ("strip", "sand", "coat", "metal")]
        if early:
            raise BadInput(f"{where}: {early[0]!r} comes before the take-down.", "Move the take-down above it.")


def _check_products(steps: Iterable[RouteStep], products: Mapping[str, str], where: str) -> None:
    """Every role that dries by its label has a coating class to fall back on."""
    for step in steps:
        if step.product and step.product not in products and step.product not in ROLES_WITHOUT_CLASS:
            raise BadInput(
                f"{where}, step {step.key!r}: it uses the {step.product}, but products says nothing of a {step.product}.",
                f"Add {step.product} with the coating class to use, as in {step.product} = 'shellac'.",
            )
