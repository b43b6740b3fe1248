"""When a load may come, and where it may lie.

Rules of the trade (common practice, no source): a load on the roof lies on a sound old roof or on what is dried-in, on
both slopes and never the whole of it on one, never on shingles laid that day, never while a slot or deck is open;
everything else goes to the ground. The container stands before the first tear-off hour.
"""

from dataclasses import dataclass
from datetime import datetime, time, timedelta, tzinfo
from enum import StrEnum

TOUCHED_SQUARES = 0.01  # less is rounding


class LoadKind(StrEnum):
    """What a truck brings or takes."""

    MATERIALS = "materials"
    DUMPSTER_DROP = "dumpster_drop"
    DUMPSTER_SWAP = "dumpster_swap"
    FINAL_HAUL = "final_haul"
    LEFTOVERS = "leftovers"
    EQUIPMENT = "equipment"


class Place(StrEnum):
    """Where a load may lie."""

    ROOF = "roof"
    GROUND = "ground"


@dataclass(frozen=True)
class DeliveryRules:
    """Lead times of loads; every value is a setting (common practice, no source)."""

    materials_lead: timedelta = timedelta(minutes=60)
    container_lead: timedelta = timedelta(minutes=30)
    equipment_lead: timedelta = timedelta(minutes=60)
    ground_earliest: timedelta = timedelta(days=3)
    container_earliest: timedelta = timedelta(days=2)
    haul_within: timedelta = timedelta(days=2)
    leftovers_within: timedelta = timedelta(days=5)

    def __post_init__(self) -> None:
        if any(value < timedelta(0) for value in vars(self).values()):
            raise ValueError("A lead time must not be negative.")


DEFAULT_RULES = DeliveryRules()


@dataclass(frozen=True)
class JobMoments:
    """The moments of a planned job that its loads hang on; None where the plan does not know it yet.

    first_tear_off: the first roof comes off. phase_start: the waiting load's phase begins. dried_in_both: both slopes
    are dried-in. container_full: debris reaches the container's limit. finish: the last piece of work is done.
    """

    first_tear_off: datetime | None = None
    phase_start: datetime | None = None
    dried_in_both: datetime | None = None
    container_full: datetime | None = None
    finish: datetime | None = None

    def __post_init__(self) -> None:
        for name, moment in vars(self).items():
            if moment is not None and moment.utcoffset() is None:
                raise ValueError(f"The moment {name.replace('_', ' ')} needs a time zone.")


@dataclass(frozen=True)
class Window:
    """When a load may come at the earliest and must be there at the latest; None where not known. why: the rule."""

    not_before: datetime | None
    need_by: datetime | None
    why: str


def window(kind: LoadKind, place: Place, moments: JobMoments, rules: DeliveryRules = DEFAULT_RULES) -> Window:
    """Return when a load may come and must be there.

    Parameters
    ----------
    kind, place
        What comes, and where it is meant to lie.
    moments
        The job's planned moments, aware.
    rules
        Lead times.
    """
    tear_off, finish = moments.first_tear_off, moments.finish
    if kind is LoadKind.DUMPSTER_DROP:
        need_by = _earlier(tear_off, rules.container_lead)
        return Window(_earlier(need_by, rules.container_earliest), need_by, "before the first tear-off")
    if kind is LoadKind.DUMPSTER_SWAP:
        full = moments.container_full
        return Window(tear_off, full, "before the container is full; call a day ahead")
    if kind is LoadKind.FINAL_HAUL:
        return Window(finish, _later(finish, rules.haul_within), "after the last clean-up")
    if kind is LoadKind.LEFTOVERS:
        return Window(finish, _later(finish, rules.leftovers_within), "after the job")
    if kind is LoadKind.EQUIPMENT:
        need_by = _earlier(moments.phase_start or tear_off, rules.equipment_lead)
        return Window(_earlier(need_by, rules.container_earliest), need_by, "before the work that needs it")
    return _materials_window(place, moments, rules)


def _materials_window(place: Place, moments: JobMoments, rules: DeliveryRules) -> Window:
    need_by = _earlier(moments.phase_start or moments.first_tear_off, rules.materials_lead)
    if place is Place.GROUND:
        return Window(_earlier(need_by, rules.ground_earliest), need_by, "before its phase begins; to the ground")
    dried_in = moments.dried_in_both
    if dried_in is not None and (need_by is None or dried_in <= need_by):
        return Window(dried_in, need_by, "once both slopes are dried-in, before shingles are laid")
    # It cannot wait for both slopes: on the sound old roof, the day before or on the morning itself.
    before = _earlier(moments.first_tear_off, rules.materials_lead)
    need_by = before if need_by is None or (before is not None and before < need_by) else need_by
    return Window(_earlier(need_by, timedelta(days=1)), need_by, "on the sound old roof, before it is opened")


