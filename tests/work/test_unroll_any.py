"""What holds for any piece on any route, ready-made or edited, tried on random ones."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st
from tests.work.work_tools import REPAIRS, ROUTES, before

from tallboy.tables import load
from tallboy.work.job import FaultItem, Job, PartItem, Surface, Unrolled
from tallboy.work.route import Route, RouteStep, route_from_dict, route_to_dict
from tallboy.work.unroll import unroll
from tallboy.work.words import DECISIONS, DOES, FINISH_WORK, GROUPS, OUTSIDE

KINDS = [row["key"] for row in load("kinds")["parts"]]
ALL_STEPS = [step for route in ROUTES.values() for step in route.steps]
ALL_STEPS += [step for repair in REPAIRS.values() for step in repair.steps]
OPTIONS = sorted({step.key for step in ALL_STEPS if step.optional})
COATED = ("sealer", "primer", "topcoat", "oil")


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Any piece: some surfaces, parts and faults, with or without old paint."""
    groups = draw(st.lists(st.sampled_from(GROUPS), max_size=8))
    parts = draw(st.lists(st.tuples(st.sampled_from(KINDS), st.sampled_from(DECISIONS)), max_size=14))
    kinds = draw(st.lists(st.sampled_from([*REPAIRS, "never seen"]), max_size=4))
    return Job(
        surfaces=tuple(Surface(f"s{i}", f"surface {i}", g, draw(st.floats(0, 5))) for i, g in enumerate(groups)),
        parts=tuple(PartItem(f"p{i}", f"{kind} {i}", kind, choice) for i, (kind, choice) in enumerate(parts)),
        faults=tuple(FaultItem(f"f{i}", kind, "somewhere", kind) for i, kind in enumerate(kinds)),
        coats=draw(st.dictionaries(st.sampled_from(COATED), st.integers(0, 4))),
        options=frozenset(draw(st.lists(st.sampled_from(OPTIONS)))),
        old_paint_unknown=draw(st.booleans()),
        lead_test_recorded=draw(st.booleans()),
        lead_found=draw(st.booleans()),
        has_old_finish=draw(st.booleans()),
    )


@st.composite
def any_routes(draw: st.DrawFn) -> Route:
    """Any route that a reader accepts: random steps in random order, following random earlier steps."""
    middle: list[RouteStep] = []
    for number in range(draw(st.integers(0, 8))):
        does = draw(st.sampled_from([does for does in DOES if does != "check"]))
        product = draw(st.sampled_from(["topcoat", "sealer"])) if does in ("coat", "glue") else ""
        if does == "rub-down":
            product = draw(st.sampled_from(["", "topcoat"]))
        above = ["look", *(s.key for s in middle)]
        middle.append(
            RouteStep(
                key=f"step-{number}",
                title=f"Step {number}" + draw(st.sampled_from(["", " on the {part}", " on the {surface}"])),
                does=does,
                over=draw(st.sampled_from(["piece", "surface", "part"])),
                groups=tuple(draw(st.lists(st.sampled_from(GROUPS), unique=True, max_size=3))),
                minutes=draw(st.floats(0, 60)),
                product=product,
                coats=draw(st.integers(1, 3)) if does == "coat" else 1,
                after=tuple(draw(st.lists(st.sampled_from(above), unique=True, max_size=3))),
                wait_kind="drying",
                from_label=draw(st.sampled_from(["", "recoat"])),
                least_minutes=draw(st.sampled_from([0, 60])),
                dusty=draw(st.booleans()),
                optional=draw(st.booleans()),
            )
        )
    downs = [s for s in middle if s.does == "take-down" and not s.after]
    rest = [s for s in middle if s.does != "take-down"]
    kept = {"look", *(s.key for s in downs)}
    steps = [RouteStep("look", "Look", "look"), *downs]
    for one in rest:
        steps.append(replace(one, after=tuple(key for key in one.after if key in kept)))
        kept.add(one.key)
    steps.append(RouteStep("check", "Check", "check"))
    route = Route("any", "Any", "", tuple(steps), {"topcoat": "oil varnish", "sealer": "shellac"})
    return route_from_dict(route_to_dict(route))


def hold_for_any(plan: Unrolled, job: Job) -> dict[str, set[str]]:
    """What every plan keeps; gives for each step the steps before it."""
    keys = [step.key for step in plan.steps]
    assert len(set(keys)) == len(keys)
    place = {key: index for index, key in enumerate(keys)}
    assert all(place[wait.first] < place[wait.then] for wait in plan.waits)
    pairs = [(wait.first, wait.then) for wait in plan.waits]
    assert len(set(pairs)) == len(pairs), "one wait for each pair of steps"
    earlier = before(plan)
    assert all(keys[0] in earlier[key] for key in keys[1:]), "every step is reached from the first"
    assert set(keys[:-1]) == earlier[keys[-1]], "every step ends in the last"
    assert plan.steps[-1].does == "check"
    for step in plan.steps:
        assert step.minutes % 5 == 0
        assert step.minutes >= 5
        assert 0 <= step.spread_minutes <= step.minutes
        assert "{" not in step.title
    assert {step.fault_key for step in plan.steps} >= {fault.key for fault in job.faults}
    return earlier


