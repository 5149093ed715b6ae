"""Scale tested recipes to an amount of produce or to jars, every proportion kept."""

from __future__ import annotations

from dataclasses import dataclass

from bot.facts.preserving import Ingredient, PreservingFacts, Recipe
from bot.preserving.matching import find, plain
from bot.preserving.measures import LITRES, kg_of, prose
from bot.wording import KG_PER_LB, Wording

#: How measures are rounded when said: acid and a ferment's salt never less, water and low-acid food never more.
ROUNDING = {"acid": "up", "ferment-salt": "up", "water": "down", "low-acid": "down", "oil": "down"}


@dataclass(frozen=True, slots=True)
class Part:
    """A scaled ingredient: kg, litres or a count, as [low, high]; exactly one of the three is set."""

    of: Ingredient
    kg: tuple[float, float] | None = None
    litres: tuple[float, float] | None = None
    count: tuple[float, float] | None = None

    def as_json(self) -> dict[str, object]:
        """Return the plain form for scripts."""
        row: dict[str, object] = {"name": prose(Wording(), self.of.name), "role": self.of.role}
        for key in ("kg", "litres", "count"):
            value = getattr(self, key)
            if value is not None:
                row[key] = [round(value[0], 4), round(value[1], 4)]
        return row


@dataclass(frozen=True, slots=True)
class Scaled:
    """A recipe times `factor`. `jars` is [low, high] of the recipe's jar, None for a crock."""

    recipe: Recipe
    factor: float
    parts: tuple[Part, ...]
    jars: tuple[float, float] | None


def recipes_for(crop: str, facts: PreservingFacts) -> list[Recipe]:
    """Return the tested recipes in which a crop is the chief ingredient."""
    asked = {crop, facts.words.stand_ins.get(crop, crop)}
    chief: list[Recipe] = []
    for recipe in facts.recipes:
        product = next((p for p in facts.canning if p.id == recipe.process), None)
        crops = set(recipe.crops or (product.crops if product else ()))
        first = next((i.crop for i in recipe.ingredients if i.role == "produce"), None)
        if asked & (crops | ({first} if first and not crops else set())):
            chief.append(recipe)
    return chief


def pick(crop: str | None, text: str, facts: PreservingFacts) -> tuple[Recipe | None, tuple[Recipe, ...]]:
    """Return (recipe, others). With no word naming one, the first recipe of the crop is taken and the rest offered."""
    pool = recipes_for(crop, facts) if crop else list(facts.recipes)
    scored = []
    for index, recipe in enumerate(pool):
        word = find(text, [_literal(w) for w in [recipe.name, *recipe.words]])
        scored.append((len(word) if word else 0, -index, recipe))
    scored.sort(key=lambda x: (x[0], x[1]), reverse=True)
    if not scored or (crop is None and scored[0][0] == 0):
        return None, ()
    return scored[0][2], tuple(r for _, _, r in scored[1:])


def named_recipe(text: str, facts: PreservingFacts) -> Recipe | None:
    """Return the recipe whose whole name stands in plain `text`, the longest name first, or None."""
    said = text.replace("-", " ")
    found = [r for r in facts.recipes if find(said, [_literal(plain(r.name).replace("-", " "))])]
    return max(found, key=lambda r: len(r.name), default=None)


def _literal(word: str) -> str:
    return "".join("\\" + c if c in ".()[]+*?^$|" else c for c in word)


def factor_for(
    recipe: Recipe, crop: str | None, kg: float | None, jars: float | None, litres: float | None = None
) -> float | None:
    """Return how many batches an amount of the crop (kg, litres) or of jars makes; None when it cannot be worked out.

    Produce that a recipe measures by the cup cannot be scaled from a weight unless the recipe prints one beside it:
    no density of our own is used, since it would change the tested proportions.
    """
    if jars is not None and recipe.makes is not None:
        return jars / (sum(recipe.makes) / 2)
    chief = next((i for i in recipe.ingredients if i.role == "produce" and (crop is None or i.crop == crop)), None)
    chief = chief or next((i for i in recipe.ingredients if i.role == "produce"), None)
    if chief is None:
        return None
    if kg is not None:
        pounds = sum(chief.amount) / 2 if chief.unit == "lb" else chief.about_lb
        return kg / (pounds * KG_PER_LB) if pounds else None
    if litres is not None and chief.unit in LITRES:
        return litres / (sum(chief.amount) / 2 * LITRES[chief.unit])
    return None


def scale(recipe: Recipe, factor: float) -> Scaled:
    """Return the recipe times `factor`: every ingredient alike. Raises ValueError when the factor is not above 0."""
    if not factor > 0:
        raise ValueError(f"a batch must be more than nothing: {factor}")
    parts = []
    for item in recipe.ingredients:
        low, high = item.amount[0] * factor, item.amount[1] * factor
        if item.unit == "lb":
            parts.append(Part(item, kg=(kg_of(low), kg_of(high))))
        elif item.unit in LITRES:
            parts.append(Part(item, litres=(low * LITRES[item.unit], high * LITRES[item.unit])))
        else:
            parts.append(Part(item, count=(low, high)))
    jars = (recipe.makes[0] * factor, recipe.makes[1] * factor) if recipe.makes else None
    return Scaled(recipe, factor, tuple(parts), jars)
