"""Addresses: the same rooms, in the same order, as commands, report and manual."""

from __future__ import annotations

from django.urls import path

from casewright.shop import api, earlier, pages, papers, sheets, sums

urlpatterns = [
    path("", pages.home, name="home"),
    path("open/", pages.open_job, name="open"),
    path("you/", pages.you, name="you"),
    path("login/", pages.Login.as_view(), name="login"),
    path("sums/", sums.index, name="sums"),
    path("sums/<str:key>/", sums.one, name="sum"),
    path("sums/<str:key>/keep/", sums.keep, name="keep-sum"),
    path("sheets/", sheets.sheets, name="sheets"),
    path("job/<str:job>/", pages.overview, name="job"),
    path("job/<str:job>/record/", pages.record, name="record"),
    path("job/<str:job>/earlier/", earlier.bring_earlier, name="earlier"),
    path("job/<str:job>/log/", pages.log, name="log"),
    path("job/<str:job>/photo/", papers.take_photo, name="take-photo"),
    path("job/<str:job>/photo/<str:digest>/", papers.photo, name="photo"),
    path("job/<str:job>/book.pdf", papers.book_pdf, name="book-pdf"),
    path("job/<str:job>/book.html", papers.book_html, name="book-html"),
    path("job/<str:job>/labels.pdf", papers.labels, name="labels"),
    path("job/<str:job>/log.jsonl", papers.log_file, name="log-file"),
    path("job/<str:job>/paper/<str:paper>", papers.paper, name="paper"),
    path("bring-in/", papers.bring_in, name="bring-in"),
    path("owner/<str:key>/", pages.owner, name="owner"),
    path("job/<str:job>/<str:room>/", pages.room, name="room"),
    path("api/openapi.json", api.description, name="api-description"),
    path("api/jobs", api.jobs, name="api-jobs"),
    path("api/jobs/<str:job>", api.job_state, name="api-job"),
    path("api/jobs/<str:job>/entries", api.entries, name="api-entries"),
]
