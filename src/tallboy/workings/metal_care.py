"""What a metal bears, as it is asked at the bench: an agent on it, another metal beside it, a bath, a wood around it, lead."""

from __future__ import annotations

from tallboy.errors import BadInput
from tallboy.sums import agents as care
from tallboy.sums import galvanic, wood_metal
from tallboy.tables import agents as table_agents
from tallboy.tables.metals import index_of_row, wood_facts
from tallboy.tables.rows import Row
from tallboy.workings import metal_words as words
from tallboy.workings.kinds import Answer, Asked, Given, Got, Grid, Working

LEADED = ("lead", "pewter")
AREA_WORDS = {"worse": "worse than usual", "even": "as usual", "milder": "milder than usual"}

_METAL = Asked("metal", "Metal, or the plating on top", kind="row", table="metals")
_BASE = Asked("base", "What lies beneath a plating", kind="row", table="metals", needed=False)
_AGENT = Asked("agent", "Agent", kind="row", table="agents")


def _touch(given: Given) -> Answer:
    agent, metal, base = given.row("agent"), given.row("metal"), given.row("base") if given.has("base") else None
    beneath = str(base["key"]) if base else ""
    found = table_agents.touch_of(agent["key"], metal["key"], beneath, given.flag("lacquered"), given.lookup)
    # A plating counts as lying on iron, unless it is said what lies beneath.
    rusts = bool((base or metal).get("rusts"))
    after = care.after_bath(bool(agent.get("wet")), rusts) if found.verdict != care.Verdict.NEVER else ()
    instead = _instead(given, metal, beneath)
    return Answer(
        results=(
            Got("verdict", "Verdict", str(found.verdict)),
            Got("why", "Why", found.deciding.reason),
            Got("after", "Afterwards, at once", ", ".join(after) or "nothing"),
            Got("instead", "Milder ones that it bears", ", ".join(instead) or "nothing in the table"),
        ),
        working=(
            *(_cell_line(cell) for cell in found.cells),
            f"verdict = worst of {', '.join(str(cell.verdict) for cell in found.cells)} = {found.verdict}",
        ),
        sources=tuple(dict.fromkeys(cell.source for cell in found.cells if cell.source)),
        cautions=_care_cautions(agent, (metal, *((base,) if base else ()))),
        says=words.touch_words(str(agent["key"]), str(metal["key"]), found, after),
        limits=(
            "Try it on a hidden spot first, with the time on the clock. Not known means untried, not harmless.",
            "Old fittings are often plated, lacquered or mended with solder: look before you choose.",
        ),
    )


def _cell_line(cell: care.Cell) -> str:
    return f"{cell.agent} on {cell.metal}: {cell.verdict}. {cell.reason} ({cell.evidence})"


def _instead(given: Given, metal: Row, beneath: str) -> list[str]:
    """The mild agents that this part bears, with their verdict."""
    keys = [
        str(row["key"]) for row in given.table("agents") if row.get("mild") and row["key"] != given.row("agent")["key"]
    ]
    verdicts = {
        key: table_agents.touch_of(key, str(metal["key"]), beneath, given.flag("lacquered"), given.lookup).verdict
        for key in keys
    }
    good = (care.Verdict.USUAL, care.Verdict.CARE)
    return [f"{key} ({verdict})" for key, verdict in verdicts.items() if verdict in good]


def _care_cautions(agent: Row, metals: tuple[Row, ...]) -> tuple[str, ...]:
    keys = {str(metal["key"]) for metal in metals}
    found = [*agent.get("cautions", ())]
    found += ["lead-metal"] if keys & set(LEADED) else []
    found += ["cadmium"] if "cadmium plate" in keys else []
    return tuple(dict.fromkeys([*found, "mixing"] if agent.get("mixes_as") else found))


