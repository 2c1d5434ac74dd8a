"""What to do when something goes wrong: few lines for each case, with what they rest on.

The words defer to emergency services and to the plant's own plan; none says that an act is safe.
"""

from dataclasses import dataclass

WHO_DECIDES = (
    "The fire department, the plant's own emergency plan and local codes come before this page."
)


@dataclass(frozen=True, slots=True)
class Case:
    """One emergency: what it is called, at most four lines in the order to act, their source."""

    code: str
    title: str
    lines: tuple[str, ...]
    source: str


CASES = (
    Case(
        "fire",
        "Fire",
        (
            "Shout, sound the alarm, get everybody out. Call 911 from outside.",
            "Cut heat and power to the still only if it is on your way out.",
            "Fight it only if you are trained, it is small and your back is to the exit.",
            "Meet at the assembly point. Count heads. Nobody goes back in.",
        ),
        "29 CFR 1910.38(c) and 1910.157(b), from memory",
    ),
    Case(
        "spill",
        "Spilled spirits",
        (
            "Heat off, flames and sparks out. Touch no switch in the vapor.",
            "People out, doors open. Stop the flow if you can reach it from clean air.",
            "Keep it out of drains; soak it up with the spill kit, outside in a closed bin.",
            "A large spill, a strong smell or wet clothes: leave and call 911.",
        ),
        "NIOSH Pocket Guide, ethyl alcohol (lower limit 3.3 %, flash point 55 F); 29 CFR "
        "1910.120(q), from memory",
    ),
    Case(
        "co2",
        "Carbon dioxide",
        (
            "Dizzy, short of breath, a meter alarm: out into the open at once.",
            "Somebody is down: do not go in after them. Call 911 and say carbon dioxide.",
            "Open doors and run the fan from outside.",
            "Go back only when the air was measured from outside.",
        ),
        "NIOSH: 40,000 ppm is immediately dangerous; 29 CFR 1910.146(d)(9), from memory",
    ),
    Case(
        "burn",
        "Burn or scald, caustic in the eye",
        (
            "Heat or caustic off the person first; wet or soaked clothes off.",
            "Burn: cool running water, 20 minutes. No ice, no grease.",
            "Eye or skin with chemical: rinse at the eyewash, 15 minutes or more.",
            "Large, deep, face, hands, or an eye: call 911.",
        ),
        "29 CFR 1910.151(c) asks for an eyewash where there are corrosives; first aid from memory",
    ),
    Case(
        "confined",
        "Somebody inside a tank or tun",
        (
            "Do not enter. Most who die in tanks went in to help.",
            "Call 911 and say confined space. Stop pumps, stirrers, heat and gas.",
            "Talk to the person. Pull from outside only with a line already on them.",
            "Air in from outside: open manway and vent, fan blowing in.",
        ),
        "29 CFR 1910.146(d)(9) and (k); NIOSH alerts on confined spaces, from memory",
    ),
    Case(
        "still",
        "The still: pressure up, coolant gone, vapor out",
        (
            "Heat off at the switch you can reach from away. Step back.",
            "Do not open, tighten or hit anything under pressure.",
            "Vapor you can smell or see: everybody out, then 911.",
            "Leave it to cool with its vent open, or a vacuum can crush it.",
        ),
        "the inquiry into a still that burst, State fire marshal of Kentucky, 2015, by press "
        "summaries; common practice, no source",
    ),
)
