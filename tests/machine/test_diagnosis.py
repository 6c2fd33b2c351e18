"""Suspects and the next check: trade sense, safety before information, and what is no evidence."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from warmyard.errors import InputError
from warmyard.machine.advice import advise
from warmyard.machine.diagnosis import (
    Reasoner,
    Situation,
    ladder_minutes,
    next_check,
    rank_checks,
    suspects,
    suspects_behind,
    trial_order,
)
from warmyard.machine.model import Machine

EMERGENCIES = ("fumes-inside", "tingle-from-casing")


def weights_of(machine: Machine, situation: Situation) -> dict[str, float]:
    """Return the suspects' weights by id."""
    return {one.id: one.weight for one in suspects(machine, situation)}


def declaring(machine: Machine, symptom: str) -> set[str]:
    """Return the modes that declare a symptom, strongly, weakly or seldom."""
    modes = machine.modes.values()
    return {mode.id for mode in modes if symptom in (*mode.strong, *mode.weak, *mode.seldom)}


def step_of(machine: Machine, symptom: str, **known: object) -> str:
    """Return the id of the next check, or an empty text."""
    step = next_check(machine, Situation(symptom, **known))  # type: ignore[arg-type]
    return step.check if step else ""


def test_weights_sum_to_one_and_descend(machine: Machine) -> None:
    """For every symptom the weights sum to 1 and fall, and the suspects are the modes that can show it."""
    for symptom in machine.symptoms:
        found = suspects(machine, Situation(symptom))
        values = [one.weight for one in found]
        assert sum(values) == pytest.approx(1, abs=1e-9)
        assert values == sorted(values, reverse=True)
        assert {one.id for one in found} == declaring(machine, symptom)


@pytest.mark.parametrize(
    ("symptom", "worked"),
    [
        ("no-start-on-demand", {"thermostat-misplaced": 0.17, "limit-tripped": 0.13, "control-in-lockout": 0.13}),
        ("spark-no-flame", {"tank-empty": 0.14, "filter-blocked": 0.11, "air-at-bowl-seal": 0.11, "fuel-waxed": 0.09,
                            "fuel-tap-shut": 0.01}),
        ("overheat-trip", {"intake-obstructed": 0.19, "duct-kinked": 0.19, "outlet-blocked": 0.15}),
        ("will-not-stop", {"mode-at-constant": 0.50, "thermostat-in-the-cold": 0.40, "thermostat-stuck-closed": 0.10}),
        ("lockout-in-purge", {"purge-air-not-proved": 0.29, "sensor-sees-stray-light": 0.29, "supply-sags": 0.14,
                              "capacitor-weak": 0.09, "generator-off-frequency": 0.09}),
        ("fumes-inside", {"exhaust-drawn-in": 0.25, "other-fire-inside": 0.25, "engine-near": 0.25,
                          "exchanger-cracked": 0.08}),
        ("tingle-from-casing", {"burner-earth-open": 0.26, "lead-damaged": 0.25, "motor-earth-fault": 0.16}),
    ],
)  # fmt: skip
def test_the_posteriors_worked_by_hand(machine: Machine, symptom: str, worked: dict[str, float]) -> None:
    """Weight times strength over their sum, by hand for the second edition: 5 of 10 for a mode at constant."""
    found = weights_of(machine, Situation(symptom))
    assert {mode: round(found[mode], 2) for mode in worked} == worked


def test_spark_no_flame_dips_before_anything_with_tools(machine: Machine) -> None:
    """Spark, no flame: the tank is dipped first, then the bowl is looked at; no spanner before that."""
    situation = Situation("spark-no-flame")
    reasoner = Reasoner(machine, "spark-no-flame")
    ranked = [step.check for step in rank_checks(reasoner, situation, reasoner.weights(situation))]
    assert ranked[:3] == ["dip-the-tank", "look-in-filter-bowl", "bleed-and-watch-for-bubbles"]
    assert ranked.index("dip-the-tank") < ranked.index("look-at-the-nozzle")
    for standing in machine.preconditions:
        assert step_of(machine, "spark-no-flame", standing=standing) in ("dip-the-tank", "look-in-filter-bowl")


