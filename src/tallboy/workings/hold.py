"""What a screw holds, the holes it wants, and what to do about one that holds no longer, as it is asked at the bench."""

from __future__ import annotations

from tallboy.sums import doors, hold
from tallboy.sums.holes import LEAD_HARD, LEAD_SOFT, Hinge, Rescue, lead_share, rescues, root_diameter
from tallboy.sums.units import IMPERIAL, format_length
from tallboy.tables.rows import Row
from tallboy.tables.screws import clearance, next_thicker, pilot, screw
from tallboy.workings import hold_words as words
from tallboy.workings.hold_words import Held
from tallboy.workings.kinds import Answer, Asked, Curve, Given, Got, Grid, Mark, Plot, Working
from tallboy.workings.telling import about, hung, rounded, said

CURVE_POINTS = 31
MOST_THREAD = 150.0
RESCUE_NAMES = {
    "sliver": "a sliver of wood with hide glue",
    "longer": "a longer screw of the same gauge",
    "plug": "a glued plug, grain along the board's",
    "dowel": "a glued dowel",
    "thicker": "the next gauge up",
}
STRIPPED_HINGE = "A hinge that is not measured is taken to be made for the screw: its hole as the shank's drill, its countersink as the head."


def _holding(given: Given) -> Answer:
    wood, gravity, by, thread = words.chosen(given)
    end, count, angle = given.choice("grain") == "end", given.whole("count"), given.number("angle")
    found = words.held(wood, gravity, by, thread, end)
    at, load = found.at(angle), given.maybe("load")
    one = words.spread(found.out)
    allowed = 0.0 if end else hold.screw_withdrawal_allowed(words.oven_dry(wood), by.shank_mm, thread)
    return Answer(
        results=(
            Got("out", "One holds straight out", one.middle, "N", one.low, one.high),
            Got("all", f"All {count} together", one.middle * count, "N", one.low * count, one.high * count),
            Got("mass", "That is the weight of", one.middle * count / doors.STANDARD_GRAVITY, "kg", digits=2),
            Got("allowed", "A building code lets hang from one", allowed, "N"),
            _sideways_got(found),
            *_load_gots(at, load, count),
        ),
        working=(
            words.withdrawal_line(gravity, by, thread, found.out, end),
            words.SCATTER_LINE,
            _allowed_line(words.oven_dry(wood), by.shank_mm, thread, allowed, end),
            *_sideways_lines(found, by.shank_mm, thread, angle, at),
        ),
        sources=("wood-handbook-2021", "nds-wood", str(given.row("screw").get("source", "definition")), "memory"),
        says=_holding_says(given, found, at, allowed),
        limits=((words.END_GRAIN_LIMIT,) if end else ())
        + words.short_limit(by, thread)
        + (*words.LIMITS, words.HAND_MADE),
        plots=(_thread_plot(gravity, by.shank_mm, thread, end),),
    )


def _sideways_got(found: Held) -> Got:
    label = "One begins to give sideways at"
    if found.sideways is None:
        return Got("sideways", label, "not known: the wood lies beyond the table, or the screw hardly goes in")
    return Got("sideways", label, found.sideways, "N")


def _load_gots(at: float | None, load: float | None, count: int) -> tuple[Got, ...]:
    if load is None or at is None:
        return ()
    times = doors.margin(at * count, load)
    return (Got("margin", "Against the load", words.margin_words(times)),)


def _allowed_line(gravity: float, shank: float, thread: float, allowed: float, end: bool) -> str:
    if end:
        return "a building code lets nothing hang straight from end grain"
    return f"allowed = 2850 psi × G² D L, G oven-dry = 19.65 × {gravity:.3g}² × {shank:g} × {thread:g} = {rounded(allowed)} N"


def _sideways_lines(found: Held, shank: float, thread: float, angle: float, at: float | None) -> tuple[str, ...]:
    if found.sideways is None:
        return ()
    share = min(thread / (hold.FULL_PENETRATION * shank), 1.0)
    first = f"sideways = K D² × {share:.2f} (penetration over 7 D) = {rounded(found.sideways)} N"
    if at is None or angle >= 90:
        return (first,)
    return (
        first,
        f"at {angle:g}° from the surface = P Q / (P sin² + Q cos²) = {rounded(at)} N, P sideways and Q straight out",
    )