def _pair(given: Given) -> Answer:
    first, second = given.row("first"), given.row("second")
    found = galvanic.couple(index_of_row(first, given.lookup), index_of_row(second, given.lookup))
    place = given.choice("place")
    allowed = galvanic.allowed(found.hundredths, place)
    anode = {"first": str(first["key"]), "second": str(second["key"]), "neither": "neither"}[found.anode]
    area = _area(given, found)
    return Answer(
        results=(
            Got("volts", "Difference", found.volts, "V", digits=2),
            Got("anode", "The one that is eaten", anode),
            Got("allowed", f"Allowed in {words.PLACES[place]}", allowed),
            Got("area", "With these areas", AREA_WORDS[area] if area else "areas not given"),
        ),
        working=(
            f"difference = |{index_of_row(first, given.lookup)} - {index_of_row(second, given.lookup)}| hundredths = {found.hundredths} hundredths of a volt",
            *(
                f"{name} ({words.PLACES[name]}): {found.hundredths} ≤ {limit}: {'yes' if found.hundredths <= limit else 'no'}"
                for name, limit in galvanic.LIMITS.items()
            ),
            *_area_lines(given, area),
            *_series_lines(given, first, second, anode),
        ),
        sources=("anodic-index-notes", "mil-dtl-14072", "mil-std-889", "mansfeld-1971"),
        cautions=("lead-metal",) if {first["key"], second["key"]} & set(LEADED) else (),
        says=words.pair_words(first, second, found, place, anode, area),
        limits=(
            "Only where damp joins the two: wax, lacquer or a washer between them stops it.",
            "A plated part counts as its plating, until the plating is worn or pitted.",
            "The index is measured in sea water; indoors it only ranks.",
        ),
        table=Grid(
            ("Place", "Limit", "Allowed"),
            tuple(
                (words.PLACES[name], f"{limit / 100:.2f} V", "yes" if found.hundredths <= limit else "no")
                for name, limit in galvanic.LIMITS.items()
            ),
            "By where the piece stands",
        ),
    )


def _area(given: Given, found: galvanic.Couple) -> str:
    one, other = given.maybe("first_area"), given.maybe("second_area")
    if one is None or other is None or found.anode == "neither":
        return ""
    return galvanic.area_rule(one, other) if found.anode == "first" else galvanic.area_rule(other, one)


def _area_lines(given: Given, area: str) -> tuple[str, ...]:
    if not area:
        return ()
    one, other = given.number("first_area"), given.number("second_area")
    return (f"areas: {one:g} and {other:g}; attack goes with cathode / anode area: {AREA_WORDS[area]}",)


def _series_lines(given: Given, first: Row, second: Row, anode: str) -> tuple[str, ...]:
    """Says so where the order of the other standard names another anode."""
    groups = {row["key"]: row for row in given.table("galvanic")}
    one, other = (groups.get(row.get("anodic", ""), {}).get("series") for row in (first, second))
    if one is None or other is None or one == other:
        return ()
    eaten = str(first["key"] if one < other else second["key"])
    agree = "and agrees" if eaten == anode else "and disagrees: take neither for certain"
    return (f"the sea-water series has {one:g} and {other:g} (higher is nobler): it names {eaten}, {agree}",)


def _bath(given: Given) -> Answer:
    metals, agent = given.rows("metals"), given.row("agent")
    if not metals:
        raise BadInput("There is nothing in the bath.", "Name at least one metal.")
    cells = [table_agents.cell(agent["key"], row["key"], given.lookup) for row in metals]
    mixed = len(metals) > 1 and bool(agent.get("wet"))
    cells += [table_agents.cell("mixed bath", row["key"], given.lookup) for row in metals] if mixed else []
    found = care.touch(cells)
    apart = care.shared_bath([index_of_row(row, given.lookup) for row in metals])
    after = care.after_bath(bool(agent.get("wet")), any(row.get("rusts") for row in metals))
    return Answer(
        results=(
            Got("verdict", "Verdict", str(found.verdict)),
            Got("apart", "Farthest apart", apart / 100, "V", digits=2),
            Got("after", "Afterwards, at once", ", ".join(after) or "nothing"),
        ),
        working=(
            *(_cell_line(cell) for cell in found.cells),
            f"farthest apart = largest - least index = {apart} hundredths of a volt",
        ),
        sources=tuple(dict.fromkeys([*(cell.source for cell in found.cells if cell.source), "anodic-index-notes"])),
        cautions=_care_cautions(agent, tuple(metals)),
        says=words.bath_words(str(agent["key"]), metals, found),
        limits=("One metal to a bath is the safe rule. Screws and solder are metals too.",),
    )