@pytest.mark.parametrize(
    ("symptom", "check"),
    [
        ("dead", "test-the-socket"),
        ("no-start-on-demand", "turn-the-thermostat"),
        ("no-spark-lockout", "look-along-the-lead"),
        ("flame-lost", "look-in-filter-bowl"),
        ("late-light-up", "look-for-fuel-in-the-chamber"),
        ("smoky", "look-at-the-air-intake"),
        ("overheat-trip", "look-at-the-air-intake"),
        ("weak-heat", "walk-the-duct"),
        ("trips-protection", "look-along-the-lead"),
        ("fuel-drip", "look-for-fuel-in-the-chamber"),
        ("will-not-stop", "turn-the-thermostat"),
    ],
)
def test_the_first_check_has_trade_sense(machine: Machine, symptom: str, check: str) -> None:
    """What a good technician does first comes first, without being told."""
    assert step_of(machine, symptom) == check


def test_what_was_seen_moves_the_weights(machine: Machine) -> None:
    """Fuel above the pick-up denies the empty tank and raises all that remains in proportion."""
    before = weights_of(machine, Situation("spark-no-flame"))
    after = weights_of(machine, Situation("spark-no-flame", {"dip-the-tank": "fuel-above-pick-up"}))
    assert after.get("tank-empty", 0) == 0
    assert after["nozzle-blocked"] / after["valve-coil-open"] == pytest.approx(
        before["nozzle-blocked"] / before["valve-coil-open"]
    )


def test_contexts_multiply(machine: Machine) -> None:
    """A filter changed today makes the seal eight times as likely beside the filter."""
    plain = weights_of(machine, Situation("spark-no-flame"))
    changed = weights_of(machine, Situation("spark-no-flame", contexts=("filter-changed",)))
    ratio = changed["air-at-bowl-seal"] / changed["filter-blocked"]
    assert ratio == pytest.approx(8 * plain["air-at-bowl-seal"] / plain["filter-blocked"])


def test_a_context_check_acts_only_as_its_context(machine: Machine) -> None:
    """Asking what changed is the same as naming the context, once; it rules nothing in or out alone."""
    seen = {"ask-what-changed": "filter-changed-recently"}
    asked = weights_of(machine, Situation("spark-no-flame", seen))
    named = weights_of(machine, Situation("spark-no-flame", contexts=("filter-changed",)))
    both = weights_of(machine, Situation("spark-no-flame", seen, ("filter-changed",)))
    assert asked == named == both
    assert set(asked) == declaring(machine, "spark-no-flame")


def test_what_cannot_be_done_is_no_evidence(machine: Machine) -> None:
    """Every outcome that means "cannot be done" or "not allowed" leaves every weight as it was."""
    for symptom in ("dead", "spark-no-flame", "erratic-cycling"):
        plain = weights_of(machine, Situation(symptom))
        for check in machine.checks.values():
            for outcome in (*check.cannot, *check.not_allowed):
                assert weights_of(machine, Situation(symptom, {check.id: outcome})) == plain


def test_a_reading_on_a_running_motor_denies_what_keeps_it_still(machine: Machine) -> None:
    """A voltage that was read while the motor ran denies whatever would not let it run."""
    assert weights_of(machine, Situation("dead", {"voltage-while-starting": "voltage-holds-as-selected"})) == {}
    found = weights_of(machine, Situation("dead", {"voltage-while-starting": "voltage-sags-when-motor-starts"}))
    assert "supply-dead" not in found


def test_a_contradiction_is_an_empty_list_and_a_sentence(machine: Machine) -> None:
    """An empty tank and a water line cannot be one fault: no suspects, no next check, a sentence."""
    seen = {"dip-the-tank": "below-pick-up", "look-in-filter-bowl": "water-line"}
    found = advise(machine, Situation("spark-no-flame", seen))
    assert found.suspects == ()
    assert found.next is None
    assert "contradicts itself" in found.say


def test_an_unusual_finding_must_be_explained_by_somebody(machine: Machine) -> None:
    """Modes that merely survive what was seen do not make a contradiction look like an answer."""
    seen = {
        "voltage-while-starting": "voltage-sags-when-motor-starts",
        "gauge-pump-pressure-and-suction": "suction-rises-with-time",
    }
    assert suspects(machine, Situation("erratic-cycling", seen)) == ()


