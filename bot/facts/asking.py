"""What people say when they ask: patterns of words by which a handler tells what is wanted of it, compiled once as they are read."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, WithJsonSchema
from typing_extensions import TypeAliasType

from bot.facts.base import Shape


def _compiled(ways: Any) -> re.Pattern[str]:
    """Return one pattern of one way to say a thing, or of several."""
    pattern = "|".join(ways) if isinstance(ways, list) else ways
    try:
        return re.compile(pattern, re.IGNORECASE)
    except (re.error, TypeError) as error:
        raise ValueError(f"is no pattern: {error}") from None


_WAY = {"type": "string", "format": "regex"}
_SHAPE = WithJsonSchema({"anyOf": [_WAY, {"type": "array", "items": _WAY}]})
Saying = TypeAliasType("Saying", Annotated[re.Pattern[str], BeforeValidator(_compiled), _SHAPE])


class ColdWords(Shape):
    """Of cold and frost."""

    a_frost: Saying
    kills: Saying
    dies: Saying
    needs: Saying
    cover_needed: Saying
    bring_in: Saying
    how_cold: Saying
    which: Saying
    left_in: Saying
    blossom: Saying
    frosty: Saying
    foretold: Saying
    to_come: Saying
    cold_to_come: Saying
    ahead: Saying
    none_seen: Saying
    seen: Saying
    asks: Saying
    first: Saying
    last: Saying
    autumn: Saying
    net: Saying
    off_pests: Saying
    shade: Saying
    lift: Saying
    climbing: Saying
    last_named: Saying
    first_named: Saying
    last_meant: Saying
    first_meant: Saying
    forget: Saying
    colder: Saying
    milder: Saying
    frost_free: Saying
    over: Saying
    when: Saying
    how_far: Saying
    by_then: Saying
    in_winter: Saying
    season_long: Saying
    rain: Saying
    ten_hours: Saying
    sun: Saying
    warmth: Saying
    soil: Saying
    zone: Saying
    until: Saying
    winter: Saying


class HarvestWords(Shape):
    """Of crops to come and what was picked."""

    of_all: Saying
    sooner: Saying
    by_a_day: Saying
    stop: Saying
    told: Saying
    if_begun: Saying
    bed_free: Saying
    when: Saying
    last: Saying
    compared: Saying
    by_bed: Saying
    best: Saying
    yields: Saying
    of_seed: Saying
    for_jars: Saying
    earliest: Saying
    ripens: Saying
    on_plant: Saying
    stays_green: Saying
    picked_off: Saying
    outdoors: Saying
    when_ripe: Saying
    topples: Saying
    idle: frozenset[str]

    def of_the_plant(self, text: str) -> bool:
        """Tell whether a message asks if fruit still on the plant will ripen, "will my peppers ripen outside"."""
        return bool(self.ripens.search(text) and self.on_plant.search(text) and not self.picked_off.search(text))

    def hurried(self, text: str) -> bool:
        """Tell whether a message asks how fruit on the plant is made to ripen, or why it does not."""
        return bool(self.stays_green.search(text) and not self.picked_off.search(text))


class RecordKinds(Shape):
    """The kinds of records, or of tasks, that some words mean."""

    says: Saying
    kinds: tuple[str, ...] = Field(min_length=1)


class RecordWords(Shape):
    """Of the record."""

    kinds: list[RecordKinds]
    stems: list[str]
    sorts: list[RecordKinds]
    picked: Saying
    grew: Saying
    first: Saying
    goes_on: Saying
    of_that: Saying
    of_all: Saying
    made: Saying
    not_made: Saying
    used: Saying
    gone: Saying
    whole_day: Saying
    the_lot: Saying
    remind: Saying
    note_end: Saying
    note_lead: Saying
    this_season: Saying
    who: Saying
    as_early: Saying
    leans: Saying
    lessons: Saying
    lessons_read_as: frozenset[str]
    went_wrong: Saying
    went_well: Saying
    pests: Saying
    pest_when: Saying
    any_feed: frozenset[str]
    meant: Saying
    of_each: Saying
    in_all: Saying
    potted_on: Saying
    moved: Saying
    free: Saying

    def of_past_stores(self, text: str) -> bool:
        """Tell whether a question is of the past of the stores, and not of what is left."""
        made = self.made.search(text) and not self.not_made.search(text)
        return bool(made or self.used.search(text) or self.gone.search(text))


class SowingWords(Shape):
    """Of sowing and seed."""

    out: Saying
    grows_here: Saying
    into: Saying
    right_day: Saying
    outside: Saying
    second_later: Saying
    first_later: Saying
    gap: Saying
    rows: Saying
    again: Saying
    now: Saying
    from_seed: Saying
    early: Saying
    calendar: Saying
    takes: Saying
    coming_up: Saying
    whether: Saying
    too_for_seed: Saying
    how_warm: Saying
    not_up: Saying
    light: Saying
    of_seed: Saying
    too_late: Saying
    too: Saying
    still: Saying
    sow: Saying
    ready_by: Saying
    chits: Saying
    seed_shoots: Saying
    meaning: Saying
    shoots: Saying
    long_shoots: Saying
    chit_when: Saying
    chit_now: Saying
    chit_how: Saying
    planted: Saying
    sets: Saying
    for_autumn: Saying
    for_winter: Saying
    weeks_before: Saying

    def season(self, text: str) -> str | None:
        """Return the season a crop is wanted for, "autumn" or "winter", where one is named."""
        return "autumn" if self.for_autumn.search(text) else "winter" if self.for_winter.search(text) else None


class GroundWords(Shape):
    """Of the heap, the soil, feeding, water and wildlife."""

    mix: Saying
    remains: Saying
    kept_out: Saying
    goes_in: Saying
    may_go: Saying
    ails: Saying
    dried: Saying
    pointed: Saying
    there: Saying
    these: Saying
    wee: Saying
    path: Saying
    new_bed: Saying
    green_manure: Saying
    dug_in: Saying
    wanted_for: dict[str, Saying]
    green_manure_kept: frozenset[str]
    was_grown: Saying
    fresh: Saying
    rotted: Saying
    raw: Saying
    watered: Saying
    limed: Saying
    manured: Saying
    composted: Saying
    mulched: Saying
    given: Saying
    deed: Saying
    deeds: Saying
    deed_after: Saying
    sprayed: Saying
    which: Saying
    for_heap: Saying
    several: Saying
    lime: Saying
    clubroot: Saying
    how_much: Saying
    dry_spell: Saying
    rained: Saying
    hot_spell: Saying
    often: Saying
    daily: Saying
    prevents: Saying
    looks: Saying
    thins: Saying
    good: Saying
    soil: Saying
    water_now: Saying
    short_of_water: Saying
    how: Saying
    when: Saying
    ph_read: Saying


class JobWords(Shape):
    """Of the jobs of the week."""

    done: Saying
    done_end: Saying
    drop: Saying
    before: Saying
    idle: frozenset[str]


class KeepingWords(Shape):
    """Of keeping crops and seed."""

    fridge: Saying
    till: Saying
    curing: Saying
    side_by_side: Saying
    way: Saying
    lifted: Saying
    kept_whole: Saying
    cut: Saying
    in_there: Saying
    seed: Saying
    got: Saying
    saved: Saying
    eaten: Saying
    all_gone: Saying
    hybrid: Saying
    testing: Saying
    storing: Saying
    how_long: Saying


class RotationWords(Shape):
    """Of what may follow or stand beside what."""

    follows: Saying
    what_follows: Saying
    planting: Saying
    where: Saying
    between: Saying
    in_general: Saying
    apart: Saying
    not_there: Saying
    beside: Saying


class TendingWords(Shape):
    """Of pinching out, pruning, lasting plants that have given their crop, and what a trouble leaves to eat."""

    eaten: Saying
    height: Saying

    pinching: Saying
    side_shoots: Saying
    stopping: Saying
    leaves: Saying
    flowers: Saying
    pinched_as: frozenset[str]
    tasks: list[RecordKinds]
    over: Saying
    next: Saying
    bare_next: Saying
    with_plants: Saying
    rooted_out: Saying
    over_as: frozenset[str]

    def after(self, text: str) -> bool:
        """Tell whether a message asks what is done once the crop is picked."""
        return bool(self.with_plants.search(text) or (self.over.search(text) and self.next.search(text)))


class TalkWords(Shape):
    """Of words, of the plot as it is kept, and in passing."""

    word: Saying
    described: Saying
    frost_here: Saying
    idle: frozenset[str]
    plot: Saying
    reminders: Saying
    parting: Saying
    onward: Saying
    bare: Saying


class NeedWords(Shape):
    """Of what a crop wants to do well, and what suits a wish."""

    sure_pots: Saying
    shy_pots: Saying
    grow_bag: Saying
    window_box: Saying
    pots_asked: Saying
    not_pots: Saying
    of_the_plot: Saying
    how_many: Saying
    of_room: Saying
    how_big: Saying
    which_kinds: Saying
    to_water: Saying
    to_feed: Saying
    litres: Saying
    sun: Saying
    not_sun: Saying
    hours: Saying
    soil: Saying
    grounds: dict[str, Saying]
    not_soil: Saying
    ph: Saying
    ph_told: Saying
    partner: Saying
    shy_partner: Saying
    blocks: Saying
    not_partner: Saying
    not_shy_partner: Saying
    by_hand: Saying
    kinds: Saying
    kinds_by_name: Saying
    kinds_better: Saying
    not_kinds: Saying
    traits: dict[str, Saying]
    time: Saying
    time_plainly: Saying
    own: Saying
    not_time: Saying
    acts: dict[str, Saying]
    act_asked: Saying
    meaning: Saying
    act_how: Saying
    seedlings: Saying
    not_acts: Saying
    ease: Saying
    wishes: dict[str, Saying]
    list_asked: Saying
    leaning: Saying
    grows: Saying
    tied: Saying
    not_lists: Saying
    raised: Saying
    asks: Saying
    raised_deep: Saying
    raised_fill: Saying
    shallow: Saying
    filled: Saying
    hard_ground: Saying
    net: Saying
    not_net: Saying
    plainly_net: Saying
    more_of_pots: Saying
    going_on: Saying
    read_as: frozenset[str]
    keeps_shy: frozenset[str]
    keeps: dict[str, frozenset[str]]


class AskingFacts(Shape):
    """The words of questions, by what they are about."""

    cold: ColdWords
    ground: GroundWords
    harvest: HarvestWords
    jobs: JobWords
    keeping: KeepingWords
    needs: NeedWords
    records: RecordWords
    rotation: RotationWords
    sowing: SowingWords
    talk: TalkWords
    tending: TendingWords


FILES: dict[str, str] = {name: f"asking/{name}.yaml" for name in AskingFacts.model_fields}
