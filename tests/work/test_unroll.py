"""Unrolling a route over a piece: an invented dresser step by step, and the minutes worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.work.work_tools import DRESSER, REPAIRS, ROUTES, before, step, wait

from tallboy.errors import BadInput
from tallboy.work.job import FaultItem, Job, PartItem, Product, Surface
from tallboy.work.route import Route, RouteStep
from tallboy.work.unroll import unroll


def test_a_dresser_stripped_and_refinished_is_about_thirty_steps() -> None:
    """Surfaces done in one go are one step, and so are fittings of a kind."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, DRESSER)
    assert 20 <= len(plan.steps) <= 30
    assert step(plan, "sand").surface_keys == ("s0", "s1", "s2", "s3", "s4", "s5")
    assert step(plan, "metal-clean:pull").title == "Clean the six cup pulls"
    assert step(plan, "metal-clean:hinge").part_keys == ("p6", "p7", "p8", "p9")
    assert [found.key for found in plan.steps[:2]] == ["photographs", "take-down"]
    assert plan.steps[-1].does == "check"


def test_minutes_are_for_each_item_and_each_square_metre() -> None:
    """By hand, outside 3.3 m²: sanding 15 + 35 × 3.3 = 130.5, up to 135, spread 0.4 of it; 13 fittings × 5 = 65."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, DRESSER)
    assert (step(plan, "sand").minutes, step(plan, "sand").spread_minutes) == (135, 54)
    assert step(plan, "take-down").minutes == 65
    assert step(plan, "clean-inside").minutes == 40  # 10 + 8 × 3.2 = 35.6
    assert step(plan, "metal-clean:lock").minutes == 10


def test_a_step_takes_along_what_its_route_says_it_needs() -> None:
    """Skill, noise, flame and clamps as the route has them, in every step that it becomes."""
    lay = RouteStep("lay", "Lay it", "glue", skill="veneering", noisy=True, ignition=True, clamps=4)
    route = Route("x", "X", "", (RouteStep("look", "Look", "look"), lay, RouteStep("check", "Check", "check")))
    made = step(unroll(route, {}, Job()), "lay")
    assert (made.skill, made.noisy, made.ignition, made.clamps, made.solvent) == ("veneering", True, True, 4, False)
    assert step(unroll(ROUTES["strip-refinish"], REPAIRS, DRESSER), "repair/f1/glue").clamps == 4


@pytest.mark.parametrize(
    ("class_key", "solvent"),
    [("shellac", True), ("acrylic paint", False), ("boiled linseed oil", False), ("no such class", True)],
)
def test_what_is_in_the_can_makes_an_open_solvent(class_key: str, solvent: bool) -> None:
    """Of a class that nobody knows the worse is taken; the route's own word holds whatever is in the can."""
    job = replace(DRESSER, products={"topcoat": Product("p", "the can", class_key)})
    plan = unroll(ROUTES["paint-over"], REPAIRS, job)
    assert step(plan, "topcoat#1").solvent == step(plan, "topcoat#2").solvent == solvent
    assert step(plan, "wash").solvent
    assert not step(plan, "check").solvent


def test_doors_and_drawer_fronts_lie_on_the_rack_while_they_are_wet() -> None:
    """By hand: fronts 0.5 m² and doors 0.7 m² are 120 dm²; the carcase takes no room, and neither does what is not coated."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, DRESSER)
    assert step(plan, "topcoat#1").rack_dm2 == 120
    assert step(plan, "sand").rack_dm2 == 0
    carcase = replace(DRESSER, surfaces=tuple(s for s in DRESSER.surfaces if s.group not in ("doors", "drawer fronts")))
    assert step(unroll(ROUTES["strip-refinish"], REPAIRS, carcase), "topcoat#1").rack_dm2 == 0
    crumb = replace(DRESSER, surfaces=(Surface("s", "fall", "doors", 0.3512),))
    assert step(unroll(ROUTES["strip-refinish"], REPAIRS, crumb), "topcoat#1").rack_dm2 == 36


def test_coats_follow_one_another_by_the_label_with_a_rub_down_between() -> None:
    """Three coats, two rub-downs; each coat waits for the one before as its label says."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, replace(DRESSER, coats={"topcoat": 3}))
    coats = [found for found in plan.steps if found.route_key == "topcoat"]
    assert [(found.key, found.coat_number, found.coats) for found in coats] == [
        ("topcoat#1", 1, 3),
        ("topcoat#2", 2, 3),
        ("topcoat#3", 3, 3),
    ]
    assert coats[1].title == "Brush on the topcoat, coat 2 of 3"
    for first, then in (("topcoat#1", "topcoat#2"), ("topcoat#2", "rub-between#2"), ("seal#1", "rub-sealer")):
        assert (wait(plan, first, then).kind, wait(plan, first, then).from_label) == ("drying", "recoat")
    assert step(plan, "rub-between#2").dusty
    assert wait(plan, "rub-between#2", "topcoat#3").kind == "order"