@dataclass(frozen=True)
class SlopeThen:
    """What lies on one slope when the truck comes [squares]."""

    old_squares: float
    bare_squares: float
    dried_in_squares: float
    shingled_squares: float
    shingled_today_squares: float = 0.0

    @property
    def carries(self) -> bool:
        """All of it is old roof or dried-in; fresh or finished shingles carry no load."""
        return self.bare_squares <= TOUCHED_SQUARES and self.shingled_squares <= TOUCHED_SQUARES


@dataclass(frozen=True)
class RoofThen:
    """The roof at the moment the truck comes.

    old_roof_sound: somebody looked and found it fit to carry; unknown counts as not. deck_repaired: the deck under what
    is dried-in is whole. allowed: the job lets a truck load the roof at all.
    """

    slopes: tuple[SlopeThen, ...]
    slot_open_ft: float = 0.0
    old_roof_sound: bool = False
    deck_repaired: bool = True
    allowed: bool = True


@dataclass(frozen=True)
class PlaceVerdict:
    """Where a load may lie, and the reason in a code and in words."""

    place: Place
    code: str
    why: str


def place_for(roof: RoofThen) -> PlaceVerdict:
    """Return where a load may lie on this roof at this moment; the ground wherever one rule is not met.

    The weight a roof carries is for its builder to say: no more than 3 to 4 bundles in one spot, over bearing lines,
    not on cantilevers (common practice, no source; IRC Table R301.6 gives live loads).
    """
    checks = (
        (not roof.allowed, "not_allowed", "this house takes no load on its roof"),
        (not roof.slopes, "unknown", "the roof is not measured"),
        (roof.slot_open_ft > 0, "slot_open", "a ridge slot is open"),
        (any(s.bare_squares > TOUCHED_SQUARES for s in roof.slopes), "bare_deck", "deck lies bare"),
        (
            any(s.shingled_today_squares > TOUCHED_SQUARES for s in roof.slopes),
            "fresh_shingles",
            "shingles were laid today",
        ),
        (not _both_slopes_carry(roof), "one_slope", "fewer than two slopes can carry it; it never lies on one alone"),
        (
            any(s.carries and s.old_squares > TOUCHED_SQUARES for s in roof.slopes) and not roof.old_roof_sound,
            "old_roof_unknown",
            "nobody has found the old roof sound",
        ),
        (
            any(s.carries and s.dried_in_squares > TOUCHED_SQUARES for s in roof.slopes) and not roof.deck_repaired,
            "deck_not_repaired",
            "the deck below is not repaired",
        ),
    )
    for broken, code, why in checks:
        if broken:
            return PlaceVerdict(Place.GROUND, code, why)
    return PlaceVerdict(Place.ROOF, "ok", "both slopes can carry it; spread it, 3 to 4 bundles in one spot")


def _both_slopes_carry(roof: RoofThen) -> bool:
    return sum(slope.carries for slope in roof.slopes) >= min(2, len(roof.slopes))


def ask_by(need_by: datetime, order_cutoff: time, zone: tzinfo, work_weekdays: str = "01234") -> datetime:
    """Return the last moment to order for a need: the supplier's cut-off on the last work day before the day of need.

    Parameters
    ----------
    need_by
        Aware moment.
    order_cutoff
        Wall time in the yard's zone until which orders for the next work day are taken.
    work_weekdays
        Digits of the days on which the supplier works, 0 is Monday.

    Raises ValueError where no day is a work day, or need_by has no zone.
    """
    if need_by.utcoffset() is None:
        raise ValueError("The moment of need needs a time zone.")
    if not set(work_weekdays) & set("0123456"):
        raise ValueError("A supplier needs at least one work day.")
    day = need_by.astimezone(zone).date() - timedelta(days=1)
    while str(day.weekday()) not in work_weekdays:
        day -= timedelta(days=1)
    return datetime.combine(day, order_cutoff, tzinfo=zone)


def trucks(weight_lb: float, payload_lb: float) -> int:
    """Return how many trucks a weight needs [lb]; ValueError for a payload that is not above zero."""
    if not payload_lb > 0:
        raise ValueError("A truck's payload must be above zero.")
    return max(1, -int(-weight_lb // payload_lb))


def _earlier(moment: datetime | None, by: timedelta) -> datetime | None:
    return None if moment is None else moment - by


def _later(moment: datetime | None, by: timedelta) -> datetime | None:
    return None if moment is None else moment + by
