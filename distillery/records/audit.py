"""What an auditor asks for at a distilled spirits plant, each with what answers it.

The headings follow the TTB's own list of what its audits of distilled spirits plants find most
(web guidance on common compliance and tax issues, read as an excerpt); the rest are duties of
27 CFR part 19 with their sections.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Page:
    """A page of the app by the name of its address."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class Asked:
    """One thing asked for: records by their names, then pages, then what else to have at hand."""

    words: str
    records: tuple[str, ...] = ()
    pages: tuple[Page, ...] = ()
    beside: str = ""


FILINGS = Page("reports:filings", "Monthly reports")
RETURNS = Page("reports:returns", "Tax returns")
FLOOR = Page("floor", "Vessels as they stand")
TRACE = Page("trace", "Trace a lot")

HEADINGS: tuple[tuple[str, tuple[Asked, ...]], ...] = (
    (
        "Records",
        (
            Asked("Physical inventory records, signed (19.623)", ("inventories",),
                  (Page("counts", "Counts"),)),
            Asked("Records against reports (19.571, 19.632)", ("daily-record",), (FILINGS,),
                  "Each figure of a report opens the movements behind it."),
            Asked("Types of records required (19.571)", pages=(Page("record-set", "All records"),)),
            Asked("Transfers between bonded premises (19.620, 19.621)",
                  ("transfers-shipped", "transfers-received", "transfer-applications")),
            Asked("Finished-product records (19.599 to 19.603)",
                  ("finished-products", "bottling", "liquor-bottles")),
            Asked("Record of tax determination (19.611, 19.612)",
                  ("tax-determination", "tax-summary")),
            Asked("Effective tax rates, where wine or flavors earn a credit (19.613 to 19.615)",
                  ("average-effective-rate", "inventory-reserve", "standard-effective-rate")),
            Asked("Record of destruction (19.617)", ("destruction",)),
        ),
    ),
    (
        "Accounts and gauges",
        (
            Asked("Storage (19.590 to 19.593)",
                  ("tank-record", "tank-summary", "package-summary", "storage-operations")),
            Asked("Processing (19.597, 19.598, 19.602)",
                  ("processing-receipts", "dump-batch", "redistillation")),
            Asked("Denatured spirits", beside="This book keeps none."),
            Asked("Production, from grain to gauge (19.584, 19.585)",
                  ("materials", "distilling-material", "production", "readings"), (TRACE,)),
            Asked("Marks of cases and packages (19.484, 19.488 to 19.490)",
                  ("case-serials", "package-marks", "package-marks-processing")),
            Asked("Gauge records with their elements (19.618, 19.619)",
                  ("gauge-records", "package-gauge-records")),
        ),
    ),
    (
        "Reporting",
        (
            Asked("Monthly reports of three years (19.632, 19.575)", pages=(FILINGS,)),
            Asked("Losses in bond (19.461 to 19.465)", ("losses",)),
            Asked("Timing of the tax return (19.235, from memory)", ("tax-summary",), (RETURNS,)),
            Asked("When each record was entered (19.580), what was mended (19.576)",
                  ("daily-record", "corrections")),
        ),
    ),
    (
        "Registration, equipment, product",
        (
            Asked("Registration against what is on the ground (19.182)", (), (FLOOR,),
                  "Beside it: the registration, the permit and the plan of the plant."),
            Asked("Tests of scales, meters, hydrometers, thermometers (19.186, 19.188)",
                  ("instrument-tests",)),
            Asked("Formulas and label approvals of what was bottled (19.348)",
                  ("formulas", "bottling"), (), "Beside it: the approvals themselves."),
            Asked("Strength and fill of bottles on the shelf (19.356, 19.600)",
                  ("fill-and-alcohol-tests", "bottling")),
            Asked("Samples, returns, relabelling, taxpaid storeroom (19.616, 19.452, 19.604, "
                  "19.622)",
                  ("samples", "returns-to-bond", "relabelling", "taxpaid-storeroom")),
            Asked("Notices, and acts without a quantity (19.571)", ("other-acts",),
                  (Page("notices", "Notices"),)),
            Asked("The program itself and how it figures (19.574)", (),
                  (Page("bench", "Calculations, step by step"),)),
        ),
    ),
)  # fmt: skip