def test_no_coat_no_rub_down() -> None:
    """Leaving the sealer out leaves its rub-down out, and the put-back then waits for nothing that is not there."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, replace(DRESSER, coats={"sealer": 0, "topcoat": 1}))
    keys = {found.key for found in plan.steps}
    assert keys.isdisjoint({"seal#1", "rub-sealer", "rub-between#1"})
    assert wait(plan, "sand", "topcoat#1").kind == "order"
    assert step(plan, "topcoat#1").title == "Brush on the topcoat"


def test_the_can_gives_its_name_to_the_step() -> None:
    """A chosen product is spoken of by name."""
    can = Product("can-3", "clear oil varnish", "oil varnish")
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, replace(DRESSER, products={"topcoat": can}))
    assert step(plan, "topcoat#1").title == "Brush on the clear oil varnish, coat 1 of 2"


def test_the_can_brings_its_own_cautions() -> None:
    """Waterborne varnish has no oily rags, oil varnish has; a can of unknown class is taken for the worse."""

    def cautions(class_key: str) -> tuple[str, ...]:
        job = replace(DRESSER, products={"topcoat": Product("can", "varnish", class_key)})
        return step(unroll(ROUTES["strip-refinish"], REPAIRS, job), "topcoat#1").cautions

    assert cautions("waterborne varnish") == ("wet-coat",)
    assert {"solvent-vapour", "open-flame", "oily-rags"} == set(cautions("oil varnish"))
    assert cautions("") == cautions("a new class") == cautions("oil varnish")


def test_every_step_knows_the_class_of_its_own_product() -> None:
    """Hide glue for the joint, carpenter's white glue for the plug, though both are the glue."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, DRESSER)
    found = [
        step(plan, key).class_key for key in ("repair/f1/glue", "repair/f2/plug", "topcoat#1", "seal#1", "strip-on")
    ]
    assert found == ["hide glue", "pva glue", "oil varnish", "shellac", ""]


def test_repairs_of_the_wood_come_after_stripping_and_before_sanding() -> None:
    """A joint is glued on wood that has dried after the wash, and the glue is hard before the sanding."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, DRESSER)
    earlier = before(plan)
    assert {"repair/f1/unclamp", "repair/f2/pilot"} <= earlier["sand"]
    assert wait(plan, "strip-wash", "repair/f1/open").least_minutes == 1440
    assert wait(plan, "strip-wash", "sand").kind == "drying"
    clamps = wait(plan, "repair/f1/glue", "repair/f1/unclamp")
    assert (clamps.kind, clamps.least_minutes) == ("clamps", 720)
    assert step(plan, "repair/f1/glue").title == "Try dry, then glue and clamp: Loose joint (left rear leg)"


def test_fittings_fill_the_drying_time_of_the_wood() -> None:
    """Metal, stand-ins and mending of fittings wait for the take-down only, and only the put-back waits for them."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, DRESSER)
    earlier = before(plan)
    side = ["metal-clean:pull", "fetch:knob", "metal-protect", "mend:lock", "repair/f3/suit"]
    for key in side:
        assert "strip-on" not in earlier[key]
        assert "take-down" in earlier[key]
        assert key in earlier["put-back"]
        assert key not in earlier["topcoat#2"]
    assert step(plan, "metal-protect").part_keys == (*(f"p{i}" for i in range(10)), "p11")


