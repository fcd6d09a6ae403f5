"""What can go wrong with the data file, each with a sentence for the person at the bench."""


class Trouble(Exception):
    """Something about the data file that a person has to know. `say` is the sentence for the screen."""

    def __init__(self, say: str) -> None:
        super().__init__(say)
        self.say = say


class NotKept(Trouble):
    """A record is not on the disk. Nothing of it is stored or shown; the caller still has all that was typed."""


class Held(Trouble):
    """Another process has this data folder open."""


class Unusable(Trouble):
    """The data file cannot be opened or made at all."""


class AppendOnly(TypeError):
    """The file is only ever appended to: nothing in it is changed or removed."""
