"""The line under a verdict: which job, which roof, which crew."""

from dataclasses import dataclass


@dataclass(frozen=True)
class JobLine:
    """One job with the crew of the day. people_here is what the lead reported; None: nobody reported yet."""

    job_id: int
    number: str
    short_name: str
    street: str
    city: str
    squares: float
    pitch_in_12: float  # the steepest slope
    storeys: int
    layers: int
    slopes: int
    old_squares: float
    crew_id: int | None = None
    crew_name: str = ""
    subcontract: bool = False
    people_planned: float = 0.0
    people_here: float | None = None
    lead_name: str = ""
    lead_phone: str = ""
    zone: str = ""  # set where the job's zone is not the yard's
