"""Where a still run and the curves live."""

from django.urls import path

from distillery.pages import curves, runs

urlpatterns = [
    path("runs/<path:code>/now/", runs.now, name="run-now"),
    path("runs/<path:code>/note/", runs.note, name="run-note"),
    path("runs/<path:code>/curve.pdf", runs.curve, name="run-curve"),
    path("runs/<path:code>/", runs.run, name="run"),
    path("lots/<path:code>/curve.pdf", curves.ferment, name="ferment-curve"),
    path("barrels/<path:code>/curve.pdf", curves.barrel, name="barrel-curve"),
]
