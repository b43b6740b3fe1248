"""What the manager decides about tomorrow around noon, and who is told when."""

from dataclasses import dataclass
from datetime import time


@dataclass(frozen=True)
class ChoiceStory:
    """One choice for a roof's next work day; `told` lists party, state and wall time."""

    number: str
    at: time
    choice: str
    told: tuple[tuple[str, str, time], ...] = ()


CHOICES = (
    ChoiceStory("J-2041", time(12, 1), "go", told=(("crew", "told", time(12, 3)), ("homeowner", "told", time(12, 5)))),
    ChoiceStory(
        "J-2044", time(12, 8), "at_530", told=(("crew", "told", time(12, 10)), ("homeowner", "asked", time(12, 12)))
    ),
    ChoiceStory("J-2038", time(12, 35), "go", told=(("crew", "told", time(12, 37)),)),
)
