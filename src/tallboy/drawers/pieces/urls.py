"""Addresses of the Pieces drawer."""

from __future__ import annotations

from django.urls import path

from tallboy.drawers.pieces.views import areas, hardware, intake, papers, piece, routes

app_name = "pieces"
urlpatterns = [
    path("", piece.pieces, name="pieces"),
    path("handed-over/", piece.handed_over, name="handed-over"),
    path("take-in/", intake.take_in, name="take-in"),
    path("take-in/file/", intake.take_in_file, name="take-in-file"),
    path("<int:pk>/", piece.piece, name="piece"),
    path("<int:pk>/edit/", piece.edit, name="edit"),
    path("<int:pk>/front/", intake.front, name="front"),
    path("<int:pk>/points/", intake.points, name="points"),
    path("<int:pk>/areas/", areas.areas, name="areas"),
    path("<int:pk>/elevation.svg", piece.elevation, name="elevation"),
    path("<int:pk>/piece.toml", intake.piece_file_view, name="piece-file"),
    path("<int:pk>/fault/", piece.add_fault, name="add-fault"),
    path("<int:pk>/spot-test/", piece.add_spot_test, name="add-spot-test"),
    path("<int:pk>/note/", piece.add_note, name="add-note"),
    path("<int:pk>/photo/", piece.add_photo, name="add-photo"),
    path("<int:pk>/take-down/", hardware.take_down, name="take-down"),
    path("<int:pk>/put-back/", hardware.put_back, name="put-back"),
    path("<int:pk>/hand-over/", hardware.hand_over, name="hand-over"),
    path("<int:pk>/papers/", papers.papers, name="papers"),
    path("<int:pk>/papers/tags/", papers.tags, name="tags"),
    path("<int:pk>/papers/take-down/", papers.take_down, name="take-down-record"),
    path("<int:pk>/papers/put-back/", papers.put_back, name="put-back-list"),
    path("position/<int:pk>/", hardware.position, name="position"),
    path("position/<int:pk>/missing/", hardware.missing, name="missing"),
    path("position/<int:pk>/empty/", hardware.leave_empty, name="leave-empty"),
    path("position/<int:pk>/stand-in/", hardware.stand_in, name="stand-in"),
    path("part/<int:pk>/", hardware.part, name="part"),
    path("part/<int:pk>/describe/", hardware.describe, name="describe"),
    path("part/<int:pk>/lay/", hardware.lay, name="lay"),
    path("part/<int:pk>/fit/", hardware.fit, name="fit"),
    path("part/<int:pk>/gone/", hardware.gone, name="gone"),
    path("tag/<int:number>/", hardware.by_number, name="tag"),
    path("routes/", routes.routes, name="routes"),
    path("routes/<int:pk>/", routes.route, name="route"),
    path("routes/<int:pk>/copy/", routes.copy, name="copy-route"),
]