def _holding_says(given: Given, found: Held, at: float | None, allowed: float) -> str:
    one, angle, name = words.spread(found.out), given.number("angle"), words.screw_words(given)
    told = [
        f"{name[0].upper()}{name[1:]} with {said(given, given.number('thread'), 'mm', None)} of thread in {words.wood_words(given)} "
        f"holds about {about(given, one.middle, 'N')} straight out until it lets go, a weak one {about(given, one.low, 'N')}."
    ]
    if _in_end_grain(given):
        told.append(words.END_GRAIN_WORDS)
    else:
        told.append(f"A building code lets only {about(given, allowed, 'N')} hang from it{hung(given, allowed)}.")
    if angle < 90 and at is not None:
        told.append(f"At {angle:g}° from the surface it holds about {about(given, at, 'N')}.")
    return " ".join([*told, *_load_words(given, at)])


def _load_words(given: Given, at: float | None) -> list[str]:
    load, count = given.maybe("load"), given.whole("count")
    if load is None:
        return []
    if at is None:
        return ["What it holds at that angle is not known."]
    many = f"{count} of them are" if count > 1 else "it is"
    return [f"For a load of {about(given, load, 'N')} {many} {words.margin_words(doors.margin(at * count, load))}."]


def _in_end_grain(given: Given) -> bool:
    return given.choice("grain") == "end"


def _thread_plot(gravity: float, shank: float, thread: float, end: bool) -> Plot:
    longest = min(max(2 * thread, 30.0), MOST_THREAD)
    x = tuple(longest * step / (CURVE_POINTS - 1) for step in range(CURVE_POINTS))
    found = [words.spread(hold.screw_withdrawal(gravity, shank, length, end_grain=end)) for length in x]
    return Plot(
        "More thread, more hold", "Thread in the wood", "mm", "Holds straight out", "N",
        (Curve("mean and scatter", x, tuple(one.middle for one in found), low=tuple(one.low for one in found), high=tuple(one.high for one in found)),),
        (Mark(thread, hold.screw_withdrawal(gravity, shank, thread, end_grain=end), "yours"),),
        says="It grows evenly with the thread until the screw itself breaks.",
    )  # fmt: skip


def _pilots(given: Given) -> Answer:
    row, wood = words.screw_row(given), given.row("wood")
    hard = not wood.get("softwood", False)
    by, hole, shank_hole = screw(row), pilot(row, hard), clearance(row)
    share = LEAD_HARD if hard else LEAD_SOFT
    results = [
        Got("pilot", "Pilot hole for the thread", hole.middle, "mm", hole.low, hole.high, 2),
        Got("pilot_inches", "In 64ths of an inch", f"{_inches(hole.low)} to {_inches(hole.high)}"),
        Got("shank_hole", "Hole for the shank", shank_hole, "mm", digits=2),
        Got("shank", "Shank", by.shank_mm, "mm"),
        Got("root", "Root of the thread", by.root_mm, "mm"),
    ]
    if by.head_mm is not None:
        results.append(Got("head", "Head across, at the most", by.head_mm, "mm"))
    return Answer(
        results=tuple(results),
        working=(
            f"root by the handbook = 2/3 × shank = 2/3 × {by.shank_mm:g} = {root_diameter(by.shank_mm):.2f} mm; the table's own screw: {by.root_mm:.2f} mm",
            f"pilot = {share:g} × root ({'hardwood' if hard else 'softwood'}) = {hole.middle:.2f} mm",
            f"charts, with the formula, print {hole.low:.2f} to {hole.high:.2f} mm",
            *_lead_lines(wood),
        ),
        sources=("wood-handbook-2021", "screw-drill-charts", "screw-trade-tables", "nds-wood"),
        cautions=("sharp",),
        says=f"Drill {hole.low:.1f} to {hole.high:.1f} mm ({_inches(hole.low)} to {_inches(hole.high)}) for the thread and {shank_hole:.1f} mm for the shank; "
        f"{hole.middle:.1f} mm is the handbook's for the thread.",
        limits=(
            "Take the larger one in dense, dry or brittle old wood and near an edge, the smaller one for the firmest hold; try it in a scrap.",
            "A brass screw follows a steel one of its size, with wax on the thread: brass shears.",
            "An old hand-made screw has a blunt end and a thicker root: measure the one in hand, and bore its hole to the full depth.",
        ),
        table=_pilot_grid(given, hard),
    )  # fmt: skip


