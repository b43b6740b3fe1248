"""A job as it is handed in to be saved, whole and checked: from the form or from an import."""

import zoneinfo
from dataclasses import dataclass, field
from datetime import date, time
from math import isfinite

from jobs.building_code import EDITIONS
from jobs.production_table import CUT_UP_FACTORS
from jobs.roof_data import RoofData
from jobs.roof_measure import Underlayment, check_not_negative

JOB_KINDS = ("re_roof", "repair", "emergency_cover")
TEXT_LIMITS = {
    "number": 20,
    "short_name": 40,
    "street": 120,
    "city": 80,
    "state": 2,
    "time_zone": 64,
    "product_line": 80,
    "shingle_color": 40,
    "metal_color": 40,
    "permit_number": 40,
    "hazards": 300,
    "wishes": 300,
    "measured_by": 40,
}


def check_time_zone(name: str) -> str:
    """Return the name of a time zone.

    Raises
    ------
    ValueError
        The IANA time zone database does not hold it.
    """
    if name not in zoneinfo.available_timezones():
        raise ValueError(f"“{name}” is not a time zone name; use one such as America/Chicago.")
    return name


def check_place(lat: float, lon: float) -> None:
    """Refuse a place that is not on earth, in degrees.

    Raises ValueError naming which of both is wrong; a latitude beyond 90 often means that both were swapped.
    """
    if not isfinite(lat) or not -90 <= lat <= 90:
        raise ValueError(f"A latitude lies between -90 and 90, but is {lat:g}; are latitude and longitude swapped?")
    if not isfinite(lon) or not -180 <= lon <= 180:
        raise ValueError(f"A longitude lies between -180 and 180, but is {lon:g}.")


@dataclass(frozen=True)
class ContactData:
    """The homeowner; saved apart from the job so that it can be deleted."""

    name: str
    phone: str = ""
    email: str = ""
    language: str = "en"

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise ValueError("A homeowner needs a name.")
        if len(self.name) > 120 or len(self.phone) > 40 or len(self.email) > 254:
            raise ValueError("The homeowner's name, phone or e-mail is too long.")


@dataclass(frozen=True)
class JobData:
    """One job with its roof.

    time_zone: empty means the yard's. ready: for each line of the ready-to-build checklist that was named whether it is
    done ("done"), still owed ("owed") or not needed ("not_needed"). roof_drop_allowed: somebody looked and found the
    old roof sound and in reach of a truck; unknown does not allow it.

    Raises ValueError, in a sentence the office can act on, for anything out of range.
    """

    number: str
    short_name: str
    street: str
    lat: float
    lon: float
    roof: RoofData
    kind: str = "re_roof"
    city: str = ""
    state: str = ""
    time_zone: str = ""
    storeys: int = 1
    layers: int = 1
    cut_up: str = "simple"
    debris_carry: bool = False
    code_edition: str = "2018"
    ice_barrier_required: bool = True
    wall_thickness_in: float = 6.5
    eave_overhang_in: float = 12.0
    deck_sheets_allowance: int = 2
    product_line: str = ""
    shingle_color: str = ""
    metal_color: str = ""
    underlayment: str = Underlayment.SYNTHETIC.value
    permit_number: str = ""
    promised_from: date | None = None
    promised_by: date | None = None
    blocked_dates: tuple[date, ...] = ()
    allowed_start: time | None = None
    allowed_end: time | None = None
    priority: int = 2
    contract_value_usd: int = 0
    roof_drop_allowed: bool = False
    hazards: str = ""
    wishes: str = ""
    measured_by: str = ""
    contact: ContactData | None = None
    ready: dict[str, str] = field(default_factory=dict)

    def __post_init__(self) -> None:
        for name, label in (("number", "job number"), ("short_name", "short name"), ("street", "street")):
            if not getattr(self, name).strip():
                raise ValueError(f"A job needs a {label}.")
        for name, limit in TEXT_LIMITS.items():
            if len(getattr(self, name)) > limit:
                raise ValueError(f"The {name.replace('_', ' ')} is longer than {limit} letters.")
        check_place(self.lat, self.lon)
        if self.time_zone:
            check_time_zone(self.time_zone)
        self._check_choices()
        self._check_numbers()
        self._check_dates()

    def _check_choices(self) -> None:
        for name, value, allowed in (
            ("kind of job", self.kind, JOB_KINDS),
            ("cut-up", self.cut_up, tuple(CUT_UP_FACTORS)),
            ("code edition", self.code_edition, tuple(EDITIONS)),
            ("underlayment", self.underlayment, tuple(u.value for u in Underlayment)),
        ):
            if value not in allowed:
                raise ValueError(f"“{value}” is not known as {name}; use one of {', '.join(allowed)}.")
        for kind, state in self.ready.items():
            if state not in ("done", "owed", "not_needed"):
                raise ValueError(f"“{state}” says nothing about “{kind}”; use done, owed or not_needed.")

    def _check_numbers(self) -> None:
        for label, value, low, high in (
            ("number of storeys", self.storeys, 1, 4),
            ("number of layers", self.layers, 1, 5),
            ("priority", self.priority, 0, 3),
            ("allowance of deck sheets", self.deck_sheets_allowance, 0, 500),
            ("wall thickness in inches", self.wall_thickness_in, 0, 36),
            ("eave overhang in inches", self.eave_overhang_in, 0, 60),
        ):
            if not low <= value <= high:
                raise ValueError(f"The {label} must lie between {low} and {high}, but is {value:g}.")
        if check_not_negative("contract value", self.contract_value_usd) > 100_000_000:
            raise ValueError("The contract value is over 100 million dollars.")

    def _check_dates(self) -> None:
        if self.promised_from and self.promised_by and self.promised_by < self.promised_from:
            raise ValueError("The promised window ends before it begins.")
        if self.allowed_start and self.allowed_end and self.allowed_end <= self.allowed_start:
            raise ValueError("The allowed work hours end before they begin.")