def repairs_hold_the_finish(plan: Unrolled, job: Job, earlier: dict[str, set[str]]) -> None:
    """No finishing of the piece, beside rubbing of parts, starts before the last repair of the wood."""
    kinds = {fault.key: REPAIRS.get(fault.kind, REPAIRS["other"]).before for fault in job.faults}
    wood = {step.key for step in plan.steps if kinds.get(step.fault_key) == "finish"}
    fittings = {step.key for step in plan.steps if kinds.get(step.fault_key) == "put-back"}
    for step in plan.steps:
        if step.fault_key == "" and step.does in FINISH_WORK:
            assert wood <= earlier[step.key]
    for step in [step for step in plan.steps if step.does == "put-back"][:1]:
        assert fittings <= earlier[step.key]


def lead_comes_first(plan: Unrolled, job: Job, earlier: dict[str, set[str]]) -> None:
    """Where a test is due it comes before all but looking; where lead is to be minded, dust carries the caution."""
    due = job.old_paint_unknown and not job.lead_test_recorded and not job.lead_found
    keys = [step.key for step in plan.steps]
    assert ("lead-test" in keys) is due
    for step in plan.steps[: keys.index("lead-test")] if due else ():
        assert step.does == "look"
    for step in plan.steps[keys.index("lead-test") + 1 :] if due else ():
        assert "lead-test" in earlier[step.key]
    direct = {wait.then for wait in plan.waits if wait.first == "lead-test"}
    for step in plan.steps:
        if step.dusty or step.does in ("strip", "sand"):
            assert ("lead" in step.cautions) is (due or job.lead_found)
            assert step.key in direct or not due


@settings(max_examples=150, deadline=None)
@given(key=st.sampled_from(sorted(ROUTES)), job=jobs())
def test_any_piece_on_a_ready_route(key: str, job: Job) -> None:
    """One root, one end, no ring, nothing forgotten; repairs before finishing; lead first; fittings back last."""
    plan = unroll(ROUTES[key], REPAIRS, job)
    earlier = hold_for_any(plan, job)
    repairs_hold_the_finish(plan, job, earlier)
    lead_comes_first(plan, job, earlier)
    back = [step.key for step in plan.steps if step.does == "put-back"]
    fittings = {step.key for step in plan.steps if step.does in ("metal", "fetch", "take-down") and not step.fault_key}
    assert bool(back) is bool(job.parts)
    assert all(fittings <= earlier[one] for one in back)
    woodwork = {step.key for step in plan.steps if step.does in ("strip", "sand", "coat") and not step.fault_key}
    assert all(woodwork.isdisjoint(earlier[one]) for one in fittings)


@settings(max_examples=100, deadline=None)
@given(key=st.sampled_from(["strip-refinish", "paint-over", "oil", "shellac"]), job=jobs())
def test_no_part_and_no_outside_surface_is_left_out(key: str, job: Job) -> None:
    """Every part comes off and goes back, dirty ones are cleaned, and every outside surface is coated."""
    steps = unroll(ROUTES[key], REPAIRS, replace(job, coats={})).steps
    for does in ("take-down", "put-back"):
        assert {part for step in steps if step.does == does for part in step.part_keys} == {
            part.key for part in job.parts
        }
    cleaned = {part for step in steps if step.does == "metal" for part in step.part_keys}
    assert cleaned == {part.key for part in job.parts if part.decision in ("clean", "repair")}
    fetched = {part for step in steps if step.does == "fetch" for part in step.part_keys}
    assert fetched == {part.key for part in job.parts if part.decision == "replace"}
    coated = {surface for step in steps if step.does == "coat" for surface in step.surface_keys}
    assert coated == {surface.key for surface in job.surfaces if surface.group in OUTSIDE}


@settings(max_examples=300, deadline=None)
@given(route=any_routes(), job=jobs())
def test_any_edited_route_still_makes_a_plan(route: Route, job: Job) -> None:
    """However people edit a route, what a reader accepts unrolls into one graph with a beginning and an end."""
    plan = unroll(route, REPAIRS, job)
    earlier = hold_for_any(plan, job)
    repairs_hold_the_finish(plan, job, earlier)
    lead_comes_first(plan, job, earlier)


@settings(max_examples=50, deadline=None)
@given(key=st.sampled_from(sorted(ROUTES)), job=jobs())
def test_the_same_piece_unrolls_the_same_and_keys_outlive_a_new_fault(key: str, job: Job) -> None:
    """A step keeps its key when a fault is recorded later, so work already done stays found."""
    plan = unroll(ROUTES[key], REPAIRS, job)
    assert unroll(ROUTES[key], REPAIRS, job) == plan
    more = replace(job, faults=(*job.faults, FaultItem("later", "burn", "top", "Burn")))
    assert {step.key for step in plan.steps} < {step.key for step in unroll(ROUTES[key], REPAIRS, more).steps}