def test_a_cause_behind_a_cause_is_no_contradiction(machine: Machine) -> None:
    """A sooty sensor and a damper too far closed are one story: the sensor, and what soots it."""
    seen = {
        "wipe-and-seat-the-sensor": "sooty-wiped-then-holds",
        "look-at-damper-wheel-and-gasket": "damper-too-closed",
    }
    situation = Situation("flame-lost", seen)
    assert suspects(machine, situation)[0].id == "sensor-window-dirty"
    assert suspects_behind(machine, situation, "sensor-window-dirty")[0].id == "damper-too-closed"


def test_minutes_count_the_ladder(machine: Machine) -> None:
    """From the telephone a dip costs the way as well; from the unplugged heater only the dip."""
    far, near = (next_check(machine, Situation("spark-no-flame", standing=s)) for s in ("by-phone", "unplugged"))
    assert far is not None
    assert near is not None
    assert (far.check, near.check) == ("dip-the-tank", "dip-the-tank")
    assert near.minutes == machine.checks["dip-the-tank"].minutes
    assert far.minutes - near.minutes == ladder_minutes(machine, "spark-no-flame", "by-phone", "unplugged") == 3


def test_a_hot_heater_is_left_to_cool(machine: Machine) -> None:
    """Cool has two rungs: the run-on is over in minutes, cool to the hand takes longer; what never lit is cold."""
    assert ladder_minutes(machine, "overheat-trip", "outside-look", "run-on-finished") == 3
    assert ladder_minutes(machine, "overheat-trip", "run-on-finished", "stopped-and-cool") == 30
    assert ladder_minutes(machine, "overheat-trip", "outside-look", "unplugged") == 34
    assert ladder_minutes(machine, "spark-no-flame", "outside-look", "unplugged") == 2
    assert ladder_minutes(machine, "overheat-trip", "ready-to-start", "unplugged") == 34


def test_a_heater_without_power_is_unplugged_hot_and_not_opened(machine: Machine) -> None:
    """There is no run-on to lose, so the plug may come out; the filler stays shut until it is cool to the hand."""
    assert ladder_minutes(machine, "dead", "outside-look", "plug-out") == 1
    assert ladder_minutes(machine, "dead", "plug-out", "unplugged") == 34
    assert machine.checks["test-the-socket"].needs == machine.checks["look-along-the-lead"].needs == "plug-out"
    assert machine.checks["dip-the-tank"].needs == "unplugged"


def test_what_holds_already_costs_nothing(machine: Machine) -> None:
    """A heater proved dead is unplugged, cool and looked at; nobody climbs down to climb up."""
    for held in ("unplugged", "stopped-and-cool", "outside-look", "by-phone"):
        assert ladder_minutes(machine, "smoky", "proved-dead", held) == 0
    assert ladder_minutes(machine, "smoky", "unplugged", "proved-dead") == 6


def test_no_check_beyond_a_level_is_offered(machine: Machine) -> None:
    """Nobody is sent to a check above their level, whatever it would tell."""
    for symptom, level in itertools.product(machine.symptoms, range(4)):
        reasoner, situation = Reasoner(machine, symptom), Situation(symptom, level=level)
        for step in rank_checks(reasoner, situation, reasoner.weights(situation)):
            assert machine.checks[step.check].level <= level


@pytest.mark.parametrize("symptom", EMERGENCIES)
def test_an_emergency_is_no_puzzle(machine: Machine, symptom: str) -> None:
    """People first: no check from the telephone, the procedure's words first, checks only once it is carried out."""
    found = advise(machine, Situation(symptom))
    assert found.next is None
    assert found.say.startswith(("People out first.", "Nobody touches it."))
    gate = machine.symptoms[symptom].checks_from
    after = next_check(machine, Situation(symptom, standing=gate))
    assert after is not None
    reasoner = Reasoner(machine, symptom)
    assert not reasoner.is_live(machine.checks[after.check])
    assert machine.symptoms[symptom].emergency


def test_after_fumes_carbon_monoxide_is_read_before_anything_else(machine: Machine) -> None:
    """With people out and the meter in hand the first thing is the reading at the door."""
    assert step_of(machine, "fumes-inside", standing="people-out-meter-in-hand") == "carbon-monoxide-at-the-door"


