"""Rank what may ail a plant by what was seen, the crop, the season and the part of the world.

The measure is our own: each feature of the description that a trouble shows counts by how few troubles show it
(inverse document frequency, Spärck Jones 1972), more when its neighbours in one sign were seen too; what it does
not show counts against it. Crop, season, region and how common it is are added as log odds.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from bot.facts.tending import Pest, TendingFacts
from bot.tending.signs import Reader, Seen, stem, words_of

# How much each kind of idea counts. Tuned on the odd half of tests/tending/problems.yaml only.
GROUP_WEIGHT = {"creature": 1.25, "damage": 1.1, "matter": 1.25, "look": 1.0, "colour": 0.55, "part": 0.55,
                "place": 0.8, "time": 0.6}
PAIR_WEIGHT, PART_PAIR_WEIGHT = 0.8, 0.35  # white+maggot says much, brown+leaf little
BARE_WEIGHT = 0.3
TELLING = 1.25  # a sign seldom seen with anything else
UNEXPLAINED = 0.32  # of a feature's weight, when the trouble does not show it
UNEXPLAINED_CREATURE = 0.75  # a creature seen that the trouble is not, and does not bring
VAGUE_CREATURES = frozenset({"bug", "fly", "moth", "eggs", "pupa"})
DENIED = 0.8  # of a sign's weight, when the gardener says it is not there
ON_HOST, ON_ANY, OFF_HOST = 1.6, 1.0, -12.0
OFF_STATE = -2.5  # a trouble of seedlings or of stored things, and neither was spoken of
IN_SEASON, OUT_OF_SEASON = 0.0, -0.9
OUT_OF_REGION = -3.5
OTHER_PART = 0.4  # of what a sign counts, when the gardener names another part of the plant
NO_SUCH_PART = -1.2  # the gardener names a part on which the trouble never shows
THIN = 2.5  # weight a description must carry before anything is named
NAMED, NAMED_MOST = 1.5, 4.0  # for each word of a name that was used
HINTED = 1.0  # the name the gardener used, as understanding took it: "whitefly" may be either
SEEN_BEFORE = 0.4  # on this plot
COMMON = {1: -0.8, 2: 0.0, 3: 0.6}
_WOODY = ("tree-fruit", "cane-fruit", "currants")  # groups of pests_hosts.yaml
_SEASONS = ("winter", "winter", "spring", "spring", "spring", "early-summer", "midsummer", "late-summer",
            "autumn", "autumn", "autumn", "winter")


@dataclass(frozen=True, slots=True)
class Cause:
    """One likely cause: `score` is its share of belief 0..1, `raw` the sum behind it, `matched` what agreed."""

    id: str
    score: float
    raw: float
    matched: tuple[str, ...]


# Parts that gardeners use for one another: a sign on one counts for words about the other.
_PLACES: dict[str, frozenset[str]] = {part: frozenset(group.split()) for group in (
    "leaf tops", "root tuber bulb skin base soil shoulder-root core", "fruit pod cob stalk-end flower-end core skin",
    "stem cane base neck bark tip", "flower bud", "head tip leaf", "seedling stem leaf", "seed",
) for part in group.split()}
for _part, _more in (
    ("tip", "leaf stem head flower"), ("base", "root stem bulb"), ("skin", "root tuber fruit"),
    ("leaf", "head seedling"), ("stem", "seedling base neck bark cane"), ("soil", "root seedling stem base"),
):
    _PLACES[_part] = _PLACES[_part] | frozenset(_more.split()) | {_part}


@dataclass(frozen=True)
class _Profile:
    pest: Pest
    signs: tuple[tuple[frozenset[str], float, str | None], ...]
    features: frozenset[str]
    names: tuple[tuple[str, ...], ...]
    hosts: frozenset[str]


class Clinic:
    """The troubles of one knowledge base, made ready for ranking."""

    def __init__(self, facts: TendingFacts) -> None:
        self.facts = facts
        self.reader = Reader(facts.sign_words)
        self.crop_stems = frozenset(
            stem(w) for crops in facts.hosts.values() for c in crops for w in c.split("-") if len(w) > 3)
        self.reader.learn(stem(w) for p in facts.pests for text in (*p.phrases, *(s.words for s in p.signs))
                          for clause in words_of(text) for w in clause)
        self.profiles = tuple(self._profile(pest) for pest in facts.pests)
        self.woody = frozenset(c for g in _WOODY for c in facts.hosts.get(g, ()))
        counts: dict[str, int] = {}
        for profile in self.profiles:
            for feature in profile.features:
                counts[feature] = counts.get(feature, 0) + 1
        total = len(self.profiles)
        self.rarity = {f: min(4.2, max(0.35, math.log((total + 1) / (n + 0.5)))) for f, n in counts.items()}

    def read(self, text: str) -> Seen:
        """Read a description."""
        return self.reader.read(text, ignore=self.crop_stems)

    def weight(self, feature: str) -> float:
        """Return how much a feature counts; 0 for one that no trouble shows."""
        rarity = self.rarity.get(feature)
        if rarity is None:
            return 0.0
        if "+" in feature:
            part = self.reader.group(feature.split("+")[1]) == "part"
            return (PART_PAIR_WEIGHT if part else PAIR_WEIGHT) * rarity
        group = self.reader.group(feature)
        return (GROUP_WEIGHT[group] if group else BARE_WEIGHT) * rarity

    def thin(self, text: str) -> bool:
        """Tell whether a description says too little to rank by."""
        seen = self.read(text)
        return not self._strong(seen.features) or sum(self.weight(f) for f in seen.features) < THIN

    def tells(self, text: str) -> frozenset[str]:
        """Return what a description tells of the trouble itself, and not only of the plant's part, place or time."""
        return frozenset(f for f in self.read(text).features if self.reader.group(f) in ("creature", "damage", "matter", "look", "colour"))

    def only_named(self, text: str, pest: Pest, names: Sequence[str] = ()) -> bool:
        """Tell whether a text names a trouble and describes nothing besides."""
        stems = [stem(w) for clause in words_of(text) for w in clause]
        said = {stem(w) for name in (pest.gb, pest.us, *pest.other_names, *names)
                for clause in words_of(name) for w in clause}
        rest = self.reader.read(" ".join(s for s in stems if s not in said), ignore=self.crop_stems)
        return not [f for f in self._strong(rest.features) if self.reader.group(f)]

    def hosts_of(self, pest_id: str) -> frozenset[str]:
        """Return the crop ids a trouble lives on."""
        return next((p.hosts for p in self.profiles if p.pest.id == pest_id), frozenset())

    def _strong(self, features: frozenset[str]) -> list[str]:
        return [f for f in features if "+" not in f and self.weight(f) > 0
                and self.reader.group(f) not in ("part", "colour", "time")]

    def rank(self, text: str, crops: Sequence[str] = (), *, season: str | None = None, region: str | None = None,
             hint: str | None = None, before: frozenset[str] = frozenset()) -> list[Cause]:
        """Return every trouble, likeliest first.

        `crops` are ids the plant may be (empty: unknown); `season` a season word of the plot's own hemisphere;
        `region` a part of the world (eu, na, oc, as, sa, af); `hint` a trouble named in passing; `before` troubles
        seen on this plot in other years.
        """
        seen = self.read(text)
        stems = [stem(w) for clause in words_of(text) for w in clause]
        scored = []
        for profile in self.profiles:
            raw, matched = self._agreement(profile, seen)
            raw += self._named(profile, stems) + host_odds(profile.hosts, profile.pest, crops, seen.ideas,
                                                                       self.woody)
            raw += season_odds(profile.pest, season) + COMMON[profile.pest.common]
            if region and profile.pest.regions and region not in profile.pest.regions:
                raw += OUT_OF_REGION
            raw += HINTED * (profile.pest.id == hint) + SEEN_BEFORE * (profile.pest.id in before)
            scored.append((raw, profile.pest.id, matched))
        scored.sort(key=lambda row: -row[0])
        top = scored[0][0]
        total = sum(math.exp(raw - top) for raw, _, _ in scored)
        return [Cause(i, math.exp(raw - top) / total, raw, matched) for raw, i, matched in scored]

    def _agreement(self, profile: _Profile, seen: Seen) -> tuple[float, tuple[str, ...]]:
        """Sum what agrees and what does not."""
        score, matched = 0.0, []
        best: dict[str, float] = {}
        parts = {f for f in seen.ideas if self.reader.group(f) == "part" and f in _PLACES}
        for features, stress, part in profile.signs:
            common = features & seen.features
            if not common:
                continue
            strength = sum(self.weight(f) for f in common)
            # Two or more things seen of one sign say more than the same things scattered.
            together = 0.65 + 0.35 * min(1.0, (strength - max(self.weight(f) for f in common)) / 3.0)
            elsewhere = part in _PLACES and parts and not parts & (_PLACES[part or ""] | {part})
            for feature in common:
                value = self.weight(feature) * together * stress * (OTHER_PART if elsewhere else 1.0)
                best[feature] = max(best.get(feature, 0.0), value)
        for feature in seen.features:
            if feature in best:
                score += best[feature]
                matched.append(feature)
            else:
                strange = self.reader.group(feature) == "creature" and feature not in VAGUE_CREATURES
                score -= (UNEXPLAINED_CREATURE if strange else UNEXPLAINED) * self.weight(feature)
        shown = {near for _, _, part in profile.signs if part in _PLACES for near in (part, *_PLACES[part or ""])}
        if parts and shown and not parts & shown:
            score += NO_SUCH_PART
        for idea in seen.denied:
            stress = max((s for f, s, _ in profile.signs if idea in f), default=0.0)
            score -= DENIED * stress * self.weight(idea)
        return score, tuple(sorted(matched))

    def _named(self, profile: _Profile, stems: list[str]) -> float:
        text = " ".join(stems)
        said = [len(name) for name in profile.names if f" {' '.join(name)} " in f" {text} "]
        return min(NAMED_MOST, NAMED * max(said, default=0))

    def _profile(self, pest: Pest) -> _Profile:
        signs: list[tuple[frozenset[str], float, str | None]] = []
        for sign in pest.signs:
            seen = self.reader.read(sign.words, ignore=self.crop_stems)
            part: frozenset[str] = frozenset() if sign.part == "whole" else frozenset((sign.part,))
            signs.append((seen.features | part | frozenset(sign.seen), TELLING if sign.telling else 1.0,
                          None if sign.part == "whole" else sign.part))
        for phrase in (*pest.phrases, pest.tell):
            seen = self.reader.read(phrase, ignore=self.crop_stems)
            parts = [i for i in seen.ideas if i in _PLACES]
            signs.append((seen.features, 1.0, parts[0] if len(parts) == 1 else None))
        names = {tuple(stem(w) for clause in words_of(name) for w in clause)
                 for name in (pest.gb, pest.us, *pest.other_names)}
        hosts = set(pest.hosts) | {c for g in pest.host_groups for c in self.facts.hosts[g]}
        return _Profile(pest, tuple(signs), frozenset().union(*(f for f, _, _ in signs)),
                        tuple(n for n in names if n), frozenset(hosts))


