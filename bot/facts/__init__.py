"""The typed view of knowledge/: crops and sources here, one lazily loaded room of tables per topic.

A room is a model whose fields are tables. Each room module (bot/facts/<room>.py) defines its row
models, one model holding them, and `FILES`, a map from field name to file under knowledge/.
"""

from __future__ import annotations

from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bot.facts.base import Source
from bot.facts.cache import Cache
from bot.facts.crop import Crop, with_lent
from bot.facts.errors import Fault, KnowledgeError
from bot.facts.loading import load, read_all, shaped
from bot.facts.paths import shipped

if TYPE_CHECKING:
    from bot.facts.asking import AskingFacts
    from bot.facts.climate import ClimateFacts
    from bot.facts.glossary import GlossaryFacts
    from bot.facts.groups import GroupFacts
    from bot.facts.growing import GrowingFacts
    from bot.facts.keeping import KeepingFacts
    from bot.facts.needs import NeedsFacts
    from bot.facts.preserving import PreservingFacts
    from bot.facts.ranges import RangeFacts
    from bot.facts.tending import TendingFacts


def load_room(shape: Any, files: dict[str, str], root: Path, cache: Cache | None = None) -> Any:
    """Load every table of a room. Raises KnowledgeError with the faults of all its files."""
    yamls = [root / file for file in files.values() if not file.endswith(".csv")]
    plain, faults = read_all(yamls, root, cache)
    values: dict[str, Any] = {}
    for field, file in files.items():
        path = root / file
        annotation = shape.model_fields[field].annotation
        try:
            if file.endswith(".csv"):
                values[field] = load(path, annotation, root)
            elif path in plain:
                values[field] = shaped(plain[path], path, annotation, root)
        except KnowledgeError as error:
            faults += error.faults
    if faults:
        raise KnowledgeError(faults)
    return shape.model_construct(**values)


class Facts:
    """All knowledge, read when first asked for.

    `root` is the folder knowledge/. With `skip_bad_crops` a crop file that cannot be used is left out and its
    faults kept in `skipped`; otherwise it raises KnowledgeError. `cache` remembers parsed files between runs.
    """

    def __init__(self, root: Path | None = None, *, skip_bad_crops: bool = False, cache: Cache | None = None) -> None:
        self.root = root or shipped("knowledge")
        self.skip_bad_crops = skip_bad_crops
        self.cache = cache or Cache.of_user()
        self.skipped: list[Fault] = []

    @cached_property
    def written_crops(self) -> dict[str, Crop]:
        """Return every crop by id as its own file has it, without blocks lent by another crop."""
        paths = sorted((self.root / "crops").glob("*.yaml"))
        plain, faults = read_all(paths, self.root, self.cache)
        crops: dict[str, Crop] = {}
        for path in paths:
            if path not in plain:
                continue
            try:
                crop: Crop = shaped(plain[path], path, Crop, self.root)
            except KnowledgeError as error:
                faults += error.faults
                continue
            if crop.id != path.stem:
                faults.append(Fault(f"crops/{path.name}", 1, "id", f"is {crop.id!r} but the file is {path.stem!r}"))
                continue
            crops[crop.id] = crop
        if faults and not self.skip_bad_crops:
            raise KnowledgeError(faults)
        self.skipped = faults
        return crops

    @cached_property
    def crops(self) -> dict[str, Crop]:
        """Return every crop by id, whole: blocks it shares with the crop it is `like` are filled in (see `lent`)."""
        return {crop_id: with_lent(crop, self.written_crops) for crop_id, crop in self.written_crops.items()}

    @cached_property
    def sources(self) -> dict[str, Source]:
        """Return every publication by id."""
        paths = sorted((self.root / "sources").glob("*.yaml"))
        plain, faults = read_all(paths, self.root, self.cache)
        if faults:
            raise KnowledgeError(faults)
        found: dict[str, Source] = {}
        for path in paths:
            rows: list[Source] = shaped(plain[path], path, list[Source], self.root)
            for source in rows:
                found.setdefault(source.id, source)
        return found

    @cached_property
    def asking(self) -> AskingFacts:
        """Return the words of questions."""
        from bot.facts import asking

        return load_room(asking.AskingFacts, asking.FILES, self.root, self.cache)  # type: ignore[no-any-return]

    @cached_property
    def climate(self) -> ClimateFacts:
        """Return stations, places, covers, scales and weather rules."""
        from bot.facts import climate

        return load_room(climate.ClimateFacts, climate.FILES, self.root, self.cache)  # type: ignore[no-any-return]

    @cached_property
    def groups(self) -> GroupFacts:
        """Return the words that stand for several crops."""
        from bot.facts import groups

        return load_room(groups.GroupFacts, groups.FILES, self.root, self.cache)  # type: ignore[no-any-return]

    @cached_property
    def ranges(self) -> RangeFacts:
        """Return what the figures of a crop may be at all."""
        from bot.facts import ranges

        return load_room(ranges.RangeFacts, ranges.FILES, self.root, self.cache)  # type: ignore[no-any-return]

    @cached_property
    def growing(self) -> GrowingFacts:
        """Return growing coefficients, rotation rules, groups and companions."""
        from bot.facts import growing

        return load_room(growing.GrowingFacts, growing.FILES, self.root, self.cache)  # type: ignore[no-any-return]

    @cached_property
    def preserving(self) -> PreservingFacts:
        """Return blanching, canning, pickling, drying and safety tables."""
        from bot.facts import preserving

        return load_room(preserving.PreservingFacts, preserving.FILES, self.root, self.cache)  # type: ignore[no-any-return]

    @cached_property
    def keeping(self) -> KeepingFacts:
        """Return ripening, perennial-year and use-up tables."""
        from bot.facts import keeping

        return load_room(keeping.KeepingFacts, keeping.FILES, self.root, self.cache)  # type: ignore[no-any-return]

    @cached_property
    def needs(self) -> NeedsFacts:
        """Return what crops want to do well: pots, sun, soil, partners, kinds, and how young plants are raised."""
        from bot.facts import needs

        return load_room(needs.NeedsFacts, needs.FILES, self.root, self.cache)  # type: ignore[no-any-return]

    @cached_property
    def tending(self) -> TendingFacts:
        """Return pests, blight, soil, compost, watering, wildlife and job tables."""
        from bot.facts import tending

        return load_room(tending.TendingFacts, tending.FILES, self.root, self.cache)  # type: ignore[no-any-return]

    @cached_property
    def glossary(self) -> GlossaryFacts:
        """Return the trade words."""
        from bot.facts import glossary

        return load_room(glossary.GlossaryFacts, glossary.FILES, self.root, self.cache)  # type: ignore[no-any-return]


__all__ = ["Crop", "Facts", "Fault", "KnowledgeError", "Source", "load_room"]
