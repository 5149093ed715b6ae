"""Lines of published diagnostic keys and identification pages: what is seen, and what the page says it is."""

from __future__ import annotations

import pytest

from bot.facts import Facts
from bot.tending.diagnosis import clinic

ARIZONA = "University of Arizona Cooperative Extension, Master Gardener Manual ch. 4, diagnostic key"
HORTSENSE = "Washington State University Extension, Hortsense"

KEYS = [
    # (crop, what the page says is seen, our id, publication)
    ("sweetcorn", "caterpillar feeding on the tip of the ear", "corn-earworm", ARIZONA),
    ("sweetcorn", "smooth white or black powdery galls on leaves, stalk, ears or tassels", "corn-smut", ARIZONA),
    ("sweetcorn", "ears not completely filled with kernels", "poor-set-corn", ARIZONA),
    ("sweetcorn", "young plants chewed off at ground level", "cutworm", ARIZONA),
    ("aubergine", "leaves riddled with tiny holes", "flea-beetle", ARIZONA),
    ("lettuce", "lower leaves brown and slimy, hard black pea-sized pellets in mold between dead leaves", "sclerotinia",
     ARIZONA),
    ("tomato", "big black rotten spot on the end opposite the stem", "blossom-end-rot",
     "Cornell, Solving common vegetable problems"),
    ("potato", "water-soaked spots enlarge quickly to dark blotches, whitish growth underneath in moist weather",
     "late-blight", HORTSENSE),
    ("potato", "leaves curl up and turn yellow, black slimy rot at the base of the stem", "blackleg", HORTSENSE),
    ("onion", "pale long patches on leaves, covered with a downy greyish growth, leaves die back", "onion-downy",
     HORTSENSE),
    ("parsnip", "dark irregular sunken pits on the shoulders of the root", "parsnip-canker",
     "Connecticut Agricultural Experiment Station, Plant Pest Handbook"),
    ("potato", "cylindrical brownish to yellow hard-bodied grubs that bore into tubers", "wireworm",
     "University of Maine Cooperative Extension, Pest Management Fact Sheet 5045"),
    ("strawberry", "cream-colored C-shaped grubs with brown heads in ground that was sod", "chafer",
     "University of Maine Cooperative Extension, Pest Management Fact Sheet 5045"),
    ("cabbage-summer", "small light green caterpillars tapered at both ends that wiggle when touched", "diamondback",
     "University of Minnesota Extension, Caterpillars on cole crops"),
    ("cabbage-summer", "wilts by day but recovers at night, large galls on the roots", "clubroot",
     "Missouri Botanical Garden, Clubroot"),
    ("winter-squash", "brown stink bug shaped adults, gray nymphs, copper egg clusters under the leaves", "squash-bug",
     "Massachusetts Master Gardeners; University of Wisconsin-Extension"),
    ("cucumber", "wilted stem cut and held together pulls out a whitish gooey string", "cucumber-beetle",
     "University of Wisconsin-Extension garden calendar, July 2023"),
]


@pytest.mark.parametrize(("crop", "seen", "cause", "source"), KEYS, ids=[key[2] for key in KEYS])
def test_the_key_and_the_bot_agree(facts: Facts, crop: str, seen: str, cause: str, source: str) -> None:
    ranked = [c.id for c in clinic(facts.tending).rank(seen, [crop])]
    assert ranked[0] == cause, f"{source}: {seen!r} gave {ranked[:3]}"