_clinics: dict[int, tuple[TendingFacts, Clinic]] = {}


def clinic(facts: TendingFacts) -> Clinic:
    """Return the clinic of a room, built once for each."""
    held = _clinics.get(id(facts))
    if held is None or held[0] is not facts:
        _clinics[id(facts)] = held = (facts, Clinic(facts))
    return held[1]


def host_odds(hosts: frozenset[str], pest: Pest, crops: Sequence[str], ideas: frozenset[str] = frozenset(),
              woody: frozenset[str] = frozenset()) -> float:
    """Return the log odds that the crop gives: on a host, on anything, or not a host. 0 when no crop is known.

    A trouble of any seedling or of anything stored counts so only when the description (`ideas`) speaks of one;
    `woody` crops (trees, canes, bushes) are spared by troubles of low plants.
    """
    if not crops:
        return 0.0
    if any(crop in hosts for crop in crops):
        # A trouble of few crops is likelier on one of them than a trouble of forty.
        return ON_HOST + 0.6 / math.sqrt(len(hosts))
    if pest.any_host == "anything" or (pest.any_host == "low" and not set(crops) & woody):
        return ON_ANY
    if pest.any_host == "low":
        return OFF_HOST
    if pest.any_host:
        wanted = {"seedlings": {"seedling", "pot", "bald-seedling", "not-up"}, "stored": {"store", "seed"}}
        return ON_ANY if wanted[pest.any_host] & ideas else OFF_STATE
    return OFF_HOST