def _meet(given: Given) -> Answer:
    first, second = given.row("first"), given.row("second")
    free = table_agents.may_follow(first["key"], second["key"], given.lookup)
    ban = None if free else table_agents.ban_between(first["key"], second["key"], given.lookup)
    return Answer(
        results=(
            Got("may_meet", "May they meet, as far as is known", free),
            Got("makes", "What comes of it", str(ban["makes"]) if ban else "nothing known"),
        ),
        working=(
            f"{first['key']} counts as: {', '.join(first.get('mixes_as', ())) or 'nothing on the list'}",
            f"{second['key']} counts as: {', '.join(second.get('mixes_as', ())) or 'nothing on the list'}",
            f"ban: {ban['key']}" if ban else "no ban names the two",
        ),
        sources=("common-practice", "memory"),
        cautions=("mixing",),
        says=_meet_words(first, second, ban),
        limits=("The list is short and from memory; what is not on it is not thereby safe.",),
    )


def _meet_words(first: Row, second: Row, ban: Row | None) -> str:
    if ban:
        return f"Never: {ban['key']} give {ban['makes']}. Rinse well between the two, and pour neither into the other."
    silent = [str(row["key"]) for row in (first, second) if "mixes_as" not in row]
    if silent:
        return f"What {' and '.join(silent)} may not be mixed with is not said in the table, so no ban could be looked up: read both labels."
    return "No ban is known; rinse between the two all the same, and read both labels."


def _wood(given: Given) -> Answer:
    wood, metal = given.row("wood"), given.row("metal")
    moisture, closed = given.number("moisture"), given.flag("closed")
    facts = wood_facts(wood, metal, given.flag("preserved"), given.lookup)
    effect = wood_metal.in_wood(facts, moisture, closed)
    stain = wood_metal.iron_stain(bool(wood.get("tannin")), moisture) if metal.get("rusts") else "none from this metal"
    return Answer(
        results=(Got("effect", "Metal and wood", str(effect)), Got("stain", "Stain in the wood", stain)),
        working=(
            f"damp = {moisture:g} % ≥ {wood_metal.DAMP_FROM:g} %: {'yes' if moisture >= wood_metal.DAMP_FROM else 'no'}",
            f"tannin in {wood['key']}: {'yes' if wood.get('tannin') else 'none read'};"
            f" acid vapour: {wood.get('acid', 'nothing read')}",
            *(f"{fact.wood} / {fact.metal}{f' ({fact.needs})' if fact.needs else ''}: {fact.words}" for fact in facts),
        ),
        sources=tuple(
            dict.fromkeys([*(fact.source for fact in facts if fact.source), "fpl-iron-stain", "wood-handbook-2010"])
        ),
        cautions=("acid",) if stain == "blue-black stain" else ("lead-metal",) if metal["key"] in LEADED else (),
        says=words.wood_words(wood, metal, effect, stain),
        limits=(
            "A waterborne coat or a wet cloth makes the surface damp whatever the meter says.",
            "Steel wool and filings count as iron: none on bare wood with tannin. Oxalic acid takes the black out.",
            "Where nothing was read of a wood's tannin or acid, it is taken to have little.",
        ),
    )


def _case(given: Given) -> Answer:
    acetic, formic, celsius = given.number("acetic"), given.number("formic"), given.number("celsius")
    found = wood_metal.case_air(acetic, formic, celsius)
    return Answer(
        results=(
            Got("acetic_ppm", "Acetic acid", found.acetic_ppm, "ppm"),
            Got("formic_ppm", "Formic acid", found.formic_ppm, "ppm"),
            Got("guideline", "Within a museum's guideline", found.within_guideline),
            Got("lead", "Lead in it", found.lead),
        ),
        working=(
            f"ppm = µg/m³ / 1000 × 1000 R T / (M P): acetic {acetic:g} µg/m³ at {celsius:g} °C = {found.acetic_ppm:.3g} ppm",
            f"formic {formic:g} µg/m³ = {found.formic_ppm:.3g} ppm",
            f"guideline: acetic below {wood_metal.ACETIC_GUIDELINE:g}, formic below {wood_metal.FORMIC_GUIDELINE:g} µg/m³",
            "lead: darkens from 0.04 ppm of formic acid, is eaten above 0.1 ppm",
        ),
        sources=("ideal-gas", "museum-air-guideline", "tetreault-lead-copper", "ryhl-svendsen-2003"),
        cautions=("lead-metal",),
        says=words.case_words(found.lead),
        limits=("From trials in damp air. For a drawer without a measurement, air it and keep lead out of oak.",),
    )


