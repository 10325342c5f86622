"""The tables of routes, repairs, cautions and kinds: complete, consistent, and safe by the shop's own rules.

Wording, minutes and waits are common practice with no source; what is tested is that nothing is missing or left hanging.
"""

from __future__ import annotations

import re
from typing import Any

import pytest

from tallboy.tables import load
from tallboy.tables.coatings import cautions_for
from tallboy.work.job import FaultItem, Job, PartItem, Surface
from tallboy.work.kinds import kind_names
from tallboy.work.route import Repair, Route, RouteStep, check_names, repairs_from_table, routes_from_table
from tallboy.work.unroll import LEAD_TEST, unroll
from tallboy.work.words import GROUPS, ROLES, ROLES_WITHOUT_CLASS

ROUTES = routes_from_table(load("routes"))
REPAIRS = repairs_from_table(load("repairs"))
CAUTIONS: dict[str, dict[str, Any]] = {row["key"]: row for row in load("cautions")["cautions"]}
PARTS = load("kinds")["parts"]
PIECES = load("kinds")["pieces"]
CLASSES = {row["key"] for row in load("coatings")["coatings"]}

SUBJECTS: list[Route | Repair] = [*ROUTES.values(), *REPAIRS.values()]
STEPS = [(subject.name, step) for subject in SUBJECTS for step in subject.steps]
FINISHING = ("strip-refinish", "paint-over", "oil", "shellac", "wax-only")

FAULTS = (
    "loose joint", "lifting veneer", "missing veneer", "old holes", "stripped screw hole", "worn runner", "woodworm", "odour",
    "water ring", "split panel", "broken wheel", "bent hinge", "missing fitting", "stain", "burn", "other",
)  # fmt: skip
KINDS_OF_PART = (
    "hinge", "pull", "knob", "escutcheon", "lock", "catch", "bolt", "hook", "bracket", "corner", "wheel", "rail", "foot",
    "screw set", "other",
)  # fmt: skip
KINDS_OF_PIECE = (
    "dresser", "chest", "wardrobe", "desk", "bedside", "table", "chair", "trolley", "hall stand", "writing slope", "mirror",
    "box", "other",
)  # fmt: skip
NEEDED_CAUTIONS = {
    "solvent-vapour", "open-flame", "dust", "lead", "oily-rags", "heat", "heavy-lift", "woodworm-fluid", "caustic", "acid",
    "two-part-resin", "sharp",
}  # fmt: skip


def named(steps: list[tuple[str, RouteStep]]) -> list[Any]:
    """The steps as test cases, each under the name of its route and its key."""
    return [pytest.param(step, id=f"{name}: {step.key}") for name, step in steps]


def words_of(step: RouteStep) -> str:
    """Everything a step says, in small letters."""
    return " ".join((step.title, step.note, step.wait_text, *step.needs)).lower()


def test_the_tables_are_complete() -> None:
    """Row by row what the shop knows; a lost or doubled row shows."""
    assert tuple(ROUTES) == ("strip-refinish", "paint-over", "oil", "shellac", "wax-only", "hardware-only")
    assert tuple(REPAIRS) == FAULTS
    assert tuple(row["key"] for row in PARTS) == KINDS_OF_PART
    assert tuple(row["key"] for row in PIECES) == KINDS_OF_PIECE
    assert set(CAUTIONS) >= NEEDED_CAUTIONS
    for table, rows in (("routes", 6), ("repairs", 16), ("cautions", 24)):
        assert len(load(table)[table]) == rows


@pytest.mark.parametrize("subject", SUBJECTS, ids=lambda subject: subject.name)
def test_every_name_is_known(subject: Route | Repair) -> None:
    """Cautions, coating classes and kinds of part that are named are in their tables."""
    check_names(subject, CAUTIONS, CLASSES, KINDS_OF_PART)


def test_every_coating_class_brings_its_cautions() -> None:
    """Every caution that a material or the lead test brings exists; one of no known class is taken for the worst."""
    brought = {caution for key in CLASSES for caution in cautions_for(key)}
    assert brought | set(cautions_for("no such class")) | set(LEAD_TEST.cautions) <= set(CAUTIONS)
    assert {"solvent-vapour", "open-flame", "oily-rags"} <= set(cautions_for("no such class"))


def test_drying_oils_bring_the_oily_rags_and_solvents_the_flame() -> None:
    """What heats itself: linseed and other drying oils, and the varnishes and alkyds made of them (29 CFR 1910.107(g)(3))."""
    oily = {key for key in CLASSES if "oily-rags" in cautions_for(key)}
    named_oily = {key for key in CLASSES if re.search(r"\b(oil|alkyd)\b", key)}
    assert oily == named_oily
    for key in ("shellac", "nitrocellulose lacquer", "alkyd paint", "oil varnish"):
        assert {"solvent-vapour", "open-flame"} <= set(cautions_for(key))


