"""Where each screen of the plant lives."""

from django.urls import path

from distillery.pages import bench, book, floor, record, things

urlpatterns = [
    path("", floor.floor, name="floor"),
    path("record/", record.choose, name="record"),
    path("record/<slug:slug>/", record.record_operation, name="record-operation"),
    path("bench/", bench.bench, name="bench"),
    path("bench/<slug:slug>/", bench.bench_work, name="bench-work"),
    path("vessels/<path:code>/", things.vessel, name="vessel"),
    path("lots/<path:code>/", things.lot, name="lot"),
    path("book/", book.book, name="book"),
    path("book/<int:number>/", book.entry, name="entry"),
]
