"""A refusal by a rule of ours, in one plain sentence that a page shows as it is."""


class Refused(ValueError):
    """The action would break a rule; nothing was changed. `code` names the rule for pages and tests."""

    def __init__(self, code: str, sentence: str) -> None:
        super().__init__(sentence)
        self.code = code