@pytest.mark.parametrize("row", CAUTIONS.values(), ids=list(CAUTIONS))
def test_a_caution_is_short_and_plain(row: dict[str, Any]) -> None:
    """One or two words, then at most four plain sentences, with what stands behind them."""
    assert 1 <= len(row["title"].split()) <= 2
    sentences = re.findall(r"[^.!?]+[.!?](?:\s|$)", row["text"])
    assert 1 <= len(sentences) <= 4
    assert len(row["text"]) <= 420
    assert row["text"].endswith(".")
    assert row["evidence"]


@pytest.mark.parametrize("key", ["lead", "oily-rags", "solvent-vapour", "spray", "woodworm-fluid", "stripper"])
def test_the_law_comes_first_where_there_is_one(key: str) -> None:
    """These defer to local rules, to the label, or to what is allowed."""
    assert re.search(r"local rules|label|allowed", CAUTIONS[key]["text"].lower())


@pytest.mark.parametrize("step", named(STEPS))
def test_a_step_speaks_plainly(step: RouteStep) -> None:
    """Titles do not end in a stop, notes and waits do; a wait says why; hands-on time and its spread are given."""
    assert not step.title.endswith(".")
    assert len(step.title.replace("{fault}", "").replace("{part}", "")) <= 75
    assert not step.note or step.note.endswith((".", "?"))
    assert (step.wait_kind != "order") == bool(step.wait_text)
    assert not step.wait_text or step.wait_text.endswith(".")
    assert step.minutes > 0
    assert 0 < step.spread <= 0.8


@pytest.mark.parametrize("step", named([(name, step) for name, step in STEPS if step.dusty]))
def test_dusty_steps_carry_the_dust_caution(step: RouteStep) -> None:
    """Sanding and rubbing down are dusty, and dust is cautioned."""
    assert "dust" in step.cautions


@pytest.mark.parametrize("step", named([(name, step) for name, step in STEPS if step.does in ("sand", "rub-down")]))
def test_sanding_is_marked_dusty(step: RouteStep) -> None:
    """So that no wet coat stands beside it."""
    assert step.dusty


RULES = (
    (r"\bacid\b.*oxalic|oxalic acid, dissolved", "acid"),
    (r"\b(white spirit|alcohol to clean|damp with alcohol|woodworm fluid)\b", "solvent-vapour"),
    (r"\b(drill|router)\b", "machines"),
    (r"\b(chisel|scraper|sharp knife|plane|curved blade)\b", "sharp"),
    (r"\b(iron, just warm|warm knife|dull red)\b", "heat"),
    (r"\b(resin)\b", "two-part-resin"),
    (r"\bmouse|disinfectant\b", "droppings"),
    (r"\bvice with soft jaws\b", "bench-metal"),
)


@pytest.mark.parametrize(("pattern", "caution"), RULES, ids=[rule[1] for rule in RULES])
def test_what_can_hurt_is_cautioned_beside_the_step(pattern: str, caution: str) -> None:
    """A step that needs the thing carries the caution, or its product brings it; the rule finds at least one step."""
    found = [
        (name, step)
        for name, step in STEPS
        if re.search(pattern, " ".join((step.title, *step.needs)).lower()) and step.does != "strip"
    ]
    assert found
    for name, step in found:
        of_class = _class_of(name, step)
        brought = cautions_for(of_class) if of_class else ()
        assert caution in (*step.cautions, *brought), f"{name}: {step.key}"


def _class_of(name: str, step: RouteStep) -> str:
    subject = next(subject for subject in SUBJECTS if subject.name == name)
    return subject.products.get(step.product, "")


@pytest.mark.parametrize("step", named([(name, step) for name, step in STEPS if step.does == "strip"]))
def test_stripping_cautions_vapour(step: RouteStep) -> None:
    """Every stripping step, down to the wash."""
    assert "solvent-vapour" in step.cautions


@pytest.mark.parametrize("step", named(STEPS))
def test_noise_solvent_and_flame_go_with_their_cautions(step: RouteStep) -> None:
    """A step of its own solvent cautions the vapour and the other way round; so do flame and heat; machines make noise."""
    assert step.solvent == ("solvent-vapour" in step.cautions)
    assert step.ignition == ("heat" in step.cautions)
    assert step.noisy or "machines" not in step.cautions
    assert not re.search(r"\b(iron, just warm|hair dryer|warm knife)\b", words_of(step)) or step.ignition


@pytest.mark.parametrize("step", named([(name, step) for name, step in STEPS if step.does == "glue"]))
def test_what_is_glued_under_clamps_says_how_many(step: RouteStep) -> None:
    """Two to four are usual; plugs need none. Common practice, no source."""
    assert (2 <= step.clamps <= 4) == ("clamp" in words_of(step))


def test_nobody_is_kept_from_a_ready_route_by_a_skill() -> None:
    """Which skills there are is for each shop to say."""
    assert not any(step.skill for _name, step in STEPS)