def test_put_back_waits_until_the_last_coat_can_be_handled() -> None:
    """The label's time and two days at least for varnish; the label's hardening time for shellac."""
    varnish = wait(unroll(ROUTES["strip-refinish"], REPAIRS, DRESSER), "topcoat#2", "put-back")
    assert (varnish.kind, varnish.least_minutes, varnish.from_label) == ("cure", 2880, "recoat")
    shellac = wait(unroll(ROUTES["shellac"], REPAIRS, DRESSER), "topcoat#4", "put-back")
    assert (shellac.kind, shellac.from_label) == ("cure", "cure")


def test_untested_old_paint_is_tested_first() -> None:
    """Only looking comes before the lead test; what makes dust or rubs at paint waits for it, and carries the caution."""
    plan = unroll(ROUTES["paint-over"], REPAIRS, replace(DRESSER, old_paint_unknown=True))
    assert [one.key for one in plan.steps[:3]] == ["photographs", "lead-test", "take-down"]
    assert "lead-test" not in before(plan)["photographs"]
    assert all("lead-test" in before(plan)[one.key] for one in plan.steps[2:])
    for key in ("wash", "key", "flush", "metal-clean:pull"):
        assert wait(plan, "lead-test", key).text == "The old paint must be tested for lead first."
        assert step(plan, key).cautions[0] == "lead"
    assert "lead" not in step(plan, "topcoat#1").cautions


def test_paint_with_lead_is_sanded_wet() -> None:
    """The title says so, and the list of tools too: no dry paper, no vacuum and no mask that let fine dust through."""
    job = replace(DRESSER, old_paint_unknown=True, lead_test_recorded=True, lead_found=True)
    sand = step(unroll(ROUTES["paint-over"], REPAIRS, job), "key")
    assert sand.title == "Sand the old finish dull, wet"
    assert sand.needs == (
        "Wet-and-dry paper 150 and 220", "Sanding block",
        "Water spray: keep the dust wet", "Vacuum with a class H (HEPA) filter", "P3 or P100 mask",
    )  # fmt: skip
    assert sand.cautions[0] == "lead"
    between = step(unroll(ROUTES["paint-over"], REPAIRS, job), "rub-between#1")
    assert "Wet-and-dry paper 320 or a fine pad" in between.needs
    assert step(unroll(ROUTES["paint-over"], REPAIRS, DRESSER), "key").title == "Sand the old finish dull"


@pytest.mark.parametrize(
    ("job", "tested", "cautioned"),
    [
        (DRESSER, False, False),
        (replace(DRESSER, old_paint_unknown=True, lead_test_recorded=True), False, False),
        (replace(DRESSER, old_paint_unknown=True, lead_test_recorded=True, lead_found=True), False, True),
        (replace(DRESSER, old_paint_unknown=True), True, True),
    ],
)
def test_the_lead_test_is_asked_for_once(job: Job, tested: bool, cautioned: bool) -> None:
    """A recorded test is not asked for again; lead that was found keeps the caution."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, job)
    assert any(one.key == "lead-test" for one in plan.steps) is tested
    assert ("lead" in step(plan, "sand").cautions) is cautioned


def test_bare_wood_is_not_stripped() -> None:
    """Without an old finish the stripping drops out, and the wait for its wash with it."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, replace(DRESSER, has_old_finish=False))
    assert not [found for found in plan.steps if found.does == "strip"]
    assert wait(plan, "clean-inside", "sand").kind == "order"


