"""Learn from the phrases and keep what was learned beside them: `python -m bot.understanding.learn [--scales]`.

`--scales` first learns anew how messages are cut and how sure a reading is, which takes minutes.

Without this the bot still learns by itself when the phrases changed, and keeps it in the cache folder; it only takes
a minute at the first start.
"""

from __future__ import annotations

import sys

from bot.facts import Facts
from bot.understanding.reader import Understander
from bot.understanding.school import SHIPPED, save
from bot.understanding.weighing import learn_scales, write_scales


def main() -> None:
    """Write the shipped file."""
    facts = Facts()
    if "--scales" in sys.argv[1:]:
        write_scales(facts.root, learn_scales(facts))
    school = Understander(facts).school
    path = facts.root / "phrases" / SHIPPED
    save(path, school)
    model = school.model
    print(f"{path.name}: {path.stat().st_size / 1e6:.1f} MB, {len(model.labels)} phrases, {len(model.index)} features")


if __name__ == "__main__":
    main()
