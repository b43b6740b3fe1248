"""The words for the codes of the day sheet's standing content, for translation."""

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

WORDS: dict[str, str | Promise] = {
    # set-up
    "talk": _("Hold the toolbox talk; everyone signs"),
    "anchors": _("Set the anchors before anybody works near an edge"),
    "ladder": _("Tie the ladder, 3 ft above the eave, one foot out for four up"),
    "cover_plants": _("Cover plants, air conditioner and doors"),
    "drop_zone": _("Close the drop zone"),
    "container": _("Dumpster in place before the first tear-off"),
    "sky_agrees": _("The sky agrees with this sheet"),
    "deck_carries": _("The deck carries people"),
    "permit_visible": _("Permit can be read from the street"),
    "tarps_on_roof": _("Tarps and battens are on the roof"),
    # tear-off
    "strip_order": _("Open the slopes in the order of the figures"),
    "strip_full_swath": _("Strip full swaths, eave to ridge, at least 10 ft wide"),
    "pull_nails": _("Pull or set every nail"),
    "sweep_deck": _("Sweep the deck clean"),
    "not_past_stop": _("Not past the stop line"),
    "not_over_bare": _("Never more squares bare than allowed at once"),
    "next_strip_after_dry": _("Next strip only while everything bare still closes in time"),
    # deck
    "probe_deck": _("Probe the deck, most of all at eaves and valleys"),
    "replace_sheets": _("Replace rotten sheets; count them"),
    "renail_deck": _("Nail down loose boards and sheets"),
    "photo_deck": _("Photo of each bare slope"),
    "deck_flat": _("No edge stands up, no gap over 1/8 in without a clip"),
    "deck_dry": _("Deck is dry to the hand, or read with the meter"),
    "inspector_or_photo": _(
        "Inspector due: wait for the visit only while the strip still closes in time; else photos, and cover"
    ),
    # ice barrier
    "drip_edge_eave": _("Drip edge at the eave goes under the barrier"),
    "barrier_from_eave": _("Barrier from the lowest roof edge up"),
    "barrier_past_wall": _("At least 24 in past the inside of the wall"),
    "valley_lining": _("Line the valleys, 36 in wide, centered"),
    "photo_tape": _("Photo with the tape at the wall line"),
    "barrier_warm_dry": _("Only warm enough and on dry deck; else underlayment or tarp"),
    "laps_rolled": _("Laps rolled down"),
    # underlayment
    "roll_across": _("Roll across the slope, each course over the one below"),
    "cap_nails": _("Cap nails, closer on the laps"),
    "drip_edge_rake": _("Drip edge at the rake goes over the underlayment"),
    "lap_over_ridge": _("Lap it over the ridge"),
    "tie_in_old": _("Tie in to the old shingles on every side"),
    "cap_pipes": _("Cap every pipe and vent"),
    "every_side_tied": _("Every side is tied in"),
    "walls_sealed": _("Valleys and walls are sealed"),
    "not_over_wind": _("No rolling out above the wind limit"),
    # details
    "step_flashing": _("Step flashing: one piece a course"),
    "chimney_flashing": _("Chimney: apron, steps, back pan, counterflashing"),
    "boots": _("Boots lap over the course below and under the one above"),
    "flashing_under_course": _("Every flashing lies under the course above it"),
    "no_face_nails": _("No nails through exposed metal"),
    # shingles
    "color_check": _("Color checked against the order and a photo of the label before the first bundle"),
    "starter": _("Starter at the eave, sealing strip down"),
    "chalk_lines": _("Snap chalk lines, across and up"),
    "stagger": _("Stagger the joints as the wrapper says"),
    "nail_line": _("Nail on the nail line"),
    "nails_flush": _("Nails flush, straight, not overdriven"),
    "nail_count": _("Right number of nails in each shingle"),
    "valley_cut": _("Valleys cut and sealed as drawn"),
    "cold_hand_seal": _("Below 40 °F: warm bundles, seal by hand"),
    # ridge
    "ridge_chalk": _("Snap a chalk line at each edge of the slot"),
    "slot_cut": _("Cut the deck only, not the rafters"),
    "slot_stops": _("Stop the slot short of gable ends, hips, walls and chimney"),
    "vent_gap": _("Vent sections end to end, 1/8 in apart, flange on the chalk line"),
    "vent_one_side": _("Nail one slope fully"),
    "vent_other_side": _("Then the other, pulled flat without bending"),
    "ridge_caps": _("Caps with the prevailing wind"),
    "slot_finish_or_cover": _("Open only as many feet as can be finished or covered in time"),
    "vent_flat": _("Flange lies flat, not dimpled"),
    "vent_nails": _("Right nails: through vent, shingles and deck"),
    "caps_wind": _("Laps point away from the wind"),
    "last_cap_sealed": _("Last cap nailed and sealed"),
    # clean-up
    "magnet": _("Sweep with the magnet"),
    "gutters": _("Gutters clean"),
    "ladder_down": _("Ladder down"),
    "container_level": _("Dumpster not above its rim, covered"),
    "bare_zero": _("Bare deck 0 sq"),
    "ridge_zero": _("Open ridge 0 ft"),
    "laps_capped": _("Laps capped, valleys and walls sealed"),
    "photos_closed": _("Photo of every closed slope"),
    "report_hours": _("Squares and hours per phase reported"),
    # fasteners
    "deck_nail": _("deck nail"),
    "cap_nail": _("cap nail"),
    "drip_edge_nail": _("drip edge nail"),
    "roofing_nail": _("roofing nail"),
    "vent_nail": _("ridge vent nail"),
    "cap_shingle_nail": _("cap shingle nail"),
    "edges_6_field_12": _("6 in at edges, 12 in between"),
    "laps_closer": _("closer on laps, as the label says"),
    "wrapper_rules": _("the wrapper decides: 4 or 6"),
    "label": _("the label of the vent decides"),
    "sheet": _("sheet"),
    "roll": _("roll"),
    "stick": _("stick"),
    "shingle": _("shingle"),
    "vent": _("vent section"),
    "cap": _("cap"),
    # cautions
    "tie_off": _("Tie off at 6 ft and above, at any pitch."),
    "steep": _("Steep roof: guardrail with toeboards, net or harness; no monitor alone."),
    "surface": _("Check that the deck carries before anybody steps on it."),
    "lines": _("Keep ladders, tools and the boom at least 10 ft from power lines."),
    "skylight": _("Skylights are holes: cover or guard them."),
    "chute": _("Debris falls more than 20 ft: closed chute."),
    "thunder_today": _("Thunder in today's forecast: down at the first thunder, back 30 min after the last."),
    "thunder": _("At thunder: down, back 30 min after the last."),
    "gust_over": _("Gusts go over the limit: off the roof then."),
    "gust": _("Gusts stay under the limit in the forecast; the lead's own look counts more."),
    "gust_unknown": _("Gusts are not known: the lead decides, and stays on the safe side."),
    "heat_high": _("High heat: water every 15 to 20 min, shade, breaks, new people in short turns, watch each other."),
    "heat": _("Heat: water, shade, watch each other."),
    "frost": _("Frost or ice: nobody on the roof until it is gone, but to clear it."),
    "site": _("This site"),
    "competent": _("The competent person on site, local rules and the product's label come before this sheet."),
}
# Codes that mean one thing as a step and another as a caution.
CAUTION_WORDS: dict[str, str | Promise] = {
    "ladder": _("Ladder tied off, rails 3 ft above the eave, one foot out for four up."),
}


def words(code: str) -> str:
    """Return the sentence or name for a step, check, fastener or piece in the language in use; '' for no code."""
    return str(WORDS[code]) if code else ""


def caution_words(code: str) -> str:
    """Return the sentence for a caution in the language in use."""
    return str(CAUTION_WORDS.get(code) or WORDS[code])