def test_after_a_bang_the_chamber_comes_first(machine: Machine) -> None:
    """Late light-up: no start, and nothing else, before the chamber was seen dry."""
    for standing in machine.preconditions:
        assert step_of(machine, "late-light-up", standing=standing) == "look-for-fuel-in-the-chamber"
    wet = Situation("late-light-up", {"look-for-fuel-in-the-chamber": "liquid-fuel-in-chamber"})
    reasoner = Reasoner(machine, "late-light-up")
    live = [s for s in rank_checks(reasoner, wet, reasoner.weights(wet)) if reasoner.is_live(machine.checks[s.check])]
    assert live == []


def test_presses_by_others_count(machine: Machine) -> None:
    """When reset was pressed several times the chamber comes first, whatever the symptom was."""
    assert step_of(machine, "spark-no-flame", contexts=("resets-pressed",)) == "look-for-fuel-in-the-chamber"
    seen = {"ask-what-changed": "reset-pressed-several-times"}
    assert step_of(machine, "flame-lost", seen=seen) == "look-for-fuel-in-the-chamber"


def test_the_one_reset_is_spent_once(machine: Machine) -> None:
    """After one failed start no second is offered before the chamber was looked at and is dry."""
    reasoner = Reasoner(machine, "flame-lost")
    spent = Situation("flame-lost", {"time-one-start": "flame-fades-then-lockout"}, standing="ready-to-start")
    for step in rank_checks(reasoner, spent, reasoner.weights(spent)):
        assert not reasoner.is_live(machine.checks[step.check])
    dry = spent.with_seen("look-for-fuel-in-the-chamber", "chamber-dry", "fuel-work-cold")
    offered = rank_checks(reasoner, dry, reasoner.weights(dry))
    assert any(reasoner.is_live(machine.checks[step.check]) for step in offered)


def test_a_fuel_that_nobody_knows_goes_into_a_jar(machine: Machine) -> None:
    """A can marked by hand: the jar comes before any start."""
    assert step_of(machine, "spark-no-flame", contexts=("fuel-unknown",)) == "fuel-in-a-jar"


LOOKS_AFTER_A_MOVE = ("see-the-supply", "look-at-the-flue", "walk-the-duct", "selector-against-supply")


def test_no_start_after_a_move_before_supply_selector_flue_and_duct(machine: Machine) -> None:
    """After a move no check that starts the heater is offered until all four looks were right, whatever the symptom."""
    normal = {name: machine.checks[name].normal for name in LOOKS_AFTER_A_MOVE}
    for symptom in ("no-start-on-demand", "flame-lost", "smoky", "overheat-trip", "new-noise"):
        reasoner = Reasoner(machine, symptom)
        for left_out in LOOKS_AFTER_A_MOVE:
            seen = {name: outcome for name, outcome in normal.items() if name != left_out}
            situation = Situation(symptom, seen, ("moved-by-customer",), "outside-look")
            offered = rank_checks(reasoner, situation, reasoner.weights(situation))
            assert not [step.check for step in offered if reasoner.is_live(machine.checks[step.check])], left_out
        free = Situation(symptom, normal, ("moved-by-customer",), "outside-look")
        offered = rank_checks(reasoner, free, reasoner.weights(free))
        assert [step.check for step in offered if reasoner.is_live(machine.checks[step.check])]


def test_smoke_from_a_right_flue_bars_no_start_after_a_move(machine: Machine) -> None:
    """A flue that is right over a fire that smokes was looked at: the technician may go on and measure."""
    seen = {name: machine.checks[name].normal for name in LOOKS_AFTER_A_MOVE}
    seen["look-at-the-flue"] = "flue-right-but-steady-smoke"
    reasoner, situation = Reasoner(machine, "smoky"), Situation("smoky", seen, ("moved-by-customer",), "outside-look")
    bar = next(bar for bar in machine.bars if bar.id == "moved-or-retaken")
    assert reasoner.uncleared(bar, situation) == ()
    slid = Situation("smoky", {**seen, "look-at-the-flue": "slid-over-diverter-inlets"}, ("moved-by-customer",))
    assert reasoner.uncleared(bar, slid) == ("look-at-the-flue",)


def test_no_check_goes_round_a_safety_device(machine: Machine) -> None:
    """No check, remedy or answer bridges, holds or defeats a safety device; the words stand only with a never."""
    texts = [check.ask for check in machine.checks.values()]
    texts += [f"{mode.remedy} {mode.safety}" for mode in machine.modes.values()]
    texts += [reply.say for check in machine.checks.values() for reply in check.answers.values()]
    for text in texts:
        for word in ("bridge", "bypass", "hold in", "defeat", "blind", "fool"):
            assert word not in text.lower() or "never" in text.lower(), text


