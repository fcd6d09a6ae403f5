"""The one error for what a person typed."""


class Refusal(ValueError):
    """Input that cannot be used.

    `say` is one sentence that a maker can act on; `field` names the field it belongs to; None: it concerns the whole.
    `offers` are texts that may have been meant, for a key each.
    """

    def __init__(self, say: str, field: str | None = None, offers: tuple[str, ...] = ()) -> None:
        super().__init__(say)
        self.say = say
        self.field = field
        self.offers = offers
