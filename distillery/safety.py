"""Cautions: the text of each hazard once, with what it rests on.

``CAUTIONS`` are shown with every act that names them, ``TRIGGERED`` lead where a record's own
figures call for them (``pages/cautions.py``), ``SEEN`` are ticked. A plant may say each in words
of its own (``cautions.py``).

Reminders only. No text says that an act is safe, allowed or within a limit; who decides that
stands in ``WHO_DECIDES``, which every page with a caution shows.
"""

from dataclasses import dataclass

WHO_DECIDES = (
    "A reminder, not advice: local fire and building codes, the fire marshal, OSHA or the State "
    "plan, the makers' instructions and licensed trades decide."
)
TRADE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Caution:
    """One hazard: a title, at most three short lines with the weightiest first, its source."""

    title: str
    lines: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Seen:
    """A caution that is ticked as seen before a dangerous act; it never keeps a record back."""

    code: str
    text: str
    source: str


ENTERED = Seen(
    "seen-entry",
    "Nobody goes in again without permit, tested air and an attendant outside.",
    "29 CFR 1910.146",
)
OPENED_STILL = Seen(
    "seen-open-still",
    "Heat off, no pressure, vapor away: only then the running still is opened.",
    "the inquiry into a still that burst, State fire marshal of Kentucky, 2015, by press "
    f"summaries; {TRADE}",
)
SEEN = {one.code: one for one in (ENTERED, OPENED_STILL)}

