"""No TTB F 5110.40 is due for a month through which production is suspended by notice.

27 CFR 19.632(a)(1), 19.292. Only a whole month counts, and only one in which nothing was made:
what happened is reported all the same.
"""

from dataclasses import replace

from distillery.notices import suspended, told_day
from reports.filled import FilledForm
from reports.month_book import MonthBook

NOT_DUE = "Not due: "


def marked(form: FilledForm, book: MonthBook) -> FilledForm:
    """*form*, led by a note when it is the production report and none is due."""
    if form.slug != "production" or any(cell.value for *_, cell in form.every_cell()):
        return form
    found = suspended(book.premises, book.month, book.last_day)
    if found is None:
        return form
    note = (
        f"{NOT_DUE}production is suspended since {told_day(found.first)} by the notice of "
        f"{told_day(found.given_on)} (27 CFR 19.292, 19.632(a)(1))."
    )
    return replace(form, notes=(note, *form.notes))


def is_due(form: FilledForm) -> bool:
    """Whether the report is to be filed."""
    return not any(note.startswith(NOT_DUE) for note in form.notes)