@pytest.mark.parametrize("repair", [r for r in REPAIRS.values() if any(s.does == "glue" for s in r.steps)], ids=str)
def test_glue_stays_in_clamps_before_the_next_step(repair: Repair) -> None:
    """The step after a glue step waits for the clamps, two hours at the least."""
    for glue, then in zip(repair.steps, repair.steps[1:], strict=False):
        if glue.does == "glue":
            assert then.wait_kind == "clamps"
            assert then.least_minutes >= 120
    assert repair.steps[-1].does != "glue"


@pytest.mark.parametrize("repair", REPAIRS.values(), ids=list(REPAIRS))
def test_a_repair_ends_in_hands_not_in_a_wait(repair: Repair) -> None:
    """So that what comes after it may start at once; every step shows its fault."""
    assert repair.steps[-1].does not in ("glue", "fill", "coat")
    assert all("{fault}" in step.title for step in repair.steps)


@pytest.mark.parametrize("key", ["strip-refinish", "paint-over", "oil", "shellac"])
def test_fittings_go_back_on_a_hard_finish(key: str) -> None:
    """The put-back counts from the last coat, a day at the least and what the label says."""
    route = ROUTES[key]
    last = [step.key for step in route.steps if step.does == "coat"][-1]
    back = next(step for step in route.steps if step.does == "put-back")
    assert back.after[0] == last
    assert back.wait_kind == "cure"
    assert back.least_minutes >= 1440
    assert back.from_label in ("recoat", "cure")


@pytest.mark.parametrize("route", ROUTES.values(), ids=list(ROUTES))
def test_a_route_photographs_first_takes_down_next_and_checks_last(route: Route) -> None:
    """And puts back just before the check."""
    does = [step.does for step in route.steps]
    assert does[:2] == ["look", "take-down"]
    assert does[-2:] == ["put-back", "check"]
    assert "photograph" in route.steps[0].title.lower()


@pytest.mark.parametrize("route", ROUTES.values(), ids=list(ROUTES))
def test_a_route_uses_every_product_it_names(route: Route) -> None:
    """No class is given for a role that no step uses; every role has a class or needs none."""
    used = {step.product for step in route.steps if step.product}
    assert set(route.products) == used - set(ROLES_WITHOUT_CLASS)
    assert used <= set(ROLES)


@pytest.mark.parametrize("key", FINISHING)
@pytest.mark.parametrize("kind", [row["key"] for row in PIECES])
def test_every_kind_of_piece_makes_a_plan_of_a_size_to_read(key: str, kind: str) -> None:
    """With one surface of each group the kind shows, six parts and two faults: some twenty to thirty steps, not fifty."""
    row = next(row for row in PIECES if row["key"] == kind)
    job = Job(
        surfaces=tuple(Surface(group, group, group, 0.5) for group in row["groups"]),
        parts=tuple(PartItem(f"p{i}", "hinge", "hinge", "clean") for i in range(6)),
        faults=(FaultItem("a", "loose joint", "", "Loose joint"), FaultItem("b", "burn", "top", "Burn")),
        kind_names=kind_names(load("kinds")),
    )
    assert 12 <= len(unroll(ROUTES[key], REPAIRS, job).steps) <= 30


@pytest.mark.parametrize("row", PARTS, ids=lambda row: row["key"])
def test_kinds_of_part_are_sensible(row: dict[str, Any]) -> None:
    """Ranges run from low to high; gauges are wood screw numbers 0 to 24; a sentence says how it is fixed."""
    for name, low, high in (("screws_each", 0, 12), ("screw_gauge", 0, 24), ("screw_length_mm", 6, 150)):
        first, last = row[name]
        assert low <= first <= last <= high
    assert row["many"] != row["one"]
    assert isinstance(row["metal"], bool)
    assert row["fixed_by"]


@pytest.mark.parametrize("row", PIECES, ids=lambda row: row["key"])
def test_kinds_of_piece_show_known_surfaces(row: dict[str, Any]) -> None:
    """Groups are known, and one at least is seen from outside."""
    assert set(row["groups"]) <= set(GROUPS)
    assert "top" in row["groups"] or "front frame" in row["groups"]


def test_every_row_names_a_source() -> None:
    """One of the sources table, for every route, repair, caution and kind."""
    known = {row["key"] for row in load("sources")["sources"]}
    tables = [
        ("routes", "routes"),
        ("repairs", "repairs"),
        ("cautions", "cautions"),
        ("kinds", "parts"),
        ("kinds", "pieces"),
    ]
    for table, rows in tables:
        assert {row["source"] for row in load(table)[rows]} <= known


def test_minutes_are_marked_as_common_practice() -> None:
    """Nobody takes a first guess for a measured time."""
    for table in ("routes", "repairs", "kinds"):
        assert "common practice, no source" in load(table)["about"]["evidence"]