def season_odds(pest: Pest, season: str | None) -> float:
    """Return the log odds of the season: nothing in season, less out of it."""
    if season is None or season in pest.seasons:
        return IN_SEASON
    return OUT_OF_SEASON


def months_off(pest: Pest, month: int, southern: bool = False) -> int:
    """Return how many months a month (1..12) lies outside a pest's seasons: 0 in them, -1 the month before, 1 the month after."""
    here = (month - 1 + (6 if southern else 0)) % 12
    own = [n for n, season in enumerate(_SEASONS) if season in pest.seasons]
    before, after = min((n - here) % 12 for n in own), min((here - n) % 12 for n in own)
    return after if after <= before else -before


def season_of(month: int, southern: bool = False) -> str:
    """Return the season word of a month (1..12) in one hemisphere.

    >>> season_of(6), season_of(1, southern=True)
    ('early-summer', 'midsummer')
    """
    return _SEASONS[(month - 1 + (6 if southern else 0)) % 12]


def region_of(lat: float, lon: float) -> str:
    """Return the part of the world of a place, by rough boxes of latitude and longitude in degrees."""
    if -170 <= lon <= -30:
        return "na" if lat >= 14 else "sa"
    if lat <= -9 and (lon >= 110 or lon <= -170):
        return "oc"
    if lat >= 34 and -30 <= lon <= 45:
        return "eu"
    return "af" if -20 <= lon <= 52 and lat < 34 else "as"
