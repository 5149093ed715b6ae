"""Check all knowledge: every file's shape, then what no shape can say, collected so that all is mended at once."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING

from bot.facts.errors import Fault, KnowledgeError
from bot.facts.walking import rooms

if TYPE_CHECKING:
    from bot.facts import Facts

#: Modules outside bot.facts whose `check(facts)` looks at knowledge too, such as phrases that nothing can reach.
_ELSEWHERE = ("bot.understanding.checking",)


def check_all(facts: Facts) -> list[Fault]:
    """Return every fault of the knowledge, in the order of files and lines; an empty list means it is sound.

    Shapes are checked first. Checks of meaning run on whatever can be read, so that one broken file does not
    hide the faults of the others; a check that needs a broken room is passed over.
    """
    faults = _shapes(facts)
    for name, module in rooms().items():
        if not callable(getattr(module, "check", None)):
            continue
        try:
            faults += module.check(facts)
        except KnowledgeError as error:
            faults += error.faults
        except (ImportError, AttributeError, LookupError) as error:
            faults.append(Fault(f"bot/facts/{name}.py", 0, "", f"cannot be checked: {type(error).__name__}: {error}"))
    for path in _ELSEWHERE:
        try:
            module = importlib.import_module(path)
        except ModuleNotFoundError:
            continue
        faults += module.check(facts)
    unique = dict.fromkeys(faults)
    return sorted(unique, key=lambda fault: (fault.file, fault.line, fault.field, fault.message))


def _shapes(facts: Facts) -> list[Fault]:
    """Read every file and return the faults of shape. Bad crops are then left out, so that meaning can be checked."""
    facts.skip_bad_crops = True
    faults: list[Fault] = []
    try:
        _ = facts.written_crops
        faults += facts.skipped
        _ = facts.sources
    except KnowledgeError as error:
        faults += error.faults
    for name, module in rooms().items():
        if not hasattr(module, "FILES"):
            continue
        try:
            getattr(facts, name)
        except KnowledgeError as error:
            faults += error.faults
        except AttributeError:
            faults.append(Fault(f"bot/facts/{name}.py", 0, "", "holds tables but Facts has no room of that name"))
    return faults