def _inches(mm: float) -> str:
    return format_length(mm, IMPERIAL, 64)


def _lead_lines(wood: Row) -> tuple[str, ...]:
    """What a building code asks, where the wood's specific gravity is known."""
    if "gravity_12" not in wood and "basic_gravity" not in wood:
        return ()
    gravity = words.oven_dry(wood)
    share = lead_share(gravity)
    wants = f"{100 * share:.0f} % of the root" if share else "no hole at all, though an edge splits long before a beam"
    return (f"a building code wants, at {gravity:.2f} oven-dry: {wants}",)


def _pilot_grid(given: Given, hard: bool) -> Grid:
    rows = []
    for row in given.table("screws"):
        hole = pilot(row, hard)
        rows.append((f"No. {row['key']}", f"{float(row['shank_mm']):.2f} mm", f"{hole.low:.1f} to {hole.high:.1f} mm", f"{clearance(row):.1f} mm"))  # fmt: skip
    return Grid(
        ("Screw", "Shank", "Pilot", "Shank hole"), tuple(rows), f"Every screw, in {'hard' if hard else 'soft'}wood"
    )


def _stripped(given: Given) -> Answer:
    _wood, gravity, by, thread = words.chosen(given)
    row, load = given.row("screw"), given.maybe("load")
    thicker = screw(next_thicker(row, given.table("screws")))
    hinge = _hinge(given)
    found = rescues(gravity, by, thread, given.number("thickness"), hinge, thicker)
    as_it_was = hold.screw_withdrawal(gravity, by.shank_mm, thread)
    best = _best(found, load)
    whole = words.spread(as_it_was)
    return Answer(
        results=(
            Got("first", "Try first", RESCUE_NAMES[found[0].key]),
            Got("firm", "When that is not firm", RESCUE_NAMES[best.key] if best else "none of these will do"),
            Got("was", "It held when it was whole", whole.middle, "N", whole.low, whole.high),
            *_rescued_gots(found),
        ),
        working=(
            words.withdrawal_line(gravity, by, thread, as_it_was, False),
            *(_rescue_line(one, by.shank_mm, thicker.shank_mm) for one in found if one.holds_n is not None),
            f"the hinge lets a shank of {hinge.hole_mm:.2f} mm through and a head of {hinge.countersink_mm:.1f} mm lie flush; the next gauge is {thicker.shank_mm:.2f} mm",
            words.SCATTER_LINE,
        ),
        sources=("wood-handbook-2021", "screw-trade-tables", "screw-drill-charts", "common-practice"),
        cautions=("sharp",),
        says=_stripped_says(given, found, best),
        limits=(STRIPPED_HINGE, "Try what can be undone first, and put in the record what was done and with which glue.", *words.LIMITS),
        table=_rescue_grid(given, found),
    )  # fmt: skip


def _hinge(given: Given) -> Hinge:
    row = given.row("screw")
    head = screw(row).head_mm
    hole, sink = given.maybe("hinge_hole"), given.maybe("countersink")
    usual = 2 * screw(row).shank_mm if head is None else head
    return Hinge(clearance(row) if hole is None else hole, usual if sink is None else sink)


def _best(found: tuple[Rescue, ...], load: float | None) -> Rescue | None:
    """The first that fits and holds: amply where a load is known, else at all."""
    for one in found:
        if one.fits and one.holds_n is not None and _holds(one.holds_n, load):
            return one
    return None


def _holds(holds: float, load: float | None) -> bool:
    return holds > 0 if load is None else doors.margin(holds, load) >= doors.AMPLE


