"""Where each screen of the plant lives."""

from django.urls import path

from distillery.pages import (
    auditor,
    bench,
    book,
    bottlings,
    count_place,
    counts,
    floor,
    mending,
    notices,
    papers,
    record,
    records,
    things,
    trace,
)

urlpatterns = [
    path("", floor.floor, name="floor"),
    path("record/", record.choose, name="record"),
    path("record/<slug:slug>/", record.record_operation, name="record-operation"),
    path("bench/", bench.bench, name="bench"),
    path("bench/<slug:slug>/", bench.bench_work, name="bench-work"),
    path("vessels/<path:code>/", things.vessel, name="vessel"),
    path("lots/<path:code>/", things.lot, name="lot"),
    path("bottlings/", bottlings.bottlings, name="bottlings"),
    path("bottlings/<path:code>/", bottlings.bottling, name="bottling"),
    path("trace/", trace.search, name="trace"),
    path("trace/<path:code>/list.csv", trace.listing, name="trace-csv"),
    path("trace/<path:code>/recall.pdf", trace.recall, name="recall-sheet"),
    path("trace/<path:code>/", trace.lot, name="trace-lot"),
    path("book/", book.book, name="book"),
    path("book/<int:number>/", book.entry, name="entry"),
    path("counts/", counts.counts, name="counts"),
    path("counts/<int:number>/", counts.count, name="count"),
    path("counts/<int:number>/place/", count_place.place, name="count-place"),
    path("counts/<int:number>/check/", counts.check, name="count-check"),
    path("counts/<int:number>/drop/", counts.drop, name="count-drop"),
    path("counts/<int:number>/sheet.pdf", counts.sheet, name="count-sheet"),
    path("records/", records.records, name="record-set"),
    path("records/bundle.zip", records.record_bundle, name="record-bundle"),
    path("records/<slug:kind>/", records.record_of, name="record-of"),
    path("records/<slug:kind>/<slug:format>/", records.record_file, name="record-file"),
    path("auditor/", auditor.for_an_auditor, name="for-an-auditor"),
    path("notices/", notices.notices, name="notices"),
    path("book/<int:number>/chain/", mending.chain, name="entry-chain"),
    path("book/<int:number>/slip.pdf", papers.entry_slip, name="entry-slip"),
    path(
        "book/<int:number>/gauge-record.pdf", papers.entry_gauge_record, name="entry-gauge-record"
    ),
]
