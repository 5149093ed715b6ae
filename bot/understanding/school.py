"""What reading learns from the phrases: the model of intents and the words of garden talk.

Learning takes about a minute, so its result is shipped beside the phrases under a hash of their files, and kept in the
cache folder when the phrases are other ones. While the hash holds, no phrase file is parsed at all.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bot.understanding import model as learning
from bot.understanding.cutting import learn_cuts
from bot.understanding.features import among, asks, features
from bot.understanding.lexicon import Lexicon
from bot.understanding.phrases import Template, load_intents, templates
from bot.understanding.spoken import Message, Part, lessons, load_spoken

if TYPE_CHECKING:
    from bot.facts import Facts
    from bot.understanding.marking import Marker

#: What was learned from the shipped phrases: `python -m bot.understanding.learn` makes it anew.
SHIPPED = "learned.npz"
#: Raised when the same phrases would teach something else.
_FORM = "23"


@dataclass(frozen=True, slots=True)
class Manner:
    """How an intent is spoken of: its kind, its label on a button, what the button says, how many of its phrases name a crop."""

    kind: str
    label: str
    says: str
    crop_share: float


@dataclass(frozen=True)
class School:
    """What was learned: `words` counts the phrases a word stands in, `domain` holds the stems of garden talk,
    `foreign` those only talk of other things uses, `cuts` the weights of the gaps between things said,
    `many` those of words that say several things at once, `openers` the words that open a part with nothing that joins."""

    key: str
    model: learning.Model
    intents: dict[str, Manner]
    words: dict[str, int]
    domain: set[str]
    foreign: set[str]
    cuts: dict[str, float]
    many: dict[str, float]
    openers: set[str]


def school_of(facts: Facts, marker: Marker) -> School:
    """Return what the phrases and messages teach: shipped, kept, or learned now, slotted as the marker slots a message."""
    folder = facts.root / "phrases"
    key = _key(folder)
    kept = facts.cache.folder.parent / SHIPPED if facts.cache.folder else None
    for path in (folder / SHIPPED, kept):
        found = learning.load(path, key) if path else None
        if found is not None:
            return _of(key, *found)
    school = learned(key, facts, marker)
    if kept:
        save(kept, school)
    return school


def save(path: Path, school: School) -> None:
    """Keep what was learned in a file."""
    about = {"intents": {name: asdict(manner) for name, manner in school.intents.items()}, "words": school.words,
             "domain": sorted(school.domain), "foreign": sorted(school.foreign), "cuts": school.cuts, "many": school.many, "openers": sorted(school.openers)}
    learning.save(path, school.key, school.model, json.dumps(about))


def _of(key: str, model: learning.Model, about: str) -> School:
    plain: dict[str, Any] = json.loads(about)
    manners = {name: Manner(**manner) for name, manner in plain["intents"].items()}
    return School(key, model, manners, plain["words"], set(plain["domain"]), set(plain["foreign"]), plain["cuts"], plain["many"], set(plain["openers"]))


def _key(folder: Path) -> str:
    digest = hashlib.sha256(_FORM.encode())
    for path in sorted(folder.rglob("*.yaml")):
        if path.name != "scoring.yaml":  # nor the weights of ways, which are no YAML
            digest.update(path.relative_to(folder).as_posix().encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:32]


def learned(key: str, facts: Facts, marker: Marker, messages: list[Message] | None = None) -> School:
    """Learn from the phrases and from messages: all there are, or those given."""
    intents = load_intents(facts.root)
    spread, lexicon = templates(intents), marker.lexicon
    words: dict[str, int] = {}
    for template in spread:
        for word in template.text.split():
            if not word.startswith("<"):
                words[word] = words.get(word, 0) + 1
    domain = _domain(spread, lexicon)
    foreign = {lexicon.stem(w) for t in spread if t.intent == "none" for w in t.text.split()} - domain
    marker.know(words, domain, foreign)
    heard = lessons(load_spoken(facts.root, intents) if messages is None else messages, marker)
    rows = []
    for template in spread:
        plain, extra = marker.template_words(template.text)
        rows.append((template.intent, features(plain, extra, lexicon, asks(plain, lexicon, False))))
    alone: list[dict[str, float]] = []
    for lesson in heard:
        told = [_features(part, lexicon) for part in lesson.parts]
        for n, part in enumerate(lesson.parts):
            if n >= lesson.message.leans:
                before = (lesson.parts[n - 1].intent, told[n - 1]) if n else None
                rows.append((part.intent, among(told[n], before, told[n + 1] if n + 1 < len(told) else None)))
                alone.append(told[n])
    said = [*((False, found) for found in alone), *((True, _features(part, lexicon)) for lesson in heard for part in lesson.joined)]
    many = learning.weigh([(several, {k: v for k, v in found.items() if k[0] != "~"}) for several, found in said], least=4)
    manners = {
        name: Manner(i.kind, i.label, i.says, sum("{crop}" in p or "{group}" in p for p in i.phrases) / len(i.phrases))
        for name, i in intents.items()}
    cuts, openers = learn_cuts(heard, lexicon)
    return School(key, learning.learn(rows, list(intents)), manners, words, domain, foreign, cuts, many, openers)


def _features(part: Part, lexicon: Lexicon) -> dict[str, float]:
    return features(part.words, part.extra, lexicon, asks(part.words, lexicon, part.mark))


def _domain(spread: list[Template], lexicon: Lexicon) -> set[str]:
    """Return the stems that garden talk uses: found in three garden templates, or of two intents."""
    where: dict[str, set[str]] = {}
    counts: dict[str, int] = {}
    for template in spread:
        if template.intent == "none":
            continue
        plain = {lexicon.stem(w) for part in template.text.split() if not part.startswith("<")
                 for w in lexicon.short_forms.get(part, [part])}
        for word in plain:
            where.setdefault(word, set()).add(template.intent)
            counts[word] = counts.get(word, 0) + 1
    return {w for w, n in counts.items() if n >= 3 or len(where[w]) >= 2}
