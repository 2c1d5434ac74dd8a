"""The lines that take something and that a small beverage plant's acts cannot fill, and why."""

ASK_FIRST = "a write-in: TTB is asked before it is used, and no act of the plant writes there"
INDUSTRIAL = "alcohol of an industrial plant, of no beverage"

UNFILLED = {
    ("5110.40", "I", "13"): ASK_FIRST,
    ("5110.40", "I", "16"): ASK_FIRST,
    ("5110.40", "II", "4"): INDUSTRIAL,
    ("5110.40", "II", "5"): INDUSTRIAL,
    ("5110.40", "II", "6"): INDUSTRIAL,
    ("5110.28", "I", "21"): ASK_FIRST,
    ("5110.28", "II", "41"): ASK_FIRST,
}

# The ways into a line of movements, from account to account, that the year never uses. A bulk loss
# is never an unexplained shortage: that word is for bottles (27 CFR 19.465).
UNUSED_WAYS = {
    ("5110.40", "I", "13", "production", "write_in"),
    ("5110.40", "I", "16", "redistil", "write_in"),
    ("5110.11", "", "21", "storage", "write_in"),
    ("5110.11", "", "22", "storage", "shortage"),
    ("5110.28", "I", "21", "processing", "write_in"),
    ("5110.28", "I", "24", "processing", "shortage"),
    ("5110.28", "II", "41", "finished", "write_in"),
}
