"""Where each filing lives."""

from django.urls import URLPattern, URLResolver, path, register_converter

from reports import views
from reports.addresses import MonthConverter

register_converter(MonthConverter, "month")

app_name = "reports"

urlpatterns: list[URLPattern | URLResolver] = [
    path("", views.filings, name="filings"),
    path("<month:of_month>/", views.month, name="month"),
    path("<month:of_month>/close/", views.close, name="close"),
    path("<month:of_month>/export/<slug:format>/", views.export, name="export-all"),
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