@pytest.mark.parametrize(
    ("known", "says"),
    [
        ({"symptom": "spark-no-flames"}, "there is no symptom 'spark-no-flames'; near ones are spark-no-flame"),
        ({"seen": {"dip": "x"}}, "there is no check 'dip'; near ones are dip-the-tank"),
        ({"seen": {"dip-the-tank": "low"}}, "there is no outcome of dip-the-tank 'low'; there are fuel-above-pick-up"),
        ({"contexts": ("cold",)}, "there is no context 'cold'; near ones are cold-night"),
        ({"standing": "P3"}, "there is no precondition 'P3'; there are by-phone"),
        ({"level": -1}, "a level is a whole number"),
    ],
)
def test_an_unknown_id_names_the_near_ones(machine: Machine, known: dict[str, object], says: str) -> None:
    """A wrong id is refused in one sentence that helps."""
    with pytest.raises(InputError, match=says):
        suspects(machine, Situation(**{"symptom": "spark-no-flame", **known}))  # type: ignore[arg-type]


def test_the_written_cases_can_be_solved(machine: Machine) -> None:
    """In each of the 24 cases, doing what comes next leads to the hidden cause, or to its group."""
    for case in machine.call_outs.values():
        symptom = machine.symptoms[case.symptom]
        situation = Situation(case.symptom, dict(case.seen), case.contexts, symptom.checks_from)
        reasoner = Reasoner(machine, case.symptom)
        for _ in range(20):
            step = next_check(machine, situation, reasoner)
            if step is None:
                break
            check = machine.checks[step.check]
            shown = machine.modes[case.mode].shows.get(check.id)
            if shown is None and case.behind:
                shown = machine.modes[case.behind].shows.get(check.id)
            standing = reasoner.standing_after(situation.standing or reasoner.first_standing(), check)
            situation = situation.with_seen(check.id, shown or check.normal, standing)
        found = [one.id for one in suspects(machine, situation, reasoner)][:3]
        grouped = {mode for group in machine.groups if case.mode in group.modes for mode in group.modes}
        assert case.mode in found[:1] or (grouped & set(found[:1]) and case.mode in found), (case.id, found)


def test_what_no_check_splits_is_tried_by_chance_over_minutes(machine: Machine) -> None:
    """A customer's looks used up: the answer says so, names an order, and hands over."""
    seen = {"look-at-the-air-intake": "intake-clear", "walk-the-duct": "duct-and-outlets-clear"}
    situation = Situation("overheat-trip", {**seen, "look-at-the-flue": "flue-clear-fixed-plume-away"}, level=0)
    found = advise(machine, situation)
    assert found.next is None or machine.checks[found.next.check].level == 0
    done = {**situation.seen, "turn-the-thermostat": "mode-and-set-point-right-obeys-dial"}
    closing = advise(machine, Situation("overheat-trip", done, level=0))
    assert closing.next is None
    assert "in this order" in closing.say
    assert "Hand over" in closing.say
    order = trial_order(machine, Situation("spark-no-flame"))
    assert order[0].id == "tank-empty"
    assert {one.id for one in order} == declaring(machine, "spark-no-flame")


def test_causes_that_nothing_tells_apart_end_in_the_remedy_that_serves_both(machine: Machine) -> None:
    """Where all that is left is one group, its reason and shared remedy are said, the dangers of both before it."""
    situation = Situation("fuel-drip")
    reasoner = Reasoner(machine, situation.symptom)
    mode = machine.modes["valve-leaks-through"]
    while (step := next_check(machine, situation)) is not None:
        check = machine.checks[step.check]
        after = reasoner.standing_after(situation.standing or reasoner.first_standing(), check)
        situation = situation.with_seen(check.id, mode.shows.get(check.id, check.normal), after)
    found = advise(machine, situation)
    (group,) = [one for one in machine.groups if {s.id for s in found.suspects} <= set(one.modes)]
    assert found.say.endswith(group.shared_remedy)
    assert group.why in found.say
    assert all(machine.modes[one.id].safety in found.say for one in found.suspects)
    left_to_others = advise(machine, replace(situation, level=0))
    assert group.shared_remedy not in left_to_others.say
