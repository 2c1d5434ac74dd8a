"""The three monthly reports as data, by the word the command and the pages use."""

from ledger.errors import BadFact
from reports.forms.processing_5110_28 import PROCESSING
from reports.forms.production_5110_40 import PRODUCTION
from reports.forms.shape import Form
from reports.forms.storage_5110_11 import STORAGE

FORMS: dict[str, Form] = {form.slug: form for form in (PRODUCTION, STORAGE, PROCESSING)}


def form_for(slug: str) -> Form:
    """The form called *slug*. Raises BadFact for another word."""
    if slug not in FORMS:
        raise BadFact(f"There is no form “{slug}”; one of {', '.join(FORMS)}.")
    return FORMS[slug]


__all__ = ["FORMS", "Form", "form_for"]