CAUTIONS = {
    "lifting": Caution(
        "Lifting",
        (
            "Over 51 lb nobody lifts alone: a full 15 gallon barrel weighs about 165 lb.",
            "Keep the load close and do not twist.",
            "Take one case or bag at a time.",
        ),
        "NIOSH lifting equation: about 51 lb at best (OSHA page on it); the barrel's weight "
        "computed from 27 CFR 30.64's table",
    ),
    "grain_dust": Caution(
        "Grain dust",
        (
            "Keep sparks away and the dust down: fine grain dust can explode.",
            "Sweep it up, never blow it about.",
            "Do not breathe it, least of all from moldy grain.",
        ),
        "29 CFR 1910.272, written for elevators and mills",
    ),
    "mill": Caution(
        "Mill",
        (
            "Guard in place: stop the mill and cut its power before you reach in.",
            "Ear and breathing protection on while it runs.",
        ),
        TRADE,
    ),
    "hot_liquor": Caution(
        "Hot liquor and mash",
        (
            "Stand clear when you open it: hot mash and steam scald.",
            "Keep the lid on while the stirrer turns.",
        ),
        TRADE,
    ),
    "cooling": Caution(
        "Cooling",
        ("Vent before hot wash is pumped; look at the hose clamps, and for caustic left in it.",),
        TRADE,
    ),
    "co2": Caution(
        "Carbon dioxide",
        (
            "Open doors, run the fan, wear the meter: carbon dioxide lies low and in the tank.",
            "Never put your head into the manway.",
            "An oxygen meter alone does not warn in time.",
        ),
        "29 CFR 1910.1000 Table Z-1 (5,000 ppm over 8 hours) as quoted by NIOSH; NIOSH: 40,000 "
        "ppm is immediately dangerous",
    ),
    "confined_space": Caution(
        "Confined space",
        (
            "Do not climb or lean in: a tun or a tank is a confined space.",
            "Entry is for trained people, by permit, with someone outside.",
        ),
        "29 CFR 1910.146",
    ),
    "cleaning": Caution(
        "Cleaning",
        (
            "Purge carbon dioxide before caustic, vent open; goggles, gloves, wet floor sign.",
            "Never mix cleaners; read the label; rinse between them.",
            "Hot liquor scalds: let it drain away from people.",
        ),
        f"alkaline cleaners bind carbon dioxide, which leaves a vacuum; {TRADE}",
    ),
    "ethanol_vapour": Caution(
        "Alcohol vapor",
        (
            "Bond and ground before anything flows; no spark, flame or unrated plug here.",
            "Strong spirits give off vapor that lights: start slowly, metal touching metal.",
            "Wipe spills up at once and let air through.",
        ),
        "NIOSH Pocket Guide, ethyl alcohol (lower limit 3.3 %, flash point 55 F); 29 CFR "
        "1910.106(e)(6)(ii)",
    ),
    "still_pressure": Caution(
        "The still",
        (
            "Never close the vapor path; coolant on, receiver open to the air.",
            "If pressure rises or coolant stops: heat off and step back.",
            "Stay with the still for as long as it is hot.",
        ),
        "the inquiry into a still that burst, State fire marshal of Kentucky, 2015, by press "
        f"summaries; {TRADE}",
    ),
    "start_run": Caution(
        "Starting the still",
        (
            "Heaters covered, coolant on, vapor path and receiver open to the air.",
            "Bond and ground before it is filled; no spark or flame, extinguisher at hand.",
            "Stay with the still, and do not run it alone.",
        ),
        f"29 CFR 1910.106(e)(6)(ii); {TRADE}",
    ),
    "running": Caution(
        "The still runs",
        (
            "Stay with the still; heaters covered for the whole run: dry ones glow.",
            "Never close the vapor path; coolant on, receiver open to the air.",
            "If pressure rises or coolant stops: heat off and step back.",
        ),
        "the inquiry into a still that burst, State fire marshal of Kentucky, 2015, by press "
        f"summaries; {TRADE}",
    ),
    "basket": Caution(
        "The basket",
        (
            "Heat off and no pressure before the basket is opened.",
            "Spent botanicals are hot and hold spirits that burn: cool, drain, closed bin outside.",
        ),
        TRADE,
    ),
    "foreshots": Caution(
        "Foreshots",
        (
            "Keep foreshots apart, labeled for disposal.",
            "Do not taste them.",
        ),
        TRADE,
    ),
    "stillage": Caution(
        "Stillage",
        (
            "Heat and power off, vent open before you drain, or the still can be crushed.",
            "Stillage comes out near boiling: tie the hose down, stand clear.",
        ),
        TRADE,
    ),
    "barrels": Caution(
        "Barrels",
        (
            "Two people or a lift; chock it and keep feet clear.",
            "Fill slowly, goggles on: it splashes when it is full.",
        ),
        TRADE,
    ),
    "glass": Caution(
        "Glass",
        (
            "Cut-proof gloves and eye protection on; no bare hand near broken glass.",
            "Stop the filler before you reach in.",
        ),
        TRADE,
    ),
    "breakage": Caution(
        "Broken glass",
        (
            "Look everybody over for cuts first; then hold the cases that stood near.",
            "Stop the filler; sweep up with a brush, never by hand.",
        ),
        TRADE,
    ),
    "proofing": Caution(
        "Cutting with water",
        (
            "Add the water slowly, eye protection on: strong spirits splash.",
            "Stir, let it rest, then gauge it.",
        ),
        TRADE,
    ),
    "tasting": Caution(
        "Tasting",
        ("Spit, drink water, label the glass: nobody runs a still after tasting.",),
        TRADE,
    ),
    "leak": Caution(
        "A leak",
        ("Wet floor or a strong smell: tell the others at once, sparks out, doors open.",),
        "NIOSH Pocket Guide, ethyl alcohol (flash point 55 F)",
    ),
    "pressure_filter": Caution(
        "Filter under pressure",
        (
            "Let the pressure off before you open it.",
            "Stay below the limit on the filter's plate.",
        ),
        TRADE,
    ),
}

TRIGGERED = {
    "scald": Caution(
        "Over 140 °F",
        ("Over 140 °F it burns skin in seconds: lid down, stand clear, arms and face covered.",),
        "a deep burn in about 5 seconds at 140 °F: U.S. Consumer Product Safety Commission, on "
        "tap water, from memory",
    ),
    "strong": Caution(
        "50 % alcohol or more",
        ("50 % alcohol or more: its vapor lights in a warm room. Bond, ground, start slowly.",),
        "29 CFR 1910.106(e)(6)(ii); flash point near 75 °F at 50 %, a widely copied table, second "
        "hand: use the safety data sheet",
    ),
    "caustic": Caution(
        "Caustic",
        ("Carbon dioxide out before caustic goes in, vent open, or the tank is crushed.",),
        f"alkaline cleaners bind carbon dioxide, which leaves a vacuum; {TRADE}",
    ),
    "log_gap": Caution(
        "Not read for 30 minutes",
        ("Over 30 min without a reading: look at heat, coolant, pressure and receiver now.",),
        TRADE,
    ),
    "pressure_noted": Caution(
        "Pressure or coolant noted",
        ("Pressure or coolant was noted: unless it is right now, heat off and step back.",),
        "the inquiry into a still that burst, State fire marshal of Kentucky, 2015, by press "
        f"summaries; {TRADE}",
    ),
}
