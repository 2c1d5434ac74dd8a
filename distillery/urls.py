"""The front door: log-in, the plant's set-up, the floor, and the filings above it."""

from django.contrib import admin
from django.contrib.auth import views as auth
from django.urls import include, path

from distillery.pages.going_on import LogIn

admin.site.site_header = "Plant set-up"
admin.site.site_title = "Plant set-up"
admin.site.index_title = "What the plant is made of"

urlpatterns = [
    path("log-in/", LogIn.as_view(), name="login"),
    path("log-out/", auth.LogoutView.as_view(), name="logout"),
    path("plant/admin/", admin.site.urls),
    path("filings/", include("reports.urls")),
    path("", include("distillery.pages.run_urls")),
    path("", include("distillery.pages.urls")),
]
