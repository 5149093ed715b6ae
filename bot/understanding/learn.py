"""Learn from the phrases and keep what was learned beside them: `python -m bot.understanding.learn [--glance] [--scales]`.

`--glance` also learns to read a whole message at one glance, and `--scales` first learns anew how messages are cut and how sure a
reading is. Both need the `learn` extra, and take forty minutes and two hours on one processor.

Without this the bot still learns by itself when the phrases changed, and keeps it in the cache folder; it only takes
some minutes at the first start.
"""

from __future__ import annotations

import sys

from bot.facts import Facts
from bot.understanding import ways
from bot.understanding.reader import Understander
from bot.understanding.school import SHIPPED, save
from bot.understanding.weighing import learn_scales, write_scales


def main() -> None:
    """Write the shipped file."""
    facts = Facts()
    if "--scales" in sys.argv[1:]:
        scales, weigher = learn_scales(facts)
        write_scales(facts.root, scales)
        ways.save(facts.root / "phrases" / ways.SHIPPED, weigher)
    reader = Understander(facts)
    if "--glance" in sys.argv[1:]:
        from bot.understanding import glance
        from bot.understanding.glance_school import glance_of

        glance.save(facts.root / "phrases" / glance.SHIPPED, glance_of(facts, reader.marker))
    school = reader.school
    path = facts.root / "phrases" / SHIPPED
    save(path, school)
    model = school.model
    print(f"{path.name}: {path.stat().st_size / 1e6:.1f} MB, {len(model.labels)} phrases, {len(model.index)} features")


if __name__ == "__main__":
    main()