def _rescued_gots(found: tuple[Rescue, ...]) -> tuple[Got, ...]:
    out = []
    for one in found:
        if one.holds_n is not None:
            held = words.spread(one.holds_n)
            out.append(Got(one.key, _sentence(RESCUE_NAMES[one.key]), held.middle, "N", held.low, held.high))
    return tuple(out)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


def _rescue_line(one: Rescue, shank: float, thicker: float) -> str:
    how = {
        "longer": "the thread in fresh wood alone",
        "plug": "as the whole wood",
        "dowel": "three quarters, end grain",
        "thicker": f"{thicker:g} mm, in proportion to its bite: ({thicker:g} - {shank:g}) / ({thicker:g} - {root_diameter(thicker):.2f})",
    }[one.key]
    return f"{RESCUE_NAMES[one.key]}: {how} = {rounded(one.holds_n or 0.0)} N"


def _stripped_says(given: Given, found: tuple[Rescue, ...], best: Rescue | None) -> str:
    load = given.maybe("load")
    first = f"Try first {RESCUE_NAMES[found[0].key]}."
    if best is None:
        wanted = "" if load is None else f" {doors.AMPLE:g} times over against {about(given, load, 'N')}"
        return f"{first} Nothing else here holds{wanted}: patch the wood, or take weight off the hinge."
    return f"{first} When that is not firm, take {RESCUE_NAMES[best.key]}: it holds about {about(given, best.holds_n or 0.0, 'N')} until it lets go."


def _rescue_grid(given: Given, found: tuple[Rescue, ...]) -> Grid:
    rows = tuple(
        (_sentence(RESCUE_NAMES[one.key]), _held_words(given, one), "yes" if one.fits else "no", one.why)
        for one in found
    )
    return Grid(
        ("In this order", "Holds", "Goes", "For and against"), rows, "What can be undone and shows least comes first"
    )


def _held_words(given: Given, one: Rescue) -> str:
    load = given.maybe("load")
    if one.holds_n is None:
        return "not to be reckoned"
    against = "" if load is None else f", {words.margin_words(doors.margin(one.holds_n, load))}"
    return f"{about(given, one.holds_n, 'N')}{against}"


_LOAD = Asked("load", "Load on each", "N", 0.01, 100_000, needed=False, help="10 N is the weight of a kilogram.")

SUMS = (
    Working(
        name="screw-holding",
        family="hold",
        title="What a screw holds",
        asks="How much holds a wood screw, straight out and sideways?",
        inputs=(
            words.WOOD, words.GRAVITY, words.SCREW, words.ACROSS, words.THREAD, words.GRAIN,
            Asked("count", "How many screws", "", 1, 100, 1, kind="whole"),
            Asked("load", "Load on all of them", "N", 0.01, 100_000, needed=False, help="10 N is the weight of a kilogram."),
            Asked("angle", "Its angle from the surface", "°", 0, 90, 90.0, help="90 pulls straight out, 0 pushes sideways."),
        ),
        work=_holding,
        example={"wood": "black walnut", "screw": "8", "thread": "20 mm", "count": "3", "load": "150"},
    ),
    Working(
        name="pilot-holes",
        family="hold",
        title="Pilot and shank holes",
        asks="Which drills does a wood screw want?",
        inputs=(words.SCREW, words.ACROSS, words.WOOD),
        work=_pilots,
        example={"screw": "8", "wood": "white oak"},
    ),
    Working(
        name="stripped-hole",
        family="hold",
        title="A stripped screw hole",
        asks="How does a stripped hole hold again?",
        inputs=(
            words.WOOD, words.GRAVITY, words.SCREW, words.THREAD,
            Asked("thickness", "Thickness of the wood behind the hinge", "mm", 1, 500, 20.0),
            Asked("hinge_hole", "Hole in the hinge", "mm", 1, 12, needed=False),
            Asked("countersink", "Its countersink across", "mm", 1, 25, needed=False),
            _LOAD,
        ),
        work=_stripped,
        example={"wood": "eastern white pine", "screw": "6", "thread": "12 mm", "thickness": "22 mm", "load": "20"},
    ),
)  # fmt: skip
