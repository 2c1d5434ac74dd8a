"""Where each filing lives."""

from django.urls import URLPattern, URLResolver, path, register_converter

from reports import (
    calendar_pages,
    checked_pages,
    credit_pages,
    filed_pages,
    landed_pages,
    late_pages,
    reconciliation_pages,
    return_pages,
    state_pages,
    views,
)
from reports.addresses import DayConverter, MonthConverter
from reports.state_periods import StatePeriodConverter

register_converter(MonthConverter, "month")
register_converter(DayConverter, "day")
register_converter(StatePeriodConverter, "span")

app_name = "reports"

urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.filings, name="filings"),
    path("<month:of_month>/", views.month, name="month"),
    path("<month:of_month>/close/", views.close, name="close"),
    path("<month:of_month>/export/<slug:format>/", views.export, name="export-all"),
    path("returns/", return_pages.returns, name="returns"),
    path("returns/adjust/", return_pages.adjust, name="adjust"),
    path("returns/prepay/", return_pages.prepay, name="prepay"),
    path("returns/<day:day>/", return_pages.tax_return, name="return"),
    path("returns/<day:day>/file/", return_pages.file, name="return-file"),
    path("returns/<day:day>/export/<slug:format>/", return_pages.export, name="return-export"),
    path("credits/", credit_pages.credits, name="credits"),
    path("credits/<slug:act>/", credit_pages.credit, name="credit"),
    path("states/", state_pages.states, name="states"),
    path("states/<span:span>/", state_pages.state_period, name="state-period"),
    path("states/<span:span>/export/<slug:format>/", state_pages.export, name="state-export"),
    path("states/<span:span>/<slug:state>/file/", state_pages.file, name="state-file"),
    path("late/<slug:slug>/", late_pages.late, name="late"),
    path("reconciliation/", reconciliation_pages.reconciliation, name="reconciliation"),
    path("reconciliation/paper.pdf", reconciliation_pages.paper, name="reconciliation-paper"),
    path("calendar/", calendar_pages.calendar, name="calendar"),
    path("calendar/soon/", calendar_pages.due_soon, name="due-soon"),
    path("calendar/address/", calendar_pages.make_address, name="calendar-address"),
    path("calendar/<str:secret>.ics", calendar_pages.feed, name="calendar-feed"),
    path("entries/<int:number>/", landed_pages.landing, name="landed"),
    path("forms/<slug:form>/check/", checked_pages.check, name="check-form"),
    path("amend/", filed_pages.to_amend, name="amend"),
    path("filed/<int:pk>/", filed_pages.filed, name="filed"),
    path("filed/<int:pk>/paper.pdf", filed_pages.paper, name="filed-paper"),
    path("<month:of_month>/<slug:form>/file/", filed_pages.file, name="file"),
    path("<month:of_month>/<slug:form>/<slug:source>/file/", filed_pages.file, name="file"),
    path("<month:of_month>/<slug:form>/", views.form, name="form"),
    path("<month:of_month>/<slug:form>/behind/", views.cell, name="cell"),
    path("<month:of_month>/<slug:form>/export/<slug:format>/", views.export, name="export"),
    path("<month:of_month>/<slug:form>/<slug:source>/", views.form, name="form"),
    path("<month:of_month>/<slug:form>/<slug:source>/behind/", views.cell, name="cell"),
    path(
        "<month:of_month>/<slug:form>/<slug:source>/export/<slug:format>/",
        views.export,
        name="export",
    ),
]