def _lead(given: Given) -> Answer:
    ppm = given.number("lead")
    verdict = care.lead_verdict(ppm)
    return Answer(
        results=(
            Got("verdict", "For sale to US consumers", verdict),
            Got("percent", "Lead by weight", ppm / 10_000, "%"),
            Got("times", "Times the limit", ppm / care.LEAD_LIMIT_PPM),
        ),
        working=(
            f"{ppm:g} mg/kg = {ppm / 10_000:g} % by weight of the dried film",
            f"limit = {care.LEAD_LIMIT_PPM:g} mg/kg; in excess of it is banned: {verdict}",
        ),
        sources=("cpsc-lead-2008",),
        cautions=("lead",),
        says=words.film_words(ppm, verdict),
        limits=(
            "The limit is for what is sold, not for what is safe to sand. Other countries have other limits.",
            "A kit at home can miss lead; a laboratory is surer. Local rules and licensed people come first.",
        ),
    )


SUMS = (
    Working(
        "may-this-touch", "metal", "May this touch it", "May this agent touch this metal?",
        (_AGENT, _METAL, _BASE, Asked("lacquered", "Lacquered, tinted or bronzed", kind="flag", needed=False)),
        _touch,
        {"agent": "water and detergent", "metal": "brass plate", "base": "mild steel"},
    ),
    Working(
        "galvanic-pair", "metal", "Two metals together", "May these two metals touch, and which one is eaten?",
        (
            Asked("first", "One metal", kind="row", table="metals"),
            Asked("second", "The other", kind="row", table="metals"),
            Asked("place", "Where it stands", kind="choice", choices=tuple(words.PLACES.items()), default="normal"),
            Asked("first_area", "Area of the one", "mm²", 0.001, 1e9, needed=False),
            Asked("second_area", "Area of the other", "mm²", 0.001, 1e9, needed=False),
        ),
        _pair,
        {"first": "yellow brass", "second": "mild steel", "place": "normal", "first_area": "1200", "second_area": "40"},
    ),
    Working(
        "one-bath", "metal", "Several metals in one bath", "May these fittings share a bath?",
        (_AGENT, Asked("metals", "Metals in it", kind="row list", table="metals")),
        _bath,
        {"agent": "chelator", "metals": "yellow brass, mild steel"},
    ),
    Working(
        "may-these-meet", "metal", "Two agents together", "May one agent follow or meet the other?",
        (Asked("first", "One agent", kind="row", table="agents"), Asked("second", "The other", kind="row", table="agents")),
        _meet,
        {"first": "bleach", "second": "oxalic acid"},
    ),
    Working(
        "metal-in-wood", "metal", "Metal in wood", "Does this metal stain this wood, or the wood eat the metal?",
        (
            Asked("wood", "Wood", kind="row", table="woods"),
            _METAL,
            Asked("moisture", "Moisture content of the wood", "%", 0, 200, default=10.0),
            Asked("closed", "In a closed drawer or case", kind="flag", needed=False),
            Asked("preserved", "Treated with a preservative", kind="flag", needed=False),
        ),
        _wood,
        {"wood": "European oak", "metal": "mild steel", "moisture": "20 %"},
    ),
    Working(
        "acids-in-a-case", "metal", "Acids in a closed case", "Does the air of this case eat lead?",
        (
            Asked("acetic", "Acetic acid in the air", "µg/m³", 0, 1e9),
            Asked("formic", "Formic acid in the air", "µg/m³", 0, 1e9),
            Asked("celsius", "Temperature", "°C", -40, 60, default=25.0),
        ),
        _case,
        {"acetic": "11327", "formic": "477"},
    ),
    Working(
        "lead-in-film", "metal", "Lead in a paint film", "Is this much lead in the dried paint allowed on what is sold?",
        (Asked("lead", "Lead in the dried film (laboratory's figure)", "mg/kg", 0, 1_000_000),),
        _lead,
        {"lead": "95"},
    ),
)  # fmt: skip
