"""Cautions: the text of each hazard once, with what it rests on.

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
            "Lift with help or a lift: a full 15 gallon barrel weighs about 165 lb.",
            "Keep the load close and do not twist.",
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
            "Blow the carbon dioxide out before caustic, vent open: the tank can be crushed.",
            "Goggles and gloves on; never mix cleaners; rinse between them.",
            "Hot liquor scalds: let it drain away from people.",
        ),
        f"alkaline cleaners bind carbon dioxide, which leaves a vacuum; {TRADE}",
    ),
    "ethanol_vapour": Caution(
        "Alcohol vapor",
        (
            "No spark, flame or unrated plug here: strong spirits give off vapor that lights.",
            "Bond and ground both vessels before anything flows.",
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
    "heaters": Caution(
        "Heaters",
        (
            "Keep heating elements covered for the whole run; dry ones glow.",
            "Power off before you drain.",
        ),
        TRADE,
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
            "Stillage comes out near boiling: tie the hose down, stand clear.",
            "Open the vent first, or the still can be crushed as it cools.",
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
            "Wear cut-proof gloves for broken glass.",
            "Stop the filler before you reach in.",
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
