"""What can go wrong between us and a source, in words that a page may show."""


class NoContact(RuntimeError):
    """The source is off because no contact for its operators has been set."""

    def __init__(self) -> None:
        super().__init__("The weather service is off: no contact for its operators is set (ROOFOPS_WEATHER_CONTACT).")


class FetchFailed(RuntimeError):
    """The source did not give a usable answer; the message says why in words."""


class Transient(FetchFailed):
    """It may work on the next try. `wait_s`: how long the source asked us to wait [s], if it did."""

    def __init__(self, message: str, wait_s: float | None = None) -> None:
        super().__init__(message)
        self.wait_s = wait_s


class GridMoved(FetchFailed):
    """The source no longer knows this cell or place: the grid was renumbered, or the place lies outside it."""