def test_optional_steps_come_when_asked_for() -> None:
    """The stain is off until wanted; then the sealer waits a day for it."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, replace(DRESSER, options=frozenset({"stain"})))
    assert wait(plan, "stain#1", "seal#1").least_minutes == 1440
    plain = unroll(ROUTES["strip-refinish"], REPAIRS, DRESSER)
    assert not [found for found in plain.steps if found.route_key == "stain"]


def test_a_piece_of_which_nothing_is_recorded_yet_still_gets_a_plan() -> None:
    """No surfaces, parts or faults: the woodwork with its fixed minutes, and nothing for fittings."""
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, Job())
    assert {"photographs", "strip-on", "sand", "topcoat#1", "check"} <= {found.key for found in plan.steps}
    assert not [found for found in plan.steps if found.does in ("take-down", "metal", "put-back")]
    assert wait(plan, "topcoat#2", "check").from_label == "recoat"


def test_a_step_over_each_surface_keeps_to_its_surface() -> None:
    """Sanding and coating surface by surface: the side is coated when the side is sanded; the check waits for all."""
    steps = (
        RouteStep("look", "Look", "look"),
        RouteStep("sand", "Sand the {surface}", "sand", over="surface", minutes_per_m2=20),
        RouteStep("oil", "Oil the {surface}", "coat", over="surface", product="oil", coats=2, minutes=5),
        RouteStep("check", "Check", "check"),
    )
    route = Route("each", "Each", "", steps, {"oil": "boiled linseed oil"})
    job = Job(surfaces=(Surface("a", "top", "top", 1.0), Surface("b", "left side", "sides", 0.5)))
    plan = unroll(route, REPAIRS, job)
    earlier = before(plan)
    assert step(plan, "sand:b").title == "Sand the left side"
    assert step(plan, "oil:a#2").title == "Oil the top, coat 2 of 2"
    assert "sand:b" not in earlier["oil:a#1"]
    assert {"oil:a#2", "oil:b#2"} <= earlier["check"]


def test_kinds_of_fault_without_a_repair_are_looked_at() -> None:
    """They take the repair for other faults; where there is none either, that is said."""
    fault = FaultItem("f9", "moon dust", "left", "Moon dust")
    plan = unroll(ROUTES["wax-only"], REPAIRS, Job(faults=(fault,)))
    assert step(plan, "repair/f9/look").title == "Look closely and decide what to do: Moon dust (left)"
    with pytest.raises(BadInput, match=r"No repair is known for the fault 'Moon dust' \(moon dust\)"):
        unroll(ROUTES["wax-only"], {}, Job(faults=(fault,)))


def test_a_blank_optional_bleach_is_in_the_repair_when_asked_for() -> None:
    """The last look then waits for the rinsed wood to dry."""
    fault = FaultItem("f1", "water ring", "top", "Black ring")
    plan = unroll(ROUTES["strip-refinish"], REPAIRS, Job(faults=(fault,), options=frozenset({"bleach", "rinse"})))
    assert wait(plan, "repair/f1/rinse", "repair/f1/look").kind == "drying"
    assert "acid" in step(plan, "repair/f1/bleach").cautions


@pytest.mark.parametrize(
    ("job", "says"),
    [
        (Job(surfaces=(Surface("a", "lid", "lid", 1.0),)), "Surface 'lid': its group is 'lid'"),
        (Job(surfaces=(Surface("a", "top", "top", -1.0),)), "its area is -1.0 m²"),
        (Job(surfaces=(Surface("a", "top", "top", float("nan")),)), "its area is nan m²"),
        (Job(surfaces=(Surface("a", "top", "top", 1.0),) * 2), "Two surfaces have the key 'a'"),
        (Job(parts=(PartItem("a", "hinge", "hinge", "paint"),)), "its decision is 'paint'"),
        (Job(parts=(PartItem("a", "hinge", "hinge"),) * 2), "Two parts have the key 'a'"),
        (Job(faults=(FaultItem("a", "burn", "", "Burn"),) * 2), "Two faults have the key 'a'"),
        (Job(coats={"topcoat": 13}), "Coats of topcoat: 13"),
        (Job(coats={"stripper": 1}), "the role is 'stripper'"),
    ],
)
def test_a_job_that_cannot_be_read_is_refused(job: Job, says: str) -> None:
    """The message names the surface, part, fault or role."""
    with pytest.raises(BadInput) as caught:
        unroll(ROUTES["oil"], REPAIRS, job)
    assert says in str(caught.value)


def test_a_long_ladder_of_steps_left_out_unrolls_at_once() -> None:
    """Each step follows the two above it and none is wanted: what stands in is found once, not along every path."""
    steps = [RouteStep("look", "Look", "look"), RouteStep("s0", "Step", "sand", optional=True)]
    for number in range(1, 100):
        after = (steps[-1].key, steps[-2].key)
        steps.append(RouteStep(f"s{number}", "Step", "sand", optional=True, after=after))
    steps.append(RouteStep("check", "Check", "check"))
    plan = unroll(Route("ladder", "Ladder", "", tuple(steps)), REPAIRS, Job())
    assert [found.key for found in plan.steps] == ["look", "check"]
    assert wait(plan, "look", "check").kind == "order"
