"""Four invented crews, one of them a subcontractor's, with their twenty people."""

from types import MappingProxyType

from roofops.demo.story import AbsenceStory, CrewStory, PersonStory

FALL, FIRST_AID, LIFT = "fall protection", "first aid", "boom truck signals"
LEAD = ("lead", "tear_off", "shingles", "flashing", "ridge", "steep")
FLASHER = ("tear_off", "shingles", "flashing")
STEEP = ("tear_off", "shingles", "steep")


def _trained(**months: int) -> MappingProxyType[str, int]:
    names = {"fall": FALL, "first_aid": FIRST_AID, "lift": LIFT}
    return MappingProxyType({names[key]: value for key, value in months.items()})


RUIZ = CrewStory(
    name="Ruiz",
    user_name="ruiz",
    overtime_allowed=True,
    people=(
        PersonStory("Mateo Ruiz", "555-0111", "es", LEAD, 46, _trained(fall=5, first_aid=9, lift=5)),
        PersonStory("Inés Calloway", "555-0112", "es", FLASHER, 40, _trained(fall=5)),
        PersonStory("Beto Farrow", "555-0113", "es", STEEP, 38, _trained(fall=8)),
        PersonStory("Wyn Talbard", "555-0114", "en", trained=_trained(fall=3)),
        PersonStory(
            "Rafa Ondine",
            "555-0115",
            "es",
            trained=_trained(fall=11),
            # Every second Friday off, as a rule that recurs (RFC 5545).
            away=(AbsenceStory(2, rule="FREQ=WEEKLY;INTERVAL=2;BYDAY=FR", reason="evening course"),),
        ),
    ),
)

ADEYEMI = CrewStory(
    name="Adeyemi",
    user_name="adeyemi",
    tarps=3,
    people=(
        PersonStory("Tola Adeyemi", "555-0121", "en", LEAD, 46, _trained(fall=2, first_aid=2)),
        PersonStory("Piet Osgar", "555-0122", "en", FLASHER, 41, _trained(fall=2)),
        PersonStory("Luca Brandt-Vey", "555-0123", "en", STEEP, 38, _trained(fall=6)),
        PersonStory("Nando Quist", "555-0124", "es", trained=_trained(fall=6)),
        PersonStory("Sefa Lowrie", "555-0125", "en", trained=_trained(fall=9)),
        PersonStory(
            "Emil Hask", "555-0126", "en", trained=_trained(fall=4), away=(AbsenceStory(3, days=2, reason="family"),)
        ),
    ),
)

OKONJO = CrewStory(
    name="Okonjo",
    user_name="okonjo",
    people=(
        PersonStory("Grace Okonjo", "555-0131", "en", LEAD, 46, _trained(fall=4, first_aid=1, lift=4)),
        PersonStory("Dov Marlin", "555-0132", "en", FLASHER, 40, _trained(fall=4)),
        PersonStory("Chuy Valderas", "555-0133", "es", STEEP, 38, _trained(fall=10)),
        PersonStory("Anneli Purcell", "555-0134", "en", trained=_trained(fall=1)),
        PersonStory("Marek Thole", "555-0135", "en", trained=_trained(fall=7)),
    ),
)

SZABO = CrewStory(
    name="Szabo",
    user_name="szabo",
    kind="subcontract",
    insurance_months=5,
    steep_limit_in_12=9,
    people=(
        PersonStory("Lena Szabo", "555-0141", "en", LEAD, 48, _trained(fall=6, first_aid=6)),
        PersonStory("Gil Tenby", "555-0149", "en", FLASHER, 42, _trained(fall=6)),
        PersonStory("Oskar Ilves", "555-0143", "en", STEEP, 40, _trained(fall=3)),
        PersonStory("Teo Barragan", "555-0144", "es", trained=_trained(fall=12)),
    ),
)

CREWS = (RUIZ, ADEYEMI, OKONJO, SZABO)
