"""The commands: one file each, and its name is the command's word.

A file here says `SAYS` (its line in the help) and `GROUP`, names its `OPTIONS` as the standard library's parser takes
them, and has `run`, which is called with those options by name and gives the exit code: 0 done, 1 it failed, 2 it was
asked wrongly. The launcher reads these files before anything is installed, so what else a command needs it imports
inside `run`. A word that Python keeps for itself ends in an underscore as a file: `import_.py` is `import`.
"""

import os

TYPE_CHECKING = False  # as the type checker knows it; the module of this name would cost every start
if TYPE_CHECKING:
    from collections.abc import Callable
    from types import ModuleType

GROUPS = {
    "bench": "Open the bench",
    "calculate": "Calculate",
    "data": "Look after the data",
    "develop": "Change Saggar itself, in its source folder",
}


class Command:
    """One command as its file declares it."""

    def __init__(self, word: str, declared: "ModuleType") -> None:
        self.word = word
        self.says: str = declared.SAYS
        self.group: str = declared.GROUP
        self.more: str = getattr(declared, "MORE", "")
        """What its help says beyond `says` and the options."""
        self.options: dict[str, dict[str, object]] = getattr(declared, "OPTIONS", {})
        self.as_typed: bool = getattr(declared, "AS_TYPED", False)
        """Whether it reads its words itself: `run(words)` gets them as they were typed, `--help` among them."""
        self.sets: tuple[str, ...] = getattr(declared, "SETS", ("run",))
        """The sets of the lock that have to be installed for it."""
        self.opens: bool = getattr(declared, "OPENS", False)
        """Whether it shows pages or prints, which asks for libraries of the system."""
        self.run: Callable[..., int] = declared.run


def words() -> list[str]:
    """The words of all commands, in the order of the alphabet."""
    return sorted(_word(name) for name in os.listdir(os.path.dirname(__file__)) if _is_command(name))


def find(word: str) -> Command:
    """The command of a word. Errors: KeyError when there is none."""
    if word not in words():
        raise KeyError(word)
    for name in (word.replace("-", "_"), word + "_"):
        if os.path.exists(os.path.join(os.path.dirname(__file__), name + ".py")):
            return Command(word, __import__(f"bench.commands.{name}", fromlist=["run"]))
    raise KeyError(word)


def _is_command(name: str) -> bool:
    return name.endswith(".py") and not name.startswith("_")


def _word(name: str) -> str:
    return name.removesuffix(".py").rstrip("_").replace("_", "-")
